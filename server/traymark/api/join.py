"""Joining the shop, what a station is told of itself, and its next incarnation."""

from typing import Annotated, Any

import msgspec
from litestar import Request, Response, get, post
from litestar.concurrency import sync_to_thread
from litestar.datastructures import Cookie
from msgspec import Meta

from traymark.api.body import read_json
from traymark.api.limits import wait_s
from traymark.api.parts import Asking, TheClock, TheLimits, TheNews, TheSettings, TheStore
from traymark.api.problems import Problem, refuse
from traymark.api.who import COOKIE
from traymark.backup.make import last_backup
from traymark.docs.keep import last_rev
from traymark.docs.shop import shop_settings
from traymark.refused import Refused
from traymark.stations.join import join
from traymark.stations.registry import incarnations_of, new_incarnation

# The longest that browsers keep a cookie (RFC 6265bis: 400 days; from memory). Joining again starts it over.
_COOKIE_S = 400 * 24 * 3600

Name = Annotated[str, Meta(max_length=80, pattern=r"^[^\x00-\x1f\x7f]*\Z")]


class JoinRequest(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A code as typed or scanned, and what the station is to be called."""

    code: Annotated[str, Meta(max_length=40)]
    name: Name = ""


class IncarnationRequest(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Why a new log begins: for the server's log only."""

    reason: Annotated[str, Meta(max_length=40)] = ""


@post("/api/join", status_code=200)
async def post_join(
    request: Request[Any, Any, Any],
    settings: TheSettings,
    clock: TheClock,
    store: TheStore,
    news: TheNews,
    limits: TheLimits,
) -> Response[dict[str, Any]]:
    """Spend a join code for a cookie. Once answered, the station is in the shop."""
    wait = wait_s(limits.join, request)
    if wait:
        raise refuse("rate-limited", retry_after_s=wait)
    asked = await read_json(request, JoinRequest, settings.max_json_bytes)
    joined = await sync_to_thread(join, store, asked.code, asked.name.strip(), request.cookies.get(COOKIE), clock())
    if isinstance(joined, Refused):
        raise Problem(joined)
    news.tell(rev=await sync_to_thread(last_rev, store))
    shop = await sync_to_thread(shop_settings, store)
    content = {
        "station": joined.station,
        "name": joined.name,
        "role": joined.role,
        "shop_name": shop.get("shop_name", ""),
        "incarnation": joined.incarnation,
        "epoch": store.epoch,
    }
    cookie = Cookie(
        COOKIE, value=joined.token, path="/", max_age=_COOKIE_S, secure=True, httponly=True, samesite="strict"
    )
    return Response(content, cookies=[cookie])


@get("/api/station")
async def get_station(station: Asking, store: TheStore, clock: TheClock) -> dict[str, Any]:
    """Who this browser is, what time the server has, and how far the last good backup has documents and the station's
    chains."""
    shop = await sync_to_thread(shop_settings, store)
    backup = await sync_to_thread(last_backup, store)
    own = await sync_to_thread(incarnations_of, store, station.id)
    return {
        "station": station.id,
        "name": station.name,
        "role": station.role,
        "shop_name": shop.get("shop_name", ""),
        "epoch": store.epoch,
        "now_ms": clock(),
        "backed_up_rev": 0 if backup is None else backup.rev,
        "backed_up": {} if backup is None else {prefix: backup.chains.get(prefix, 0) for prefix in own},
    }


@post("/api/station/incarnation", status_code=200)
async def post_incarnation(
    request: Request[Any, Any, Any], station: Asking, settings: TheSettings, store: TheStore
) -> dict[str, Any]:
    """A new incarnation for this station (F3.1)."""
    await read_json(request, IncarnationRequest, settings.max_json_bytes)
    given = await sync_to_thread(new_incarnation, store, station.id)
    if isinstance(given, Refused):
        raise Problem(given)
    return {"incarnation": given}


handlers = [post_join, get_station, post_incarnation]
