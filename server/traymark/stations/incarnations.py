"""Incarnations (F3.1): three letters of the alphabet, never given out twice."""

import secrets
from itertools import product

from sqlalchemy import Connection
from sqlmodel import col, func, insert, select

from traymark.events.field_types import ALPHABET
from traymark.log.rows import IncarnationRow

LETTERS = 3
_TRIES = 32


def give_incarnation(connection: Connection, station: str) -> str:
    """An incarnation that no station ever had, now this station's. Durable with the transaction.

    Drawn at random and not counted up: a server restored from an older copy does not know those given out since, and
    would count to the same ones again. Of the 32,768, a few thousand last a shop for decades.
    """
    taken = set(connection.execute(select(IncarnationRow.prefix)).scalars())
    prefix = _unused(taken, LETTERS)
    connection.execute(insert(IncarnationRow).values(prefix=prefix, station=station))
    return prefix


def given_to(connection: Connection, station: str) -> int:
    """How many incarnations a station has had."""
    query = select(func.count()).select_from(IncarnationRow).where(col(IncarnationRow.station) == station)
    return connection.execute(query).scalar_one()


def unused_letters(taken: set[str]) -> str:
    """Three letters not among these, at random; for the ids of stations and staff (F1.6)."""
    return _unused(taken, LETTERS)


def _unused(taken: set[str], letters: int) -> str:
    for _ in range(_TRIES):
        candidate = "".join(secrets.choice(ALPHABET) for _ in range(letters))
        if candidate not in taken:
            return candidate
    free = ["".join(p) for p in product(ALPHABET, repeat=letters) if "".join(p) not in taken]
    return secrets.choice(free)
