"""Which station a cookie belongs to."""

from typing import NamedTuple

from traymark.log.store import Store
from traymark.refused import Refused
from traymark.stations.tokens import hash_of

_SELECT = "SELECT id, name, role, revoked_at_ms FROM station WHERE token_hash = ?"


class Station(NamedTuple):
    """A station that has joined and was not taken out."""

    id: str
    name: str
    role: str


def station_of(store: Store, cookie: str | None) -> Station | Refused:
    """The station of a cookie, or station-unknown or station-revoked."""
    if not cookie:
        return Refused("station-unknown")
    row = store.database.row(_SELECT, (hash_of(cookie),))
    if row is None:
        return Refused("station-unknown")
    if row[3] is not None:
        return Refused("station-revoked")
    return Station(row[0], row[1], row[2])
