"""Which events name a code."""

from sqlmodel import col, select

from traymark.log.rows import EventCodeRow
from traymark.log.store import Store


def positions_of(store: Store, code: str) -> list[int]:
    """Positions of all events about a code, in the log's order."""
    query = select(EventCodeRow.position).where(col(EventCodeRow.code) == code).order_by(col(EventCodeRow.position))
    with store.database.read() as connection:
        return [row[0] for row in connection.execute(query)]
