"""The static checks of a repair record: which counted for the work on the job, by person and by bench."""

from collections.abc import Iterable

from traymark.events.envelope import Event
from traymark.rules.esd import Item, interval_of, judge, work_days
from traymark.views.record_sheet import Known, Record
from traymark.views.record_words import when


def static_checks(known: Known, events: Iterable[Event]) -> Iterable[tuple[str, str]]:
    """What counted while the job was worked on. Work is a step that was done, also one that was taken back later."""
    people: dict[str, list[int]] = {}
    benches: dict[str, list[int]] = {}
    for event in events:
        if event.known and event.kind == "step.done":
            benches.setdefault(event.station, []).append(event.at_ms)
            if event.staff is not None:
                people.setdefault(event.staff, []).append(event.at_ms)
    for staff, moments in sorted(people.items()):
        yield from _checked(
            known, "wrist_strap", f"Wrist strap, {known.staff_name(staff)}", moments, known.straps(staff)
        )
    for station, moments in sorted(benches.items()):
        yield from _checked(known, "mat", f"Bench mat, {known.station_name(station)}", moments, known.mats(station))


def _checked(
    known: Known, item: Item, about: str, moments: list[int], checks: list[Record]
) -> Iterable[tuple[str, str]]:
    interval, zone = interval_of(item, known.settings), str(known.settings.get("time_zone") or "")
    for day in work_days(moments, [check["at_ms"] for check in checks], interval, zone):
        if day.without_ms is not None:
            yield about, f"No check counted for the work of {when(known, day.without_ms)}"
        for n in day.checks:
            measured, work = when(known, checks[n]["at_ms"]), when(known, day.first_ms)
            yield about, f"{_measured(item, checks[n])}. Measured {measured}, for the work from {work}"


def _measured(item: Item, check: Record) -> str:
    ohms, limit = check["ohms"], check["limit_ohms"]
    judged = judge(item, ohms, limit)
    if judged == "failed":
        return f"{ohms:,} ohm, not below the limit of {limit:,} ohm"
    return f"{ohms:,} ohm, below the limit of {limit:,} ohm{', under the advised least' if judged == 'low' else ''}"
