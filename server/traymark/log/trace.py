"""Which events name a code."""

from sqlmodel import col, select

from traymark.events.envelope import Event, parse
from traymark.log.rows import EventCodeRow, EventRow
from traymark.log.store import Store


def events_of(store: Store, code: str, most: int) -> list[Event]:
    """The first `most` sound events about a code, in the log's order."""
    query = (
        select(EventRow.raw)
        .join(EventCodeRow, col(EventCodeRow.position) == col(EventRow.position))
        .where(col(EventCodeRow.code) == code)
        .order_by(col(EventRow.position))
        .limit(most)
    )
    with store.database.read() as connection:
        parsed = [parse(row[0]) for row in connection.execute(query)]
    return [event for event in parsed if isinstance(event, Event)]
