"""Which form a database has. Each form that a shop may have is a number, noted in the file itself.

Only the present one is read. `migrate.py` brings a file of an older form to it; nothing leads back but a backup.
"""

from typing import Any

from sqlalchemy import Connection
from sqlmodel import SQLModel

from traymark.log import rows as _rows

FORM = 1
"""The form of rows.py; `migrations/versions/` has the step that leads to it."""


class FormUnknown(Exception):
    """The file has a form that cannot be read here. The text is meant for a person and says what to do."""


class FormOlder(FormUnknown):
    """The file has an older form, from which `migrate` leads on."""

    def __init__(self, held: int) -> None:
        super().__init__(
            f"the database has form {held}, and this version of Traymark uses form {FORM}. Stop the server and run "
            "`traymark upgrade` on the same folder: it makes a backup first"
        )


class FormNewer(FormUnknown):
    """A newer version has used the file."""

    def __init__(self, held: int) -> None:
        super().__init__(
            f"a newer Traymark has used the database: it has form {held}, and this version knows forms up to {FORM}. "
            "Install the newer version; nothing was changed"
        )


def held_form(connection: Connection) -> int | None:
    """The form that the file has; None for a file without any table. Raises FormUnknown for one that is not ours."""
    names = set(connection.exec_driver_sql("SELECT name FROM sqlite_master WHERE type = 'table'").scalars())
    if not names:
        return None
    noted = connection.exec_driver_sql("SELECT version_num FROM alembic_version").scalar() if _NOTE in names else None
    if noted is None or not noted.isdecimal():
        raise FormUnknown(
            "the database has no form that this version of Traymark knows: it was made before the first release, or is "
            "not a shop's. Name another folder with --data"
        )
    return int(noted)


_NOTE = "alembic_version"


def refuse_other(held: int) -> None:
    """Raises FormOlder or FormNewer unless this is the present form."""
    if held < FORM:
        raise FormOlder(held)
    if held > FORM:
        raise FormNewer(held)


def make_tables(connection: Connection) -> int:
    """Make the tables of a new file, in the present form, within its transaction. All migrations make the same."""
    SQLModel.metadata.create_all(connection, tables=_tables())
    connection.exec_driver_sql(_rows.ARCHIVE_WORDS)
    connection.exec_driver_sql("INSERT INTO alembic_version (version_num) VALUES (?)", (str(FORM),))
    return FORM


def _tables() -> list[Any]:
    """All tables of rows.py, and none that another library put into the same metadata."""
    return [
        cls.__table__  # pyright: ignore[reportUnknownMemberType, reportAttributeAccessIssue]  # made by SQLModel at run time
        for cls in vars(_rows).values()
        if isinstance(cls, type) and issubclass(cls, SQLModel) and cls is not SQLModel
    ]
