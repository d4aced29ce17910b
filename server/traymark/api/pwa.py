"""The built app, served from memory by exact path: what is not in the list does not exist."""

import gzip
from hashlib import sha256
from mimetypes import guess_type
from pathlib import Path
from typing import Any, NamedTuple

from litestar import Request, Response, route
from litestar.handlers import HTTPRouteHandler

import traymark

_IMMUTABLE = "public, max-age=31536000, immutable"
_NO_CACHE = "no-cache"
_PACKED_ENDINGS = frozenset({".html", ".js", ".css", ".json", ".svg", ".wasm", ".webmanifest", ".txt"})
_MEDIA_TYPES = {
    ".js": "text/javascript", ".html": "text/html", ".css": "text/css",
    ".wasm": "application/wasm", ".webmanifest": "application/manifest+json", ".svg": "image/svg+xml",
    ".json": "application/json", ".txt": "text/plain",
}  # fmt: skip

_MISSING = (
    "The app is not built.\n\nThe server runs, and its API answers under /api/.\n"
    "Build the app in pwa/ (npm ci, npm run build), or install the package, then start the server again.\n"
)


class StaticFile(NamedTuple):
    """One file in each encoding it is sent in."""

    media_type: str
    cache: str
    etag: str
    forms: dict[str, bytes]


def find_pwa() -> Path | None:
    """The built app: beside the package when installed, in pwa/dist in a working copy. None when there is none."""
    here = Path(traymark.__file__).resolve().parent
    for candidate in (here / "pwa", here.parents[1] / "pwa" / "dist"):
        if (candidate / "index.html").is_file():
            return candidate
    return None


def static_handlers(folder: Path | None) -> list[HTTPRouteHandler]:
    """One handler for every file's path; `/` serves index.html."""
    if folder is None:
        missing = StaticFile("text/plain", "no-store", '"missing"', {"identity": _MISSING.encode()})
        return [_handler({"/": missing})]
    files = {
        f"/{path.relative_to(folder).as_posix()}": _load(folder, path)
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }
    files["/"] = files["/index.html"]
    return [_handler(files)]


def _handler(files: dict[str, StaticFile]) -> HTTPRouteHandler:
    @route(sorted(files), http_method=["GET", "HEAD"], name="pwa")
    async def serve(request: Request[Any, Any, Any]) -> Response[bytes]:
        """One file of the app."""
        file = files[request.url.path]
        form = next(form for form in _wanted(request.headers.get("accept-encoding", "")) if form in file.forms)
        headers = {"Cache-Control": file.cache, "ETag": file.etag, "Vary": "Accept-Encoding"}
        if file.etag in request.headers.get("if-none-match", ""):
            return Response(b"", status_code=304, headers=headers)
        if form != "identity":
            headers["Content-Encoding"] = form
        return Response(file.forms[form], media_type=file.media_type, headers=headers)

    return serve


def _load(folder: Path, path: Path) -> StaticFile:
    data = path.read_bytes()
    forms = {"identity": data}
    if path.suffix in _PACKED_ENDINGS:
        forms["gzip"] = gzip.compress(data)
    media_type = _MEDIA_TYPES.get(path.suffix) or guess_type(path.name)[0] or "application/octet-stream"
    is_named_by_hash = path.relative_to(folder).parts[0] == "assets"
    return StaticFile(
        media_type, _IMMUTABLE if is_named_by_hash else _NO_CACHE, f'W/"{sha256(data).hexdigest()[:20]}"', forms
    )


def _wanted(accepted: str) -> list[str]:
    """Accepted encodings, in our order of preference."""
    names = {part.split(";")[0].strip() for part in accepted.split(",") if not part.strip().endswith(";q=0")}
    return ["gzip", "identity"] if "gzip" in names else ["identity"]
