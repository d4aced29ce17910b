"""The one mapping from "no" and from bugs to RFC 9457 problem details.

`type` is `/problems/` and a slug of problems.json; that address says the same in plain words. Exception text stays in
the server's own output.
"""

import logging
from typing import Any

from litestar import MediaType, Request, Response
from litestar.exceptions import HTTPException, MethodNotAllowedException, ValidationException

from traymark.log.database import StoreBusy
from traymark.refused import Refused
from traymark.tables import problems

log = logging.getLogger("traymark")

MEDIA_TYPE = "application/problem+json"

_SLUG_OF_STATUS = {
    400: "request-malformed", 401: "station-unknown", 403: "not-allowed", 404: "not-found",
    405: "method-not-allowed", 413: "body-too-large", 415: "request-malformed", 429: "rate-limited", 503: "busy",
}  # fmt: skip
_DEFAULT_RETRY_S = 5


class Problem(Exception):
    """A refusal on its way out of a handler."""

    def __init__(self, refused: Refused) -> None:
        super().__init__(refused.slug)
        self.refused = refused


def refuse(
    slug: str, detail: str = "", *, pointers: tuple[tuple[str, str], ...] = (), retry_after_s: int | None = None
) -> Problem:
    """A problem to raise."""
    return Problem(Refused(slug, detail, pointers, retry_after_s=retry_after_s))


def problem_response(refused: Refused, headers: dict[str, str] | None = None) -> Response[dict[str, Any]]:
    """A refusal as an answer; 429 and 503 say when to try again."""
    row = problems()[refused.slug]
    content: dict[str, Any] = {
        "type": f"/problems/{refused.slug}",
        "title": row["title"],
        "status": row["status"],
        "next": row["next"],
    }
    if refused.detail:
        content["detail"] = refused.detail
    if refused.pointers:
        content["errors"] = [
            {"pointer": pointer, "type": f"/problems/{slug}", "detail": problems()[slug]["title"]}
            for slug, pointer in refused.pointers
        ]
    content |= refused.extra
    all_headers = dict(headers or {}) | {"Cache-Control": "no-store"}
    if row["status"] in (429, 503):
        all_headers["Retry-After"] = str(refused.retry_after_s or _DEFAULT_RETRY_S)
    return Response(content, status_code=row["status"], media_type=MEDIA_TYPE, headers=all_headers)


def on_problem(_: Request[Any, Any, Any], error: Problem) -> Response[dict[str, Any]]:
    """A refusal of ours."""
    return problem_response(error.refused)


def on_busy(_: Request[Any, Any, Any], __: StoreBusy) -> Response[dict[str, Any]]:
    """A command is working on the same file."""
    return problem_response(Refused("busy"))


def on_http_exception(request: Request[Any, Any, Any], error: HTTPException) -> Response[dict[str, Any]]:
    """A refusal of the framework, in our words."""
    if error.status_code >= 500 and error.status_code != 503:
        return on_bug(request, error)
    slug = _SLUG_OF_STATUS.get(error.status_code, "request-malformed")
    if isinstance(error, ValidationException):
        return problem_response(_validation(error))
    headers: dict[str, str] = {}
    if isinstance(error, MethodNotAllowedException):
        headers["Allow"] = ", ".join(sorted(_methods(request)))
    return problem_response(Refused(slug), headers)


def on_bug(request: Request[Any, Any, Any], error: Exception) -> Response[dict[str, Any]]:
    """Anything else is a bug: its trace is logged, not sent. Paths hold ticket tokens, so only the route is logged."""
    log.error("request failed", exc_info=error, extra={"method": request.method, "at": request.scope["path_template"]})
    return problem_response(Refused("internal"))


def describe(slug: str) -> Response[str]:
    """What the page of a problem's `type` says."""
    row = problems().get(slug)
    if row is None:
        raise refuse("not-found")
    text = f"{row['title']}\n\n{row['next']}\n\nStatus {row['status']}, {slug}\n"
    return Response(text, media_type=MediaType.TEXT)


def _validation(error: ValidationException) -> Refused:
    """The framework's list of faults: body fields as pointers, query and header fields by name."""
    pointers: list[tuple[str, str]] = []
    named: list[str] = []
    for fault in error.extra if isinstance(error.extra, list) else []:
        key = str(fault.get("key", ""))[:80]
        if fault.get("source", "body") == "body":
            pointers.append(("bad-field", "".join(f"/{token}" for token in key.split(".") if token)))
        elif key:
            named.append(key)
    detail = f"These parameters do not fit: {', '.join(named)}." if named else ""
    return Refused("request-malformed", detail, tuple(pointers))


def _methods(request: Request[Any, Any, Any]) -> set[str]:
    path = request.url.path
    return {
        str(method)
        for route in request.app.routes
        if route.path_format == path or _fits(route.path_format, path)
        for method in getattr(route, "methods", ())
    }


def _fits(form: str, path: str) -> bool:
    """Whether a path such as /api/blobs/ab12 has the form /api/blobs/{sha256}."""
    ours, theirs = form.split("/"), path.split("/")
    return len(ours) == len(theirs) and all(o == t or o.startswith("{") for o, t in zip(ours, theirs, strict=True))
