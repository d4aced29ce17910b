"""Erasing until it is true: what was erased is noted until nothing of it is on the disk any more.

A commit alone leaves it in the journal, which cannot be emptied while anybody reads; and photos are files.
"""

import msgspec
from sqlalchemy import Connection
from sqlmodel import col, delete

from traymark.log.archive_words import have_words_left, tidy_words
from traymark.log.facts import keep_fact
from traymark.log.rows import Meta
from traymark.log.store import Store

_DUE = "erasing"
"""The fact (Meta) that holds the photos whose files are due, while anything is."""


ERASED = "data.erased"
"""The kind of the event that says that what belonged to a job was erased."""

_IS_ERASED = (
    "SELECT 1 FROM event_code c JOIN event e ON e.position = c.position WHERE c.code = ? AND e.kind = ? LIMIT 1"
)


def is_erased_job(connection: Connection, code: str) -> bool:
    """Whether what belonged to a job was erased: what comes late is not kept either."""
    return connection.exec_driver_sql(_IS_ERASED, (code, ERASED)).first() is not None


def begin_erasing(connection: Connection, photos: list[str]) -> None:
    """Note, in the transaction that erases, what is left to do after it."""
    keep_fact(connection, _DUE, msgspec.json.encode(sorted({*(_due(connection) or []), *photos})).decode())


def due_photos(store: Store) -> list[str] | None:
    """The photos whose files are due; None when nothing is left to do."""
    with store.database.read() as connection:
        return _due(connection)


def end_erasing(store: Store) -> bool:
    """Empty the journal, once the files are gone; False when somebody reads just now."""
    with store.database.write() as connection:
        if have_words_left(connection):
            tidy_words(connection)
            begin_erasing(connection, [])
    if not store.database.empty_journal():
        return False
    with store.database.write() as connection:
        connection.execute(delete(Meta).where(col(Meta.key) == _DUE))
    return True


def _due(connection: Connection) -> list[str] | None:
    held = connection.exec_driver_sql("SELECT value FROM meta WHERE key = ?", (_DUE,)).scalar()
    if held is None:
        return [] if have_words_left(connection) else None
    return msgspec.json.decode(held, type=list[str])
