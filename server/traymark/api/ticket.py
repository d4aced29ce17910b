"""The customer's page over HTTP.

An unknown ticket and a shop that publishes none get the same answer, after the same work.
"""

from typing import Any

from litestar import MediaType, Request, Response, route
from litestar.concurrency import sync_to_thread
from litestar.params import FromPath

from traymark.api.limits import wait_s
from traymark.api.parts import TheLimits, TheStore
from traymark.docs.shop import shop_settings
from traymark.log.store import Store
from traymark.views.ticket_page import STYLE_POLICY, nothing_html, slow_down_html, status_html, ticket_status

_TOKEN_LETTERS = 26

_HEADERS = {
    "Content-Security-Policy": STYLE_POLICY,
    "Cache-Control": "no-store",
    "X-Robots-Tag": "noindex, nofollow",
}


@route("/T/{token:str}", http_method=["GET", "HEAD"])
async def ticket_page(
    request: Request[Any, Any, Any], token: FromPath[str], store: TheStore, limits: TheLimits
) -> Response[str]:
    """The status page of a ticket, for whoever holds it."""
    wait = wait_s(limits.ticket, request)
    if wait:
        return _page(slow_down_html(), 429, {"Retry-After": str(wait)})
    html = await sync_to_thread(_known, store, token.upper() if len(token) == _TOKEN_LETTERS else "")
    return _page(nothing_html(), 404) if html is None else _page(html, 200)


def _known(store: Store, token: str) -> str | None:
    shop = shop_settings(store)
    found = store.job_by_ticket(token)
    if found is None or shop.get("customer_page") != "on":
        return None
    return status_html(ticket_status(found[1], shop, _place(store, found[1]["device"])))


def _place(store: Store, device: str | None) -> str | None:
    """Where the device is; None while its records disagree."""
    thing = None if device is None else store.record("thing", device)
    places = {head["to"] for head in (thing or {"heads": {}})["heads"].values()}
    return places.pop() if len(places) == 1 else None


def _page(html: str, status: int, more: dict[str, str] | None = None) -> Response[str]:
    return Response(html, status_code=status, media_type=MediaType.HTML, headers=_HEADERS | (more or {}))


handlers = [ticket_page]
