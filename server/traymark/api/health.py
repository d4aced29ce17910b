"""Whether the server is up, the hash of its state, and the page of each problem."""

from typing import Any

from litestar import Response, get
from litestar.concurrency import sync_to_thread
from litestar.params import FromPath

from traymark.api.parts import Asking, TheStore
from traymark.api.problems import describe


@get("/api/health")
async def health(store: TheStore) -> dict[str, Any]:
    """For monitors; needs no cookie and says nothing about the shop."""
    return {"ok": True, "epoch": store.epoch, "position": await sync_to_thread(store.position)}


@get("/api/state")
async def state(station: Asking, store: TheStore) -> dict[str, Any]:
    """The state hash over all records: a station that has pulled up to this position must have the same."""
    position, hash_ = await sync_to_thread(store.state)
    return {"position": position, "state_hash": hash_}


@get("/problems/{slug:str}")
async def problem_page(slug: FromPath[str]) -> Response[str]:
    """A problem in plain words."""
    return describe(slug)


handlers = [health, state, problem_page]
