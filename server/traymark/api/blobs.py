"""Photos over HTTP (F8.5, F8.6)."""

from typing import Annotated, Any, Literal

from litestar import Request, Response, get, head, post, put
from litestar.concurrency import sync_to_thread
from litestar.params import FromPath, QueryParameter

from traymark.api.body import read_body
from traymark.api.parts import Asking, TheBlobParts, TheClock, TheFiles, TheQueue, TheSettings, TheStore
from traymark.api.problems import Problem, refuse
from traymark.blobs.files import BlobFiles, is_blob_name
from traymark.blobs.keep import find_blob, keep_blob, thumb_of
from traymark.blobs.parts import PART_BYTES
from traymark.blobs.picture import Picture
from traymark.log.store import Store
from traymark.refused import Refused

# They show a customer's device, and no page can empty the browser's cache: the app keeps them where it can forget them.
_CACHE = "no-store"


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
    """Take a photo. Once answered it is durable; sending it again is harmless."""
    _name(sha256)
    async with write_queue.place(station.id):
        data = await read_body(request, settings.max_blob_bytes)
        pixels = settings.max_blob_pixels
        kept = await sync_to_thread(keep_blob, store, files, station.id, sha256, data, pixels, clock())
    if isinstance(kept, Refused):
        raise Problem(kept)
    return {"sha256": sha256, "bytes": len(data), "width": kept.width, "height": kept.height}


@get("/api/blobs/{sha256:str}/part")
async def held_part(
    sha256: FromPath[str], station: Asking, store: TheStore, files: TheFiles, blob_parts: TheBlobParts, clock: TheClock
) -> dict[str, Any]:
    """Whether the photo is here, else how many of its bytes this station has sent: the next piece starts there."""
    _name(sha256)
    if await sync_to_thread(find_blob, store, sha256) is not None and files.has(sha256):
        return {"sha256": sha256, "whole": True}
    held = await sync_to_thread(blob_parts.held, station.id, sha256, clock())
    return {"sha256": sha256, "whole": False, "offset": held}


@post("/api/blobs/{sha256:str}/part", status_code=200, request_max_body_size=None)  # read_body has the limit
async def write_part(
    request: Request[Any, Any, Any],
    sha256: FromPath[str],
    offset: Annotated[int, QueryParameter(ge=0)],
    whole: Annotated[int, QueryParameter(ge=1)],
    station: Asking,
    store: TheStore,
    files: TheFiles,
    blob_parts: TheBlobParts,
    settings: TheSettings,
    clock: TheClock,
    write_queue: TheQueue,
) -> dict[str, Any]:
    """Take the next piece of a photo of `whole` bytes. The last piece is answered like a photo sent in one request."""
    _name(sha256)
    if whole > settings.max_blob_bytes:
        raise refuse("body-too-large", f"A photo has at most {settings.max_blob_bytes} bytes.")
    async with write_queue.place(station.id):
        piece = await read_body(request, PART_BYTES)
        added = await sync_to_thread(blob_parts.add, station.id, sha256, offset, piece, whole, clock())
        if isinstance(added, Refused):
            raise Problem(added)
        if isinstance(added, int):
            return {"sha256": sha256, "whole": False, "offset": added}
        pixels = settings.max_blob_pixels
        kept = await sync_to_thread(keep_blob, store, files, station.id, sha256, added, pixels, clock())
        # Once kept, the pieces are not needed; once refused, they would only be refused again.
        await sync_to_thread(blob_parts.drop, station.id, sha256)
    if isinstance(kept, Refused):
        raise Problem(kept)
    return {"sha256": sha256, "whole": True, "bytes": whole, "width": kept.width, "height": kept.height}


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
    """A page can still show it; opened by itself it is downloaded, never run."""
    ending = media_type.removeprefix("image/").replace("jpeg", "jpg")
    return {"Cache-Control": _CACHE, "Content-Disposition": f'attachment; filename="{sha256[:12]}.{ending}"'}


handlers = [write_blob, held_part, write_part, has_blob, read_blob]
