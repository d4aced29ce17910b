"""Photos over HTTP (F8.5)."""

from typing import Annotated, Any, Literal

from litestar import Request, Response, get, head, put
from litestar.concurrency import sync_to_thread
from litestar.params import FromPath, QueryParameter

from traymark.api.body import read_body
from traymark.api.parts import Asking, TheClock, TheFiles, TheQueue, TheSettings, TheStore
from traymark.api.problems import Problem, refuse
from traymark.blobs.files import BlobFiles, is_blob_name
from traymark.blobs.keep import find_blob, keep_blob, thumb_of
from traymark.blobs.picture import Picture
from traymark.log.store import Store
from traymark.refused import Refused

# Bytes under a hash never change; only this browser may keep them, for they belong to a customer's device.
_CACHE = "private, max-age=31536000, immutable"


@put("/api/blobs/{sha256:str}", request_max_body_size=None)  # read_body has the limit
async def write_blob(
    request: Request[Any, Any, Any],
    sha256: FromPath[str],
    station: Asking,
    store: TheStore,
    files: TheFiles,
    settings: TheSettings,
    clock: TheClock,
    write_queue: TheQueue,
) -> dict[str, Any]:
    """Take a photo. Answered means durable; sending it again is harmless."""
    _name(sha256)
    async with write_queue.place(station.id):
        data = await read_body(request, settings.max_blob_bytes)
        pixels = settings.max_blob_pixels
        kept = await sync_to_thread(keep_blob, store, files, station.id, sha256, data, pixels, clock())
    if isinstance(kept, Refused):
        raise Problem(kept)
    return {"sha256": sha256, "bytes": len(data), "width": kept.width, "height": kept.height}


@head("/api/blobs/{sha256:str}")
async def has_blob(sha256: FromPath[str], station: Asking, store: TheStore, files: TheFiles) -> Response[None]:
    """200 only when row and file are there."""
    picture = await sync_to_thread(_find, store, files, sha256)
    return Response(None, headers=_headers(sha256, picture.media_type))


@get("/api/blobs/{sha256:str}")
async def read_blob(
    sha256: FromPath[str],
    station: Asking,  # only a joined station may read
    store: TheStore,
    files: TheFiles,
    size: Annotated[Literal["full", "thumb"], QueryParameter()] = "full",
) -> Response[bytes]:
    """The photo, or a small picture of it."""
    picture = await sync_to_thread(_find, store, files, sha256)
    is_thumb = size == "thumb"
    data = await sync_to_thread(thumb_of, files, sha256) if is_thumb else await sync_to_thread(files.read, sha256)
    if data is None:
        raise refuse("not-found")
    media_type = "image/jpeg" if is_thumb else picture.media_type
    return Response(data, media_type=media_type, headers=_headers(sha256, media_type))


def _find(store: Store, files: BlobFiles, sha256: str) -> Picture:
    _name(sha256)
    picture = find_blob(store, sha256)
    if picture is None or not files.has(sha256):
        raise refuse("not-found", "This photo has not arrived yet.")
    return picture


def _name(sha256: str) -> None:
    if not is_blob_name(sha256):
        raise refuse("not-found", "A photo's address is its SHA-256.")


def _headers(sha256: str, media_type: str) -> dict[str, str]:
    """Shown inside a page all the same; opened by itself it is saved, never run."""
    ending = media_type.removeprefix("image/").replace("jpeg", "jpg")
    return {"Cache-Control": _CACHE, "Content-Disposition": f'attachment; filename="{sha256[:12]}.{ending}"'}
