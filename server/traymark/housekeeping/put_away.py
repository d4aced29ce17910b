"""Putting away what is over (F5.14), so that what stations hold does not grow with the shop's years."""

from collections.abc import Iterator
from itertools import islice

from traymark.docs.shop import shop_settings
from traymark.fold.records_gen import Thing
from traymark.log.quiet import Quiet
from traymark.log.store import Store
from traymark.rules.putting_away import DAY_MS, box_days, closed_things, days_of, is_box_closed, is_closed
from traymark.stations.own_station import OwnEvent, write_own

# One transaction's share: stations that push meanwhile wait for it.
_MOST_AT_ONCE = 200


def put_away(store: Store, now_ms: int) -> int:
    """Put away what may be: jobs with their things, then the boxes that they lay in. Returns how many events."""
    days = days_of(shop_settings(store))
    total = 0
    while True:
        with store.changing() as (connection, changes):
            due = list(islice(_Look(Quiet(connection), now_ms, days).due(), _MOST_AT_ONCE))
            if due:
                write_own(connection, changes, due, now_ms)
        if not due:
            return total
        total += len(due)


class _Look:
    """What may be put away now."""

    def __init__(self, live: Quiet, now_ms: int, days: int) -> None:
        self._live = live
        self._since_ms = now_ms - days * DAY_MS
        self._box_since_ms = now_ms - box_days() * DAY_MS

    def due(self) -> Iterator[OwnEvent]:
        """Boxes and parts wait until the jobs that need them are away."""
        is_any = False
        for event in self._jobs():
            is_any = True
            yield event
        if not is_any:
            yield from self._parts()
            yield from self._boxes()

    def _jobs(self) -> Iterator[OwnEvent]:
        quiet = list(self._live.codes("job", self._since_ms))
        with_tray = self._live.places("T") if quiet else set[str]()
        for code in quiet:
            if code in with_tray:
                continue
            things = closed_things(code, self._live.record("job", code), self._thing, self._is_over)
            if things is not None:
                yield OwnEvent("job.put_away", code, {"things": things})

    def _parts(self) -> Iterator[OwnEvent]:
        """Parts that belong to no job and are out of the shop, such as one that was dead on arrival and went back."""
        for code in self._live.codes("thing", self._since_ms, "P"):
            thing: Thing = self._live.record("thing", code)
            is_jobless = thing["job"] is None or self._live.record("job", thing["job"]) is None
            if is_jobless and is_closed(thing, self._is_over):
                yield OwnEvent("part.put_away", None, {"part": code})

    def _boxes(self) -> Iterator[OwnEvent]:
        closed = [c for c in self._live.codes("box", self._box_since_ms) if is_box_closed(self._live.record("box", c))]
        held = self._live.places("") if closed else set[str]()
        yield from (OwnEvent("box.put_away", None, {"box": code}) for code in closed if code not in held)

    def _is_over(self, box: str) -> bool:
        held = self._live.record("box", box)
        return held is None or (is_box_closed(held) and self._live.is_quiet(box, self._box_since_ms))

    def _thing(self, code: str) -> Thing | None:
        return self._live.record("thing", code)
