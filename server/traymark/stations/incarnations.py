"""Incarnations (F3.1), never given out twice."""

from sqlalchemy import Connection
from sqlmodel import col, func, insert, select

from traymark.letters import unused_letters
from traymark.log.rows import IncarnationRow


def give_incarnation(connection: Connection, station: str) -> str:
    """An incarnation that no station ever had, now this station's. Durable with the transaction.

    Drawn at random and not counted up: a server restored from an older copy does not know those given out since, and
    would count to the same ones again. Of the 32,768, a few thousand last a shop for decades.
    """
    taken = set(connection.execute(select(IncarnationRow.prefix)).scalars())
    prefix = unused_letters(taken)
    connection.execute(insert(IncarnationRow).values(prefix=prefix, station=station))
    return prefix


def given_to(connection: Connection, station: str) -> int:
    """How many incarnations a station has had."""
    query = select(func.count()).select_from(IncarnationRow).where(col(IncarnationRow.station) == station)
    return connection.execute(query).scalar_one()
