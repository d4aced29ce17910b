"""Reading the log from a cursor (F4.4, F8.2)."""

from typing import NamedTuple

import sqlalchemy
from sqlmodel import col, select

from traymark.log.push import chain_of
from traymark.log.rows import EventRow, IncarnationRow
from traymark.log.store import Store, last_position

MOST_EVENTS = 2_000


class PulledLine(NamedTuple):
    """An event's place, its flag (F8.2) and its bytes."""

    position: int
    flag: str
    raw: bytes


class ChainEnd(NamedTuple):
    """The last event of a station's newest chain in the log."""

    incarnation: str
    seq: int
    head: bytes


class Pulled(NamedTuple):
    """Events of the log after position `after`; `last` is the log's last position."""

    is_reset: bool
    after: int
    last: int
    events: list[PulledLine]
    chain: ChainEnd | None


def flag_of(slug: str | None, incarnation: str, seq: int) -> str:
    """The flag of an event (F8.2)."""
    return "-" if slug is None else f"{slug}@{incarnation}.{seq}"


def read_after(store: Store, station: str, epoch: str, after: int, limit: int, most_bytes: int) -> Pulled:
    """Events after a cursor, as of one moment. The answer ends with the event that reaches `most_bytes`.

    A cursor of another epoch, or beyond the end of the log, starts over at 0.
    """
    with store.database.read() as connection:
        last = last_position(connection)
        is_reset = epoch != store.epoch or after > last
        start = 0 if is_reset else after
        query = (
            # SQLModel's own select takes four columns at most.
            sqlalchemy.select(
                col(EventRow.position),
                col(EventRow.slug),
                col(EventRow.raw),
                col(EventRow.incarnation),
                col(EventRow.seq),
            )
            .where(col(EventRow.position) > start)
            .order_by(col(EventRow.position))
            .limit(min(limit, MOST_EVENTS))
        )
        events: list[PulledLine] = []
        size = 0
        for position, slug, raw, incarnation, seq in connection.execute(query):
            events.append(PulledLine(position, flag_of(slug, incarnation, seq), raw))
            size += len(raw)
            if size >= most_bytes:
                break
        newest = connection.execute(
            select(IncarnationRow.prefix)
            .where(col(IncarnationRow.station) == station)
            .order_by(col(IncarnationRow.id).desc())
            .limit(1)
        ).scalar()
        chain = None if newest is None else ChainEnd(newest, *chain_of(connection, station, newest))
    return Pulled(is_reset, start, last, events, chain)
