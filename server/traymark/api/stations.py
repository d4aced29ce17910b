"""What a lead does with stations: invite, list, take out."""

from typing import Annotated, Any, Literal

import msgspec
from litestar import Request, get, post
from litestar.concurrency import sync_to_thread
from litestar.params import FromPath
from msgspec import Meta

from traymark.api.body import read_json
from traymark.api.parts import Asking, TheClock, TheNews, TheSettings, TheStore
from traymark.api.problems import Problem
from traymark.api.who import require_lead
from traymark.config import Settings
from traymark.docs.keep import last_rev
from traymark.stations.invites import make_invite
from traymark.stations.join_qr import svg_qr
from traymark.stations.registry import all_stations, revoke


class InviteRequest(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """For whom a join code is."""

    name: Annotated[str, Meta(max_length=80, pattern=r"^[^\x00-\x1f\x7f]*\Z")]
    role: Literal["counter", "bench", "shipping", "lead"]


@post("/api/invites", status_code=201)
async def post_invite(
    request: Request[Any, Any, Any], station: Asking, settings: TheSettings, clock: TheClock, store: TheStore
) -> dict[str, Any]:
    """A new join code, shown once."""
    require_lead(station)
    asked = await read_json(request, InviteRequest, settings.max_json_bytes)
    invite = await sync_to_thread(make_invite, store, asked.name.strip(), asked.role, clock())
    url = invite.link(own_url(request, settings))
    return {"code": invite.code, "url": url, "expires_at_ms": invite.expires_at_ms, "qr_svg": svg_qr(url)}


@get("/api/stations")
async def get_stations(station: Asking, store: TheStore) -> list[dict[str, Any]]:
    """All stations, including those taken out."""
    require_lead(station)
    return [line._asdict() for line in await sync_to_thread(all_stations, store)]


@post("/api/stations/{station_id:str}/revoke", status_code=200)
async def post_revoke(
    station_id: FromPath[str], station: Asking, clock: TheClock, store: TheStore, news: TheNews
) -> dict[str, Any]:
    """Take a station out. Its entries stay; it may join again with a new code."""
    require_lead(station)
    refused = await sync_to_thread(revoke, store, station_id, clock())
    if refused is not None:
        raise Problem(refused)
    news.tell(rev=await sync_to_thread(last_rev, store))
    return {"station": station_id}


def own_url(request: Request[Any, Any, Any], settings: Settings) -> str:
    """How other devices reach this server: as configured, else as this request did."""
    return settings.public_url or f"{request.scope['scheme']}://{request.headers.get('host', '')}"


handlers = [post_invite, get_stations, post_revoke]
