"""What a station begins with: the live state at a position, and the history of what is live (F8.7)."""

from collections.abc import Generator, Iterator
from contextlib import contextmanager
from typing import NamedTuple

from sqlalchemy import Connection

from traymark.log.pull import PulledLine, flag_of, head_at
from traymark.log.records import live_hash, live_texts
from traymark.log.store import Store, last_position

# A tray is never put away, and moves with every job.
_MOST_OF_TRAY = 20

_LINES = "SELECT position, slug, raw, incarnation, seq FROM event WHERE position IN ({}) ORDER BY position"
_LIVE_POSITIONS = (
    "SELECT c.position FROM record r JOIN event_code c ON c.code = r.key "
    "WHERE r.collection IN ('job', 'thing', 'box') AND r.key NOT LIKE 'T%' "
    "UNION SELECT position FROM event WHERE slug IS NOT NULL "
    "UNION SELECT t.position FROM record r JOIN event_code t ON t.code = r.key "
    "WHERE r.collection = 'thing' AND r.key LIKE 'T%' AND t.position >= (SELECT min(position) FROM "
    "(SELECT n.position FROM event_code n WHERE n.code = r.key ORDER BY n.position DESC LIMIT ?))"
)


class Live(NamedTuple):
    """As of one moment. Records are (collection, key, JSON) in the order of F5.10; each can be walked once."""

    position: int
    head: str
    hash: str
    records: Iterator[tuple[str, str, bytes]]
    events: Iterator[PulledLine]


@contextmanager
def read_live(store: Store) -> Generator[Live]:
    """The live state, for as long as the block runs. What it takes is in proportion to what is live."""
    with store.database.read() as connection:
        last = last_position(connection)
        yield Live(
            last,
            head_at(connection, last),
            live_hash(connection),
            live_texts(connection),
            lines_at(connection, _LIVE_POSITIONS, (_MOST_OF_TRAY,)),
        )


def lines_at(connection: Connection, positions: str, values: tuple[str | int, ...]) -> Iterator[PulledLine]:
    """Events as in F8.2, at the positions that a query gives, in their order."""
    rows = connection.exec_driver_sql(_LINES.format(positions), values)
    for position, slug, raw, incarnation, seq in rows:
        yield PulledLine(position, flag_of(slug, incarnation, seq), raw)
