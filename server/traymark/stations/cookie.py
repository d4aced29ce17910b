"""Which station a cookie belongs to."""

from typing import NamedTuple

from sqlmodel import col, select

from traymark.log.rows import StationRow
from traymark.log.store import Store
from traymark.refused import Refused
from traymark.stations.secrets_made import hash_of


class Station(NamedTuple):
    """A joined station that was not taken out."""

    id: str
    name: str
    role: str


def station_of(store: Store, cookie: str | None) -> Station | Refused:
    """The station of a cookie, or station-unknown or station-revoked."""
    if not cookie:
        return Refused("station-unknown")
    query = select(StationRow.id, StationRow.name, StationRow.role, StationRow.revoked_at_ms).where(
        col(StationRow.token_hash) == hash_of(cookie)
    )
    with store.database.read() as connection:
        row = connection.execute(query).first()
    if row is None:
        return Refused("station-unknown")
    if row[3] is not None:
        return Refused("station-revoked")
    return Station(row[0], row[1], row[2])
