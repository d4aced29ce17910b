"""Which events name a code."""

from sqlalchemy import Connection
from sqlmodel import col, select

from traymark.events.envelope import Event, parse
from traymark.log.database import ask
from traymark.log.rows import EventCodeRow, EventRow
from traymark.log.store import Store

_SELECT_LAST = (
    "SELECT e.received_at_ms FROM event_code c JOIN event e ON e.position = c.position "
    "WHERE c.code = ? ORDER BY c.position DESC LIMIT 1"
)


def last_received_at_ms(connection: Connection, code: str) -> int:
    """When the newest event about a code came; 0 when there is none."""
    row = ask(connection, _SELECT_LAST, (code,))
    return 0 if row is None else row[0]


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
