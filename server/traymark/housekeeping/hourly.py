"""When the server keeps house: at its start, and then every hour."""

import asyncio
import logging
from collections.abc import AsyncGenerator, Callable
from contextlib import asynccontextmanager, suppress
from pathlib import Path

from litestar.concurrency import sync_to_thread

from traymark.backup.form import BackupFailed
from traymark.clock import Clock
from traymark.config import Settings
from traymark.housekeeping.back_up import back_up
from traymark.housekeeping.collect import collect
from traymark.housekeeping.put_away import put_away
from traymark.log.store import Store
from traymark.personal.erase import finish_erasing
from traymark.personal.retain import retain

Told = Callable[[int], None]
"""Hears the log's last position once something was written."""

_log = logging.getLogger("traymark")


@asynccontextmanager
async def keeping_house(store: Store, clock: Clock, settings: Settings, tell: Told) -> AsyncGenerator[None]:
    """Keep house for as long as the block runs. What fails is logged, and tried again the next time."""
    task = asyncio.create_task(_keep(store, clock, settings, tell))
    try:
        yield
    finally:
        task.cancel()
        with suppress(asyncio.CancelledError):
            await task


async def _keep(store: Store, clock: Clock, settings: Settings, tell: Told) -> None:
    while True:
        try:
            before = await sync_to_thread(store.position)
            await sync_to_thread(finish_erasing, store)
            for work in (put_away, retain, collect):
                await sync_to_thread(work, store, clock())
            if (now := await sync_to_thread(store.position)) > before:
                tell(now)
            if settings.backup_dir:
                await sync_to_thread(_back_up, store, settings, clock())
        except Exception:
            _log.exception("Keeping house failed; it is tried again.")
        await asyncio.sleep(settings.keep_house_every_s)


def _back_up(store: Store, settings: Settings, now_ms: int) -> None:
    try:
        back_up(store, Path(settings.backup_dir), settings.backup_every_h, settings.backup_keep, now_ms)
    except BackupFailed as error:
        _log.error("%s. No backup was made.", error)
