"""What will happen in the invented shop, collected in any order and written in order of time."""

from typing import Any, NamedTuple

from traymark.demo.virtual_station import VirtualStation

Body = dict[str, Any]


class Entry(NamedTuple):
    """One event to come. A `thing.moved` gets its `after` when it is written: only then are its heads known (F6.1)."""

    at_ms: int
    number: int
    station: str
    staff: str | None
    kind: str
    job: str | None
    body: Body


class Plan:
    """Entries so far."""

    def __init__(self, heads: dict[str, list[str]] | None = None) -> None:
        """`heads` are those of moves before this plan, by thing, and are kept up to date."""
        self._entries: list[Entry] = []
        self._heads = {} if heads is None else heads

    def add(self, at_ms: int, station: str, staff: str | None, kind: str, job: str | None, body: Body) -> None:
        """An event of a station, by a person, at a time."""
        self._entries.append(Entry(at_ms, len(self._entries), station, staff, kind, job, body))

    def move(self, at_ms: int, station: str, staff: str, thing: str, to: str, why: str | None = None) -> None:
        """Move a thing to a place."""
        body: Body = {"thing": thing, "to": to} | ({} if why is None else {"why": why})
        self.add(at_ms, station, staff, "thing.moved", None, body)

    def write(self, stations: dict[str, VirtualStation], now_ms: int) -> int:
        """Write all in order of time and push them; returns how many. The shop's clock never runs ahead of `now_ms`."""
        writing: VirtualStation | None = None
        for entry in sorted(self._entries):
            if entry.at_ms > now_ms:
                raise ValueError(f"{entry.kind} of {entry.job} would be in the future")
            station = stations[entry.station]
            if writing is not None and writing is not station:
                writing.push_all(now_ms)
            writing = station
            body = entry.body
            if entry.kind == "thing.moved":
                body = body | {"after": self._heads.get(body["thing"], [])}
            event = station.write(entry.kind, entry.staff, entry.at_ms, entry.job, body)
            if entry.kind == "thing.moved":
                self._heads[str(body["thing"])] = [event]
        if writing is not None:
            writing.push_all(now_ms)
        return len(self._entries)
