"""Who sent a request: the station behind the cookie, and whether it comes from our own pages."""

from typing import Any, cast

from litestar import Request
from litestar.connection import ASGIConnection
from litestar.handlers import BaseRouteHandler

from traymark.api.parts import TheStore
from traymark.api.problems import Problem, refuse
from traymark.config import Settings
from traymark.refused import Refused
from traymark.stations.cookie import Station, station_of

COOKIE = "__Host-traymark"

_SAFE_METHODS = frozenset({"GET", "HEAD", "OPTIONS"})

__all__ = ["COOKIE", "Station", "asking_station", "require_lead", "same_origin"]


def asking_station(request: Request[Any, Any, Any], store: TheStore) -> Station:
    """The station that sent the request. Raises station-unknown or station-revoked.

    Runs on the event loop: one indexed read that no writer blocks costs less than handing it to a thread.
    """
    found = station_of(store, request.cookies.get(COOKIE))
    if isinstance(found, Refused):
        raise Problem(found)
    return found


def require_lead(station: Station) -> None:
    """Raises not-allowed for a station that is not a lead's."""
    if station.role != "lead":
        raise refuse("not-allowed")


def same_origin(connection: ASGIConnection[Any, Any, Any, Any], _: BaseRouteHandler) -> None:
    """A request that changes something and names its origin must come from our own pages."""
    origin = connection.headers.get("origin")
    scope = cast("dict[str, Any]", connection.scope)
    if origin is None or scope.get("method") in _SAFE_METHODS:
        return
    settings: Settings = connection.app.state.settings
    own = f"{scope['scheme']}://{connection.headers.get('host', '')}"
    if origin not in (own, settings.public_url.rstrip("/")):
        raise refuse("origin-foreign")
