"""Log prefixes (F3.1), never given out twice."""

from sqlalchemy import Connection
from sqlmodel import col, func, insert, select

from traymark.letters import unused_letters
from traymark.log.rows import IncarnationRow


def give_incarnation(connection: Connection, station: str) -> str:
    """A prefix that no station ever had, now this station's. Durable with the transaction.

    Taken at random and not by counting: a server restored from an older copy does not know the prefixes that were
    given out since, and would count to the same ones again. Of 32,768 prefixes some thousands serve a shop for decades.
    """
    taken = set(connection.execute(select(IncarnationRow.prefix)).scalars())
    prefix = unused_letters(taken)
    connection.execute(insert(IncarnationRow).values(prefix=prefix, station=station))
    return prefix


def given_to(connection: Connection, station: str) -> int:
    """How many prefixes a station has had."""
    query = select(func.count()).select_from(IncarnationRow).where(col(IncarnationRow.station) == station)
    return connection.execute(query).scalar_one()
