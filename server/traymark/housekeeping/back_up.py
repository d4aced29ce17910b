"""Scheduled backups: one each so often, and the last few of them kept."""

from pathlib import Path

from traymark.backup.make import last_backup, make_backup
from traymark.clock import utc_name
from traymark.log.store import Store

_HOUR_MS = 3_600_000
_NAME = "traymark-*.backup"


def back_up(store: Store, folder: Path, every_h: float, keep: int, now_ms: int) -> Path | None:
    """Make a backup when one is due, then drop those beyond the newest `keep`. The new file; None when none is due.

    What was erased is gone from backups once the last one from before has been dropped. Raises BackupFailed, and the
    files that are there stay.
    """
    last = last_backup(store)
    if last is not None and 0 <= now_ms - last.at_ms < every_h * _HOUR_MS and any(folder.glob(_NAME)):
        return None
    file = folder / f"traymark-{utc_name(now_ms)}.backup"
    make_backup(store, file, now_ms)
    for old in sorted(folder.glob(_NAME))[:-keep]:
        old.unlink()
    return file
