"""The station that the server is. Its events are a chain like all others, in the log and on every station."""

from typing import Any, NamedTuple

from sqlalchemy import Connection
from sqlmodel import col, insert, select

from traymark.docs.stations import tell_station
from traymark.events.chain import link
from traymark.events.write import write_event
from traymark.fold.changes import Changes
from traymark.letters import unused_letters
from traymark.log.facts import fact
from traymark.log.push import Checked, append, chain_of, judge
from traymark.log.rows import IncarnationRow, StationRow
from traymark.log.store import last_position
from traymark.stations.incarnations import give_incarnation
from traymark.stations.registry import OWN_ROLE, OWN_STATION
from traymark.stations.tokens import hash_of, new_token

_NAME = "The server"


class OwnEvent(NamedTuple):
    """What the server has to say. Nobody is signed on there."""

    kind: str
    job: str | None
    body: dict[str, Any]


def write_own(connection: Connection, changes: Changes, events: list[OwnEvent], now_ms: int) -> None:
    """Write events of the server, within the transaction that found them to be due. None of them is malformed."""
    station = fact(connection, OWN_STATION, lambda: _join(connection, now_ms))
    newest = select(IncarnationRow.prefix).where(col(IncarnationRow.station) == station)
    incarnation: str = connection.execute(newest.order_by(col(IncarnationRow.id).desc()).limit(1)).scalar_one()
    seq, head = chain_of(connection, station, incarnation)
    begin = [] if seq else [OwnEvent("station.began", None, {"reason": "joined"})]
    checked: list[Checked] = []
    for event in [*begin, *events]:
        seq += 1
        raw = write_event(event.kind, station, incarnation, seq, None, now_ms, event.job, event.body)
        head = link(head, raw)
        checked.append(Checked(incarnation, seq, judge(raw, station, incarnation, seq), head, raw))
    append(connection, changes, incarnation, checked, last_position(connection), now_ms)


def _join(connection: Connection, now_ms: int) -> str:
    """Become a station; no cookie opens it."""
    station = "S" + unused_letters({row[1:] for row in connection.execute(select(StationRow.id)).scalars()})
    row = {"id": station, "name": _NAME, "role": OWN_ROLE, "token_hash": hash_of(new_token()), "created_at_ms": now_ms}
    connection.execute(insert(StationRow).values(row))
    give_incarnation(connection, station)
    tell_station(connection, station)
    return station
