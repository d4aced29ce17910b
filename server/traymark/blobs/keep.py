"""Keeping a photo, and finding it again (F8.5)."""

from hashlib import sha256 as sha256_of
from threading import BoundedSemaphore

from sqlalchemy.dialects.sqlite import insert
from sqlmodel import col, select

from traymark.blobs.files import BlobFiles
from traymark.blobs.picture import Picture, for_paper, look, small
from traymark.log.rows import BlobRow
from traymark.log.store import Store
from traymark.refused import Refused

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
    files.write(sha256, data)
    row = insert(BlobRow).values(
        sha256=sha256, media_type=picture.media_type, size=len(data), width=picture.width, height=picture.height,
        station=station, received_at_ms=now_ms,
    )  # fmt: skip
    with store.database.write() as connection:
        connection.execute(row.on_conflict_do_nothing())
    return picture


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
