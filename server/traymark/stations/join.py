"""Joining: a one-time code buys a station id, a cookie's token and the first incarnation."""

from dataclasses import dataclass

from sqlalchemy import Connection
from sqlmodel import col, insert, select, update

from traymark.docs.stations import tell_station
from traymark.letters import unused_letters
from traymark.log.rows import InviteRow, StationRow
from traymark.log.store import Store
from traymark.refused import Refused
from traymark.stations.incarnations import give_incarnation
from traymark.stations.tokens import hash_of, new_token, read_join_code


@dataclass(frozen=True)
class Joined:
    """A station that has just joined. `token` is its cookie, in plain text for the only time."""

    station: str
    name: str
    role: str
    incarnation: str
    token: str


def join(store: Store, typed_code: str, name: str, cookie: str | None, now_ms: int) -> Joined | Refused:
    """Spend a code. Durable on return.

    A browser that holds a station's cookie stays that station, even one that was taken out: a lead gave it a new code
    on purpose, and the entries it kept meanwhile are its own. It gets the code's role, a new token and incarnation.
    """
    letters = read_join_code(typed_code)
    if letters is None:
        return Refused("join-code-unknown")
    token = new_token()
    with store.database.write() as connection:
        invite = _spend(connection, letters, now_ms)
        if isinstance(invite, Refused):
            return invite
        invite_name, role = invite
        held = _station_of(connection, cookie)
        own_name = name or (held[1] if held else "") or invite_name
        if held is not None:
            station = held[0]
            values = {"name": own_name, "role": role, "token_hash": hash_of(token), "revoked_at_ms": None}
            connection.execute(update(StationRow).where(col(StationRow.id) == station).values(values))
        else:
            taken = {row[1:] for row in connection.execute(select(StationRow.id)).scalars()}
            station = "S" + unused_letters(taken)
            own_name = own_name or station
            values = {
                "id": station,
                "name": own_name,
                "role": role,
                "token_hash": hash_of(token),
                "created_at_ms": now_ms,
            }
            connection.execute(insert(StationRow).values(values))
        incarnation = give_incarnation(connection, station)
        tell_station(connection, station)
    return Joined(station, own_name, role, incarnation, token)


def _spend(connection: Connection, letters: str, now_ms: int) -> tuple[str, str] | Refused:
    """The name and role of an unspent code, which is now spent."""
    query = select(InviteRow.name, InviteRow.role, InviteRow.expires_at_ms, InviteRow.used_at_ms)
    row = connection.execute(query.where(col(InviteRow.code_hash) == hash_of(letters))).first()
    if row is None or row[3] is not None:
        return Refused("join-code-unknown")
    if now_ms >= row[2]:
        return Refused("join-code-expired")
    connection.execute(update(InviteRow).where(col(InviteRow.code_hash) == hash_of(letters)).values(used_at_ms=now_ms))
    return row[0], row[1]


def _station_of(connection: Connection, cookie: str | None) -> tuple[str, str] | None:
    if not cookie:
        return None
    query = select(StationRow.id, StationRow.name).where(col(StationRow.token_hash) == hash_of(cookie))
    row = connection.execute(query).first()
    return None if row is None else (row[0], row[1])
