"""From an older form of the database to the present one: all steps in one transaction, so a crash leaves the old form.

A step changes tables, and what cannot be derived only as far as its form demands. It never touches the log: its bytes,
hashes and positions are compared before and after. What derives from the log is made again by `rebuild.py` where a step
says so.
"""

from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path
from typing import Any

from sqlalchemy import Connection

from traymark.log.database import Database
from traymark.log.form import FORM, FormNewer, held_form

MIGRATIONS = Path(__file__).resolve().parent / "migrations"

_LOG = (
    "SELECT position, incarnation, seq, hash, raw, received_at_ms FROM event ORDER BY position",
    "SELECT incarnation, seq, prev, hash, raw, received_at_ms FROM fork ORDER BY incarnation, seq, hash",
)
"""What no step may change; these names therefore stay."""


class MigrationFailed(Exception):
    """A step could not be taken, and the file is as it was. The text is meant for a person."""


def migrate(database: Database) -> int:
    """Take the steps that are due. Durable on return, which is the form that the file had before.

    Raises FormNewer or MigrationFailed.
    """
    with database.write() as connection:
        held = held_form(connection) or FORM
        if held > FORM:
            raise FormNewer(held)
        if held < FORM:
            before = _log_digest(connection)
            try:
                take_steps(connection, FORM)
            except Exception as error:
                raise MigrationFailed(f"the step from form {held} to form {FORM} failed: {error}") from error
            if _log_digest(connection) != before:
                raise MigrationFailed(f"the step from form {held} to form {FORM} would have changed the log")
    return held


def take_steps(connection: Connection, to: int) -> None:
    """Bring the tables to a form, within the connection's transaction."""
    # Only here, because hardly any start needs it and loading it takes a while.
    from alembic import command
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS).replace("%", "%%"))
    config.attributes["connection"] = connection
    command.upgrade(config, str(to))


def _log_digest(connection: Connection) -> bytes:
    total = sha256()
    for row in _log_rows(connection):
        total.update(repr(row).encode())
    return total.digest()


def _log_rows(connection: Connection) -> Iterator[tuple[Any, ...]]:
    for query in _LOG:
        for row in connection.exec_driver_sql(query):
            yield tuple(row)
