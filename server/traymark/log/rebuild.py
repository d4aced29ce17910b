"""Deriving everything again from the bytes of the log alone."""

from typing import Any

from sqlalchemy import Connection
from sqlmodel import col, delete, insert, select, update

from traymark.events.about import codes_of
from traymark.events.envelope import Event
from traymark.fold.changes import Changes
from traymark.fold.fold import Entry, apply, fold_name
from traymark.log.push import insert_codes, judge, put_chain
from traymark.log.records import write_records
from traymark.log.rows import ArchiveRow, ChainRow, EventCodeRow, IncarnationRow, Meta, RecordRow
from traymark.log.store import Store

_READ_AT_ONCE = 1_000
_NEXT = "SELECT position, incarnation, seq, hash, raw FROM event WHERE position > ? ORDER BY position LIMIT ?"


def rebuild(store: Store) -> int:
    """Fold the whole log again. Returns how many events it has. All or nothing: a crash leaves what was there."""
    with store.database.write(store.records.forget) as connection:
        for derived in (RecordRow, ArchiveRow, EventCodeRow, ChainRow):
            connection.execute(delete(derived))
        count = _fold_all(connection)
        _set_fold(connection, fold_name())
    return count


def bring_up_to_date(store: Store) -> int | None:
    """Rebuild if the tables or the fold have changed since the log was last folded; None if they have not."""
    now = fold_name()
    with store.database.write() as connection:
        held = connection.execute(select(Meta.value).where(col(Meta.key) == "fold")).scalar()
        if held is None:
            connection.execute(insert(Meta).values(key="fold", value=now))
            return None
    return None if held == now else rebuild(store)


def _fold_all(connection: Connection) -> int:
    """Records stay in memory until the end: a rebuild needs room for the whole state."""
    owner = {row[0]: row[1] for row in connection.execute(select(IncarnationRow.prefix, IncarnationRow.station))}
    changes = Changes()
    ends: dict[str, tuple[int, bytes]] = {}
    position = 0
    while rows := _next_rows(connection, position):
        codes: list[tuple[str, int]] = []
        verdicts: list[tuple[Any, ...]] = []
        for position, incarnation, seq, hash_, raw in rows:
            event = judge(raw, owner.get(incarnation, ""), incarnation, seq)
            if isinstance(event, Event):
                codes.extend((code, position) for code in codes_of(event))
                verdicts.append((event.kind, None, None, position))
            else:
                verdicts.append((None, event.slug, event.pointer, position))
            apply(changes, Entry(incarnation, seq, event))
            ends[incarnation] = (seq, hash_)
        insert_codes(connection, codes)
        connection.exec_driver_sql("UPDATE event SET kind = ?, slug = ?, pointer = ? WHERE position = ?", verdicts)
    for incarnation, (seq, head) in ends.items():
        put_chain(connection, incarnation, seq, head)
    write_records(connection, changes)
    return connection.exec_driver_sql("SELECT count(*) FROM event").scalar_one()


def _next_rows(connection: Connection, after: int) -> list[Any]:
    return list(connection.exec_driver_sql(_NEXT, (after, _READ_AT_ONCE)))


def _set_fold(connection: Connection, name: str) -> None:
    connection.execute(update(Meta).where(col(Meta.key) == "fold").values(value=name))
