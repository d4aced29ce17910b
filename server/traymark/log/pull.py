"""Reading the log from a cursor (F4.4, F8.2)."""

from typing import NamedTuple

import sqlalchemy
from sqlalchemy import Connection
from sqlmodel import col, select

from traymark.log.database import ask
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
    """Events of the log after position `after`; `last` is the log's last position.

    `head` is the hash of the last of them, or else of the one at `after`, in hex; empty at 0.
    """

    is_reset: bool
    after: int
    last: int
    events: list[PulledLine]
    head: str
    chain: ChainEnd | None


def flag_of(slug: str | None, incarnation: str, seq: int) -> str:
    """The flag of an event (F8.2)."""
    return "-" if slug is None else f"{slug}@{incarnation}.{seq}"


class Cursor(NamedTuple):
    """How far a station has pulled (F4.4). `head` is the hash of the event there; empty when it is not known."""

    epoch: str
    position: int
    head: str = ""


def read_after(store: Store, station: str, cursor: Cursor, limit: int, most_bytes: int) -> Pulled:
    """Events after a cursor, as of one moment. The answer ends with the event that reaches `most_bytes`.

    A cursor of another epoch, beyond the end of the log, or at another event than the log has there, starts over at 0:
    an older copy of the log was put back.
    """
    after = cursor.position
    with store.database.read() as connection:
        last = last_position(connection)
        is_other = cursor.head not in ("", head_at(connection, after))
        is_reset = cursor.epoch != store.epoch or after > last or is_other
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
        head = head_at(connection, events[-1].position if events else start)
    return Pulled(is_reset, start, last, events, head, chain)


def head_at(connection: Connection, position: int) -> str:
    """The hash of the event at a position, in hex; empty when there is none."""
    row = ask(connection, "SELECT hash FROM event WHERE position = ?", (position,))
    return "" if row is None else row[0].hex()
