"""Listing the stations, taking one out, and giving one a new incarnation."""

from typing import NamedTuple

from sqlalchemy import func, select
from sqlmodel import col, update

from traymark.docs.stations import tell_station
from traymark.log.rows import ChainRow, EventRow, IncarnationRow, StationRow
from traymark.log.store import Store
from traymark.refused import Refused
from traymark.stations.incarnations import give_incarnation, given_to

OWN_STATION = "own_station"
"""The fact (Meta) that names the station which the server itself is."""
OWN_ROLE = "server"

# A station takes a new incarnation when it joins, is restored or forks. One that does so more often than this is
# broken, and must not use up the shop's incarnations.
MOST_OF_STATION = 200


class StationLine(NamedTuple):
    """A station as a lead sees it."""

    id: str
    name: str
    role: str
    created_at_ms: int
    revoked_at_ms: int | None
    last_event_at_ms: int | None
    """When the server last received an entry from it."""


def has_stations(store: Store) -> bool:
    """Whether any station ever joined."""
    with store.database.read() as connection:
        query = select(func.count()).select_from(StationRow).where(col(StationRow.role) != OWN_ROLE)
        return connection.execute(query).scalar_one() > 0


def all_stations(store: Store) -> list[StationLine]:
    """All joined browsers, including those taken out, in the order of joining."""
    last = (
        select(col(IncarnationRow.station), func.max(col(EventRow.received_at_ms)).label("at_ms"))
        .join(ChainRow, col(ChainRow.incarnation) == col(IncarnationRow.prefix))
        .join(
            EventRow,
            (col(EventRow.incarnation) == col(ChainRow.incarnation)) & (col(EventRow.seq) == col(ChainRow.seq)),
        )
        .group_by(col(IncarnationRow.station))
        .subquery()
    )
    query = (
        select(
            col(StationRow.id), col(StationRow.name), col(StationRow.role), col(StationRow.created_at_ms),
            col(StationRow.revoked_at_ms), last.c.at_ms,
        )
        .join(last, last.c.station == col(StationRow.id), isouter=True)
        .where(col(StationRow.role) != OWN_ROLE)
        .order_by(col(StationRow.created_at_ms), col(StationRow.id))
    )  # fmt: skip
    with store.database.read() as connection:
        return [StationLine(*row) for row in connection.execute(query)]


def incarnations_of(store: Store, station: str) -> list[str]:
    """All incarnations that a station was given, oldest first."""
    query = select(col(IncarnationRow.prefix)).where(col(IncarnationRow.station) == station)
    with store.database.read() as connection:
        return list(connection.execute(query.order_by(col(IncarnationRow.id))).scalars())


def revoke(store: Store, station: str, now_ms: int) -> Refused | None:
    """Take a station out: its cookie opens nothing from now on. Durable on return; harmless to repeat."""
    with store.database.write() as connection:
        is_joined = (col(StationRow.id) == station) & (col(StationRow.role) != OWN_ROLE)
        found = connection.execute(select(col(StationRow.id)).where(is_joined)).first()
        if found is None:
            return Refused("not-found")
        own = (col(StationRow.id) == station) & col(StationRow.revoked_at_ms).is_(None)
        connection.execute(update(StationRow).where(own).values(revoked_at_ms=now_ms))
        tell_station(connection, station)
    return None


def new_incarnation(store: Store, station: str) -> str | Refused:
    """Another incarnation for a station (F3.1). Durable on return."""
    with store.database.write() as connection:
        if given_to(connection, station) >= MOST_OF_STATION:
            return Refused(
                "rate-limited", "This station took too many new logs. Ask a lead to look at it.", retry_after_s=3600
            )
        return give_incarnation(connection, station)
