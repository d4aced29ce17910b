"""Deriving everything again from the bytes of the log alone."""

from typing import Any

from sqlalchemy import Connection
from sqlmodel import col, delete, insert, select, update

from traymark.events.envelope import Event
from traymark.fold.fold import Entry, fold_name
from traymark.log.archive_words import forget_words
from traymark.log.derive import Derivation, Progress, batches
from traymark.log.push import judge, put_chain
from traymark.log.rows import ArchiveRow, ChainRow, EventCodeRow, IncarnationRow, Meta, RecordRow
from traymark.log.store import Store


def rebuild(store: Store, progress: Progress = lambda _: None) -> int:
    """Fold the whole log again. Returns how many events it has. All or nothing: a crash leaves what was there."""
    with store.database.write(store.records.forget) as connection:
        for derived in (RecordRow, ArchiveRow, EventCodeRow, ChainRow):
            connection.execute(delete(derived))
        forget_words(connection)
        count = _fold_all(connection, progress)
        _set_fold(connection, fold_name())
    return count


def bring_up_to_date(store: Store, progress: Progress = lambda _: None) -> int | None:
    """Rebuild if the fold has changed since the log was last folded, or a migration asks for it; None if not."""
    now = fold_name()
    with store.database.write() as connection:
        held = connection.execute(select(Meta.value).where(col(Meta.key) == "fold")).scalar()
        if held is None:
            connection.execute(insert(Meta).values(key="fold", value=now))
            return None
    return None if held == now else rebuild(store, progress)


def _fold_all(connection: Connection, progress: Progress) -> int:
    owner = {row[0]: row[1] for row in connection.execute(select(IncarnationRow.prefix, IncarnationRow.station))}
    derivation = Derivation(connection)
    ends: dict[str, tuple[int, bytes]] = {}
    count = 0
    for rows in batches(connection, 0, progress):
        entries: list[tuple[int, Entry]] = []
        verdicts: list[tuple[Any, ...]] = []
        for row in rows:
            event = judge(row.raw, owner.get(row.incarnation, ""), row.incarnation, row.seq)
            is_sound = isinstance(event, Event)
            verdicts.append(
                (event.kind, None, None, row.position) if is_sound else (None, event.slug, event.pointer, row.position)
            )
            entries.append((row.position, Entry(row.incarnation, row.seq, event)))
            ends[row.incarnation] = (row.seq, row.hash)
        derivation.add(entries)
        connection.exec_driver_sql("UPDATE event SET kind = ?, slug = ?, pointer = ? WHERE position = ?", verdicts)
        count += len(rows)
    for incarnation, (seq, head) in ends.items():
        put_chain(connection, incarnation, seq, head)
    return count


def _set_fold(connection: Connection, name: str) -> None:
    connection.execute(update(Meta).where(col(Meta.key) == "fold").values(value=name))
