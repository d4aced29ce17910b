"""A shop from a backup: a new epoch, in which stations bring what it lacks (F4.4)."""

import shutil
import tarfile
from contextlib import closing
from pathlib import Path
from typing import NamedTuple

from traymark.backup.form import BackupFailed, Header, members, read_header
from traymark.backup.make import write_member
from traymark.blobs.files import BlobFiles
from traymark.clock import utc_name
from traymark.docs.keep import erased_ids
from traymark.log.database import DATABASE, StoreDamaged, StoreInUse, lock_folder
from traymark.log.form import FormUnknown
from traymark.log.migrate import MigrationFailed
from traymark.log.store import Store
from traymark.log.upgrade import reading_any_form, upgrade
from traymark.log.verify import verify
from traymark.personal.erase import erase_again


class Restored(NamedTuple):
    """What was restored, and where the shop that was in the folder before is now.

    `erased_again` is None when nobody can tell what that shop had erased since.
    """

    header: Header
    erased_again: int | None
    before: Path | None


def restore(file: Path, data_dir: Path, now_ms: int, *, replace: bool) -> Restored:
    """Make the folder a shop again. What was erased since in the shop it replaces is erased again.

    A crash leaves the folder as it was, or the new one in its place. Raises BackupFailed.
    """
    data_dir = data_dir.resolve()
    has_shop = (data_dir / DATABASE).exists()
    is_taken = data_dir.exists() and any(data_dir.iterdir())
    if is_taken and not replace:
        raise BackupFailed(f"{data_dir} is not empty; name another folder, or say --replace to move it aside")
    coming = data_dir.with_name(data_dir.name + ".coming")
    shutil.rmtree(coming, ignore_errors=True)
    try:
        lock = lock_folder(data_dir / DATABASE) if has_shop else None
        try:
            header = _extract(file, coming)
            due = _erased(data_dir) if has_shop else []
            erased = _make_ready(coming, due or [], now_ms)
            before = _aside(data_dir, now_ms) if is_taken else None
            if before is None and data_dir.exists():
                data_dir.rmdir()
            coming.rename(data_dir)
        finally:
            if lock is not None:
                lock.release()
    except StoreInUse as error:
        raise BackupFailed(str(error)) from error
    except OSError as error:
        raise BackupFailed(f"nothing was restored: {error.strerror or error}") from error
    finally:
        shutil.rmtree(coming, ignore_errors=True)
    return Restored(header, None if due is None else erased, before)


def _extract(file: Path, folder: Path) -> Header:
    try:
        with tarfile.open(file) as tar:
            header = read_header(tar, file)
            held = members(tar, file)
            files = BlobFiles(folder)
            for name, member in held.items():
                kind, _, sha256 = name.partition("/")
                write_member(tar, member, files.path(sha256) if kind == "blobs" else folder / name)
    except tarfile.TarError as error:
        raise BackupFailed(f"{file} is damaged, or no backup of Traymark: {error}") from error
    return header


def _make_ready(folder: Path, erased: list[tuple[str, str]], now_ms: int) -> int:
    """Bring the shop to the present form and fold, check it, begin its new epoch, and erase again.

    Returns how much was erased again.
    """
    try:
        upgrade(folder / DATABASE)
        store = Store(folder / DATABASE)
    except (FormUnknown, StoreDamaged, MigrationFailed) as error:
        raise BackupFailed(f"the backup cannot be used: {error}") from error
    with closing(store):
        faults = verify(store)
        if faults:
            raise BackupFailed(f"the backup is not sound: {faults[0].where} {faults[0].what}")
        store.begin_epoch()
        held = set(erased_ids(store))
        due = [one for one in erased if one not in held]
        erase_again(store, due, now_ms)
        return len(due)


def _erased(data_dir: Path) -> list[tuple[str, str]] | None:
    """What the shop in the folder had erased; None when it cannot be read, or only by a newer version."""
    try:
        with reading_any_form(data_dir / DATABASE) as store:
            return erased_ids(store)
    except (FormUnknown, StoreDamaged, MigrationFailed):
        return None


def _aside(data_dir: Path, now_ms: int) -> Path:
    before = data_dir.with_name(f"{data_dir.name}.before-{utc_name(now_ms)}")
    data_dir.rename(before)
    return before
