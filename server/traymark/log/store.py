"""The store: one database, its epoch, and the fold's records kept in memory."""

import secrets
from collections.abc import Generator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Literal, overload

import msgspec
from sqlalchemy import Connection, func
from sqlmodel import col, select, update

from traymark.fold.changes import Changes, Record
from traymark.fold.records_gen import Box, Chain, Job, Staff, Station, Thing
from traymark.log.database import Database
from traymark.log.facts import fact
from traymark.log.records import RecordKey, Records, TakenChanges, live_hash, read_any, write_records
from traymark.log.rows import ArchiveRow, ChainRow, EventRow, Meta, RecordRow
from traymark.log.runs import begin_run, present_run


class Store:
    """An open log. The functions of log/ and docs/ work on it: `push`, `read_after`, `put_doc`, `verify`, `rebuild`."""

    def __init__(self, path: Path, *, sole_writer: bool = True) -> None:
        """Open or create the file. Raises StoreInUse, StoreDamaged or FormUnknown."""
        self.database = Database(path, sole_writer=sole_writer)
        self.data_dir = path.parent
        self.records = Records()
        with self.database.write() as connection:
            self.epoch = fact(connection, "epoch", new_epoch_name)
            self.run = begin_run(connection) if sole_writer else present_run(connection)

    def close(self) -> None:
        """Close the file."""
        self.database.close()

    @contextmanager
    def changing(self) -> Generator[tuple[Connection, Changes]]:
        """A transaction in which events are folded: the records they touched are written with it.

        The records in memory are updated after the commit and before the next transaction begins.
        """
        written: dict[RecordKey, Record] = {}
        with self.database.write(lambda: self.records.keep(written)) as connection:
            changes = TakenChanges(self.records, connection)
            yield connection, changes
            write_records(connection, changes)
            written = changes.dirty

    def position(self) -> int:
        """The position of the last event; 0 for an empty log (F4.1)."""
        with self.database.read() as connection:
            return last_position(connection)

    @overload
    def record(self, collection: Literal["job"], key: str) -> Job | None: ...
    @overload
    def record(self, collection: Literal["thing"], key: str) -> Thing | None: ...
    @overload
    def record(self, collection: Literal["box"], key: str) -> Box | None: ...
    @overload
    def record(self, collection: Literal["staff"], key: str) -> Staff | None: ...
    @overload
    def record(self, collection: Literal["chain"], key: str) -> Chain | None: ...
    @overload
    def record(self, collection: Literal["station"], key: str) -> Station | None: ...
    def record(self, collection: str, key: str) -> Any:
        """A record of the fold as of the last commit, live or put away, or None."""
        with self.database.read() as connection:
            return read_any(connection, collection, key)

    def job_by_ticket(self, token: str) -> tuple[str, Job] | None:
        """The job code and job of a ticket token; of several with one token the first live one by code."""
        with self.database.read() as connection:
            for table in (RecordRow, ArchiveRow):
                query = select(table.key, table.json_text).where(col(table.ticket) == token).order_by(col(table.key))
                row = connection.execute(query).first()
                if row is not None:
                    return row[0], msgspec.json.decode(row[1])
        return None

    def chain_ends(self) -> dict[str, int]:
        """The last seq of each chain."""
        with self.database.read() as connection:
            return {row[0]: row[1] for row in connection.execute(select(ChainRow.incarnation, ChainRow.seq))}

    def fact(self, key: str) -> str | None:
        """A fact about the database (Meta), or None."""
        with self.database.read() as connection:
            return connection.execute(select(Meta.value).where(col(Meta.key) == key)).scalar()

    def state(self) -> tuple[int, str]:
        """The last position and the state hash there (F5.10)."""
        with self.database.read() as connection:
            return last_position(connection), live_hash(connection)

    def begin_epoch(self) -> str:
        """Start a new epoch, as after restoring a backup: stations then offer what this log lacks (F4.4)."""
        with self.database.write() as connection:
            epoch = new_epoch_name()
            connection.execute(update(Meta).where(col(Meta.key) == "epoch").values(value=epoch))
        self.epoch = epoch
        return epoch


def new_epoch_name() -> str:
    """A name for an epoch that no other one has."""
    return secrets.token_hex(8)


def last_position(connection: Connection) -> int:
    """The position of the last event, as this transaction sees it."""
    return connection.execute(select(func.max(EventRow.position))).scalar() or 0
