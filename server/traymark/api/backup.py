"""How old the last good backup is, for a lead."""

from typing import Any

from litestar import get
from litestar.concurrency import sync_to_thread

from traymark.api.parts import Asking, TheSettings, TheStore
from traymark.api.who import require_lead
from traymark.backup.make import last_backup


@get("/api/backup")
async def read_backup(station: Asking, store: TheStore, settings: TheSettings) -> dict[str, Any]:
    """When it was made and how far it reaches; nulls when there is none. `every_h` is null when none are scheduled."""
    require_lead(station)
    last = await sync_to_thread(last_backup, store)
    return {
        "at_ms": None if last is None else last.at_ms,
        "position": None if last is None else last.position,
        "every_h": settings.backup_every_h if settings.backup_dir else None,
    }


handlers = [read_backup]
