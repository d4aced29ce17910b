"""Opening the database: SQLite in WAL mode, durable at every commit, one writing process.

Trust: whoever can write this file can write the shop's log. The hashes of every chain must then still fit, and the
stations hold their own last hashes; `verify` and they would show it. Losing the file costs what the stations no longer
keep.
"""

import sqlite3
from collections.abc import Callable, Generator
from contextlib import contextmanager
from pathlib import Path
from threading import Lock
from typing import Any

from filelock import FileLock, Timeout
from sqlalchemy import Connection, Engine, RootTransaction, create_engine, event
from sqlalchemy.exc import DatabaseError, OperationalError

from traymark.log.form import held_form, make_tables, refuse_other

# How long a reader or a command waits for another process's commit.
_BUSY_MS = 5_000
_MOMENT_MS = 100

DATABASE = "traymark.sqlite"
"""The name of the file in a shop's folder."""


class StoreInUse(Exception):
    """Another process is the writer of this log. The text is meant for a person."""


class StoreDamaged(Exception):
    """The file cannot be read as a database. The text is meant for a person."""


class StoreBusy(Exception):
    """Another process, such as a command, held the file longer than we wait. Nothing was changed."""


class Database:
    """Connections to one file. Each `write()` is one transaction; they run one after another."""

    def __init__(self, path: Path, *, sole_writer: bool = True, any_form: bool = False) -> None:
        """Open or create the file. With `any_form`, one of another form is opened too, to be copied or migrated.

        Raises StoreInUse when `sole_writer` and another process has it for writing. Raises StoreDamaged or FormUnknown.
        """
        path.parent.mkdir(parents=True, exist_ok=True)
        self._lock_file = lock_folder(path) if sole_writer else None
        self.is_sole_writer = sole_writer
        self.engine = _engine(path)
        self._one_at_a_time = Lock()
        try:
            form = self.form()
            if not any_form:
                refuse_other(form)
        except BaseException as error:
            self.close()
            if isinstance(error, DatabaseError):
                raise StoreDamaged(f"{path} cannot be read: {error.orig}") from error
            raise

    def form(self) -> int:
        """The form that the file has; a new file is given the present one."""
        with self.read() as connection:
            held = held_form(connection)
        if held is not None:
            return held
        with self.write() as connection:
            return held_form(connection) or make_tables(connection)

    @contextmanager
    def write(self, after_commit: Callable[[], None] | None = None) -> Generator[Connection]:
        """A transaction that writes. Durable when the block has ended; if it raised, nothing was changed.

        Raises StoreBusy when another process does not let go of the file.
        """
        with self._one_at_a_time:
            with self.engine.connect().execution_options(begin_immediate=True) as connection, _begun(connection):
                yield connection
            if after_commit is not None:
                after_commit()

    @contextmanager
    def read(self) -> Generator[Connection]:
        """A consistent snapshot of the database, however long the block takes."""
        with self.engine.connect() as connection, connection.begin():
            yield connection

    def row(self, query: str, values: tuple[Any, ...]) -> Any:
        """The first row of one query as of the last commit, or None. For what every request needs."""
        with self.engine.connect() as connection:
            return ask(connection, query, values)

    def empty_journal(self) -> bool:
        """Move the write-ahead log into the database and empty it, so that nothing overwritten stays there.

        False when a reader of an older snapshot is in the way. Writers wait for this, so it waits only a moment.
        """
        with self._one_at_a_time, self.engine.connect() as connection:
            cursor = connection.connection.cursor()
            try:
                cursor.execute(f"PRAGMA busy_timeout={_MOMENT_MS}")
                is_busy, *_ = cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()
            finally:
                cursor.execute(f"PRAGMA busy_timeout={_BUSY_MS}")
                cursor.close()
        return not is_busy

    def copy_to(self, path: Path) -> None:
        """Write a compact copy as of this moment, whatever is written meanwhile. What was erased is not in it."""
        with self.engine.connect() as connection:
            cursor = connection.connection.cursor()
            cursor.execute("VACUUM INTO ?", (str(path),))
            cursor.close()

    def close(self) -> None:
        """Close the file. Safe to call twice."""
        self.engine.dispose()
        if self._lock_file is not None:
            self._lock_file.release()
            self._lock_file = None


def ask(connection: Connection, query: str, values: tuple[Any, ...]) -> Any:
    """The first row of a query, or None. Straight through the driver: a push makes hundreds of these."""
    cursor = connection.connection.cursor()
    cursor.execute(query, values)
    row = cursor.fetchone()
    cursor.close()
    return row


def tell(connection: Connection, statement: str, rows: list[tuple[Any, ...]]) -> None:
    """Run a statement with each of these rows, straight through the driver."""
    cursor = connection.connection.cursor()
    cursor.executemany(statement, rows)
    cursor.close()


@contextmanager
def leaving_no_copy(connection: Connection) -> Generator[None]:
    """What is overwritten here may be a name or a number: no copy of it may stay in the file's free space."""
    connection.exec_driver_sql("PRAGMA secure_delete = ON")
    yield
    connection.exec_driver_sql("PRAGMA secure_delete = FAST")


def _begun(connection: Connection) -> RootTransaction:
    try:
        return connection.begin()
    except OperationalError as error:
        if isinstance(error.orig, sqlite3.OperationalError) and error.orig.sqlite_errorcode == sqlite3.SQLITE_BUSY:
            raise StoreBusy from error
        raise


def lock_folder(database: Path) -> FileLock:
    """The lock of the one writer of a database. It ends with the process: after a crash it is free again.

    Raises StoreInUse.
    """
    lock = FileLock(database.with_suffix(".lock"), blocking=False, thread_local=False)
    try:
        lock.acquire()
    except Timeout as error:
        raise StoreInUse("another Traymark server is writing this data folder; stop it first") from error
    return lock


def _engine(path: Path) -> Engine:
    engine = create_engine(f"sqlite:///{path}", connect_args={"check_same_thread": False}, pool_size=8, max_overflow=40)

    @event.listens_for(engine, "connect")
    def _pragmas(dbapi_connection: Any, _record: Any) -> None:  # pyright: ignore[reportUnusedFunction]  # SQLAlchemy calls it
        # The driver would begin transactions by itself, and too late; `_begin` does it instead.
        dbapi_connection.isolation_level = None
        cursor = dbapi_connection.cursor()
        for pragma in (
            "journal_mode=WAL",
            "synchronous=FULL",
            "foreign_keys=ON",
            f"busy_timeout={_BUSY_MS}",
            "secure_delete=FAST",
        ):
            cursor.execute(f"PRAGMA {pragma}")
        cursor.close()

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:  # pyright: ignore[reportUnusedFunction]  # SQLAlchemy calls it
        is_write = connection.get_execution_options().get("begin_immediate")
        connection.exec_driver_sql("BEGIN IMMEDIATE" if is_write else "BEGIN")

    return engine
