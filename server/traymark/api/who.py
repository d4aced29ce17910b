"""Who asks: the station behind the cookie, and whether the request comes from our own pages."""

from typing import Any, NamedTuple

from litestar.connection import ASGIConnection
from litestar.handlers import BaseRouteHandler
from sqlmodel import col, select

from traymark.api.problems import refuse
from traymark.config import Settings
from traymark.log.rows import StationRow
from traymark.log.store import Store
from traymark.stations.secrets_made import hash_of

COOKIE = "__Host-traymark"

_SAFE_METHODS = frozenset({"GET", "HEAD", "OPTIONS"})


class Station(NamedTuple):
    """A joined station that was not taken out."""

    id: str
    name: str
    role: str


def station_of(cookie: str | None, store: Store) -> Station:
    """The station of a cookie. Raises station-unknown or station-revoked."""
    if not cookie:
        raise refuse("station-unknown")
    query = select(StationRow.id, StationRow.name, StationRow.role, StationRow.revoked_at_ms).where(
        col(StationRow.token_hash) == hash_of(cookie)
    )
    with store.database.read() as connection:
        row = connection.execute(query).first()
    if row is None:
        raise refuse("station-unknown")
    if row[3] is not None:
        raise refuse("station-revoked")
    return Station(row[0], row[1], row[2])


def require_lead(station: Station) -> None:
    """Raises not-allowed for a station that is not a lead's."""
    if station.role != "lead":
        raise refuse("not-allowed")


def same_origin(connection: ASGIConnection[Any, Any, Any, Any], _: BaseRouteHandler) -> None:
    """A request that changes something must come from our own pages when it says where it comes from."""
    origin = connection.headers.get("origin")
    if origin is None or connection.scope.get("method") in _SAFE_METHODS:
        return
    settings: Settings = connection.app.state.settings
    own = f"{connection.scope['scheme']}://{connection.headers.get('host', '')}"
    if origin not in (own, settings.public_url.rstrip("/")):
        raise refuse("request-malformed", "This request comes from another site's page.")
