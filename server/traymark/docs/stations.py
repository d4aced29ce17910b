"""What stations know of each other: one document per station, so that a history can name them offline (F7.7)."""

import msgspec
from sqlalchemy import Connection
from sqlmodel import col, select

from traymark.docs.keep import keep_doc
from traymark.log.rows import StationRow
from traymark.log.store import Store

KIND = "station"


def tell_station(connection: Connection, station: str) -> None:
    """Write the document of a station as it is now, within the transaction that changed the station."""
    query = select(StationRow.name, StationRow.revoked_at_ms).where(col(StationRow.id) == station)
    name, revoked_at_ms = connection.execute(query).one()
    body = {"name": name, "taken_out": revoked_at_ms is not None}
    keep_doc(connection, station_id(station), KIND, msgspec.json.encode(body, order="sorted").decode())


def tell_stations(store: Store) -> None:
    """Write documents for stations that joined before such documents existed."""
    with store.database.write() as connection:
        for station in (
            connection.execute(select(StationRow.id).order_by(col(StationRow.created_at_ms))).scalars().all()
        ):
            tell_station(connection, station)


def station_id(station: str) -> str:
    """The document id of a station."""
    return f"station:{station}"
