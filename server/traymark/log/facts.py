"""Facts about the database, each under a name of its own (Meta)."""

from collections.abc import Callable

from sqlalchemy import Connection
from sqlmodel import col, insert, select, update

from traymark.log.rows import Meta


def keep_fact(connection: Connection, key: str, value: str) -> None:
    """Write a fact about the database, in place of what was there."""
    fact(connection, key, lambda: value)
    connection.execute(update(Meta).where(col(Meta.key) == key).values(value=value))


def fact(connection: Connection, key: str, first: Callable[[], str]) -> str:
    """A fact about the database (Meta), within its transaction; `first` gives it where there is none yet."""
    value = connection.execute(select(Meta.value).where(col(Meta.key) == key)).scalar()
    if value is None:
        value = first()
        connection.execute(insert(Meta).values(key=key, value=value))
    return value
