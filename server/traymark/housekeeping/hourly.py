"""When the server keeps house: at its start, and then every hour."""

import asyncio
import logging
from collections.abc import AsyncGenerator, Callable
from contextlib import asynccontextmanager, suppress

from litestar.concurrency import sync_to_thread

from traymark.clock import Clock
from traymark.housekeeping.put_away import put_away
from traymark.log.store import Store

Told = Callable[[int], None]
"""Hears the log's last position once something was written."""

_log = logging.getLogger("traymark")


@asynccontextmanager
async def keeping_house(store: Store, clock: Clock, every_s: float, tell: Told) -> AsyncGenerator[None]:
    """Keep house for as long as the block runs. A look that fails is logged, and the next one tries again."""
    task = asyncio.create_task(_keep(store, clock, every_s, tell))
    try:
        yield
    finally:
        task.cancel()
        with suppress(asyncio.CancelledError):
            await task


async def _keep(store: Store, clock: Clock, every_s: float, tell: Told) -> None:
    while True:
        try:
            if await sync_to_thread(put_away, store, clock()):
                tell(await sync_to_thread(store.position))
        except Exception:
            _log.exception("Putting away failed; it is tried again in an hour.")
        await asyncio.sleep(every_s)
