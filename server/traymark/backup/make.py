"""Making a backup while the server runs: it is called good only once it was read back."""

import os
import tarfile
from collections.abc import Generator
from contextlib import closing, contextmanager
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory

import msgspec

from traymark.backup.form import FORMAT, HEADER, BackupFailed, Header, members, photo_member, read_header
from traymark.blobs.files import BlobFiles, sync_folder
from traymark.blobs.keep import all_blobs
from traymark.docs.keep import last_rev
from traymark.log.database import DATABASE, Database
from traymark.log.facts import keep_fact
from traymark.log.migrate import MigrationFailed
from traymark.log.store import Store
from traymark.log.upgrade import reading_any_form, upgrade
from traymark.log.verify import verify

LAST_BACKUP = "last_backup"
"""The fact (Meta) that tells of the last good backup."""
_BESIDE = ("address.txt", "tls")


def make_backup(store: Store, file: Path, now_ms: int) -> Header:
    """Write the shop into a new file, readable by its owner alone, read it back, and note that there is one.

    Raises BackupFailed.
    """
    header = back_up_any_form(store.database, store.data_dir, file, now_ms)
    with store.database.write() as connection:
        keep_fact(connection, LAST_BACKUP, msgspec.json.encode(header).decode())
    return header


def back_up_any_form(database: Database, data_dir: Path, file: Path, now_ms: int) -> Header:
    """The same for a database of the present or an older form, which stays as it is: nothing is noted in it.

    The log and the documents are as of one moment; photos that came later are left out. The file has its name only once
    it was found to be sound. Raises BackupFailed.
    """
    if file.exists():
        raise BackupFailed(f"{file} is there already; name another file")
    coming = file.with_name(file.name + ".coming")
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        with _private(coming):
            header = _write(database, data_dir, coming, now_ms)
            _check(coming)
            coming.replace(file)
            sync_folder(file.parent)
    except OSError as error:
        raise BackupFailed(f"the backup could not be written: {error.strerror or error}") from error
    except MigrationFailed as error:
        raise BackupFailed(f"the backup could not be read back: {error}") from error
    return header


def last_backup(store: Store) -> Header | None:
    """The last good backup, or None."""
    held = store.fact(LAST_BACKUP)
    return None if held is None else msgspec.json.decode(held, type=Header)


def _write(database: Database, data_dir: Path, file: Path, now_ms: int) -> Header:
    files = BlobFiles(data_dir)
    with TemporaryDirectory(dir=file.parent, prefix=".traymark-") as folder:
        copy = Path(folder) / DATABASE
        database.copy_to(copy)
        with reading_any_form(copy) as copied:
            photos = all_blobs(copied)
            header = Header(
                traymark="backup",
                format=FORMAT,
                at_ms=now_ms,
                epoch=copied.epoch,
                position=copied.position(),
                rev=last_rev(copied),
                photos=len(photos),
                chains=copied.chain_ends(),
            )
        with file.open("wb") as out, tarfile.open(fileobj=out, mode="w") as tar:
            told = tarfile.TarInfo(HEADER)
            content = msgspec.json.encode(header)
            told.size = len(content)
            tar.addfile(told, BytesIO(content))
            tar.add(copy, DATABASE)
            for beside in _BESIDE:
                if (data_dir / beside).exists():
                    _add(tar, data_dir / beside, beside)
            for sha256 in photos:
                tar.add(files.path(sha256), photo_member(sha256))
            tar.close()
            out.flush()
            os.fsync(out.fileno())
    return header


def _add(tar: tarfile.TarFile, path: Path, name: str) -> None:
    """A file, or the files of a folder."""
    for file in sorted(path.iterdir()) if path.is_dir() else [path]:
        tar.add(file, name if file == path else f"{name}/{file.name}")


def _check(file: Path) -> None:
    """Read everything back as a restore does: brought to the present form and fold. Raises BackupFailed."""
    with tarfile.open(file) as tar, TemporaryDirectory(dir=file.parent, prefix=".traymark-") as folder:
        read_header(tar, file)
        held = members(tar, file)
        copy = Path(folder) / DATABASE
        write_member(tar, held[DATABASE], copy)

        def photo(sha256: str) -> bytes | None:
            member = held.get(photo_member(sha256))
            data = None if member is None else tar.extractfile(member)
            return None if data is None else data.read()

        upgrade(copy)
        with closing(Store(copy)) as copied:
            faults = verify(copied, read_photo=photo)
    if faults:
        raise BackupFailed(
            f"the shop is not sound, so its copy is not either: {faults[0].where} {faults[0].what}. "
            "`traymark verify` lists everything."
        )


def write_member(tar: tarfile.TarFile, member: tarfile.TarInfo, path: Path) -> None:
    """Write a member to a new file, readable by its owner alone. Durable on return."""
    held = tar.extractfile(member)
    if held is None:
        raise BackupFailed(f"{member.name} is no file")
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    with os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as out:
        while block := held.read(1 << 20):
            out.write(block)
        out.flush()
        os.fsync(out.fileno())


@contextmanager
def _private(path: Path) -> Generator[None]:
    """A new empty file for its owner alone; gone again unless it was renamed."""
    path.unlink(missing_ok=True)
    os.close(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600))
    try:
        yield
    finally:
        path.unlink(missing_ok=True)
