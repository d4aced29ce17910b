"""Self-tests over HTTP: a station makes an address and reads what was found; the device under test needs no cookie.

An address is 130 random bits, works once and for 15 minutes, and leads to nothing but its own test.
"""

import asyncio
from typing import Annotated, Any, Literal

import msgspec
from litestar import MediaType, Request, Response, delete, get, post, route
from litestar.params import FromPath
from msgspec import Meta

from traymark.api.body import read_json
from traymark.api.limits import Limits, wait_s
from traymark.api.parts import Asking, TheClock, TheLimits, TheOpenTests, TheSettings
from traymark.api.problems import Problem, refuse
from traymark.api.stations import own_url
from traymark.refused import Refused
from traymark.selftest.open_tests import VALID_MS
from traymark.selftest.results import MOST_BYTES, Results
from traymark.stations.join_qr import svg_qr
from traymark.views.selftest_page import PERMISSIONS, POLICY, over_html, selftest_html, sent_html, slow_down_html
from traymark.views.ticket_page import STYLE_POLICY

_PRIVATE = {"Cache-Control": "no-store", "X-Robots-Tag": "noindex, nofollow"}
# The test's page has a script; the pages shown in its place have none.
_PAGE = _PRIVATE | {"Content-Security-Policy": POLICY, "Permissions-Policy": PERMISSIONS}
_SAID = _PRIVATE | {"Content-Security-Policy": STYLE_POLICY}


class SelfTestRequest(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """For which job, and which of its stages."""

    job: Annotated[str, Meta(pattern=r"^J[0-9A-HJKMNP-TV-Z]{9}\Z")]
    stage: Literal["intake", "prefit", "final"]


@post("/api/selftests", status_code=201)
async def post_selftest(
    request: Request[Any, Any, Any], station: Asking, settings: TheSettings, clock: TheClock, open_tests: TheOpenTests
) -> dict[str, Any]:
    """A new address, shown once. The job may still be on its way to the server, so it need not be known here."""
    asked = await read_json(request, SelfTestRequest, settings.max_json_bytes)
    test, token = open_tests.make(station.id, asked.job, asked.stage, clock())
    # What was found goes even when no further request comes.
    asyncio.get_running_loop().call_later(VALID_MS / 1000 + 1, lambda: open_tests.drop_expired(clock()))
    url = f"{own_url(request, settings).rstrip('/')}/S/{token}"
    return {"id": test.id, "url": url, "qr_svg": svg_qr(url), "expires_at_ms": test.expires_at_ms}


@get("/api/selftests/{test_id:str}")
async def get_selftest(
    test_id: FromPath[str], station: Asking, clock: TheClock, open_tests: TheOpenTests
) -> dict[str, Any]:
    """How far the device has got, for the station that made the address."""
    test = open_tests.of_station(station.id, test_id, clock())
    if isinstance(test, Refused):
        raise Problem(test)
    return {
        "id": test.id,
        "job": test.job,
        "stage": test.stage,
        "expires_at_ms": test.expires_at_ms,
        "state": test.state,
        "results": msgspec.to_builtins(test.results),
    }


@delete("/api/selftests/{test_id:str}", status_code=204)
async def delete_selftest(test_id: FromPath[str], station: Asking, clock: TheClock, open_tests: TheOpenTests) -> None:
    """Confirmed or rejected: either way nothing of it stays here."""
    open_tests.forget(station.id, test_id, clock())


@route("/S/{token:str}", http_method=["GET", "HEAD"])
async def selftest_page(
    request: Request[Any, Any, Any],
    token: FromPath[str],
    clock: TheClock,
    open_tests: TheOpenTests,
    limits: TheLimits,
) -> Response[str]:
    """The page, for whichever device scanned the address."""
    wait = wait_s(limits.selftest, request)
    if wait:
        return _html(slow_down_html(), 429, _SAID | {"Retry-After": str(wait)})
    test = open_tests.of_token(token, clock())
    if test is None:
        return _html(over_html(), 404, _SAID)
    if test.results is not None:
        return _html(sent_html(), 410, _SAID)
    test.is_open = test.is_open or request.method == "GET"
    return _html(selftest_html(), 200, _PAGE)


@get("/S/{token:str}/echo", status_code=204)
async def selftest_echo(
    request: Request[Any, Any, Any],
    token: FromPath[str],
    clock: TheClock,
    open_tests: TheOpenTests,
    limits: TheLimits,
) -> Response[None]:
    """An empty answer, as fast as possible: the device measures the round trip."""
    _bound(request, limits)
    if open_tests.of_token(token, clock()) is None:
        raise refuse("selftest-over")
    return Response(None, status_code=204, headers=_PRIVATE)


@post("/S/{token:str}/results", status_code=204)
async def post_selftest_results(
    request: Request[Any, Any, Any],
    token: FromPath[str],
    clock: TheClock,
    open_tests: TheOpenTests,
    limits: TheLimits,
) -> Response[None]:
    """Take what the device found, once. For an expired address nothing is read."""
    _bound(request, limits)
    test = open_tests.of_token(token, clock())
    if test is None or test.results is not None:
        raise refuse("selftest-over")
    results = await read_json(request, Results, MOST_BYTES)
    refused = open_tests.take(token, results, clock())
    if refused is not None:
        raise Problem(refused)
    return Response(None, status_code=204, headers=_PRIVATE)


def _bound(request: Request[Any, Any, Any], limits: Limits) -> None:
    wait = wait_s(limits.selftest, request)
    if wait:
        raise refuse("rate-limited", retry_after_s=wait)


def _html(html: str, status: int, headers: dict[str, str]) -> Response[str]:
    return Response(html, status_code=status, media_type=MediaType.HTML, headers=headers)


handlers = [
    post_selftest,
    get_selftest,
    delete_selftest,
    selftest_page,
    selftest_echo,
    post_selftest_results,
]
