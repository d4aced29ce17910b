"""Keeping a photo, and finding it again (F8.5)."""

from hashlib import sha256 as sha256_of
from threading import BoundedSemaphore

from sqlalchemy import Connection
from sqlalchemy.dialects.sqlite import insert
from sqlmodel import col, delete, select

from traymark.blobs.files import BlobFiles
from traymark.blobs.picture import Picture, for_paper, look, small
from traymark.events.envelope import Event, parse
from traymark.log.erasing import is_erased_job
from traymark.log.rows import BlobRow, DocRow
from traymark.log.store import Store
from traymark.refused import Refused

_NAMED_BY = "SELECT e.raw FROM event_code c JOIN event e ON e.position = c.position WHERE c.code = ?"

# A photo of 40 million pixels takes about 160 MB while it is decoded.
_DECODING = BoundedSemaphore(2)


def keep_blob(
    store: Store, files: BlobFiles, station: str, sha256: str, data: bytes, most_pixels: int, now_ms: int
) -> Picture | Refused:
    """Keep a photo under its hash. Durable on return: file first, then its row, so a row never lacks its file."""
    if sha256_of(data).hexdigest() != sha256:
        return Refused("blob-hash")
    held = find_blob(store, sha256)
    if held is not None and files.read(sha256) == data:
        return held
    with _DECODING:
        picture = look(data, most_pixels)
    if isinstance(picture, Refused):
        return picture
    if _is_erased(store, sha256):
        return Refused("photo-erased")
    files.write(sha256, data)
    row = insert(BlobRow).values(
        sha256=sha256, media_type=picture.media_type, size=len(data), width=picture.width, height=picture.height,
        station=station, received_at_ms=now_ms,
    )  # fmt: skip
    with store.database.write() as connection:
        is_erased = _erased(connection, sha256)
        if not is_erased:
            connection.execute(row.on_conflict_do_nothing())
    if is_erased:  # meanwhile
        files.remove(sha256)
        return Refused("photo-erased")
    return picture


def forget_blob(connection: Connection, sha256: str) -> None:
    """Drop the row of a photo that is erased; its file goes after the commit."""
    connection.execute(delete(BlobRow).where(col(BlobRow.sha256) == sha256))


def _is_erased(store: Store, sha256: str) -> bool:
    with store.database.read() as connection:
        return _erased(connection, sha256)


def _erased(connection: Connection, sha256: str) -> bool:
    """Whether it was erased, or is named by a job that was."""
    if connection.execute(select(DocRow.id).where(col(DocRow.id) == sha256)).first() is not None:
        return True
    named = connection.exec_driver_sql(_NAMED_BY, (sha256,)).scalars().all()
    jobs = {event.job for raw in named if isinstance(event := parse(raw), Event)}
    return bool(jobs) and all(job is not None and is_erased_job(connection, job) for job in jobs)


def all_blobs(store: Store) -> list[str]:
    """The hashes of all photos."""
    with store.database.read() as connection:
        return list(connection.execute(select(BlobRow.sha256).order_by(col(BlobRow.sha256))).scalars())


def find_blob(store: Store, sha256: str) -> Picture | None:
    """The photo of this hash, or None."""
    query = select(BlobRow.media_type, BlobRow.width, BlobRow.height).where(col(BlobRow.sha256) == sha256)
    with store.database.read() as connection:
        row = connection.execute(query).first()
    return None if row is None else Picture(*row)


def thumb_of(files: BlobFiles, sha256: str) -> bytes | None:
    """A small picture of a photo, made on first use."""
    made = files.read_thumb(sha256)
    if made is not None:
        return made
    data = files.read(sha256)
    if data is None:
        return None
    with _DECODING:
        made = small(data)
    files.write_thumb(sha256, made)
    return made


def paper_of(files: BlobFiles, sha256: str) -> tuple[bytes, int, int] | None:
    """A photo scaled for paper with its width and height, or None until it has arrived."""
    data = files.read(sha256)
    if data is None:
        return None
    with _DECODING:
        return for_paper(data)
