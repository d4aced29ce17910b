"""The static checks of a repair record: which counted for the work on the job, by person and by bench."""

from collections.abc import Iterable, Sequence

from traymark.events.envelope import Event
from traymark.fold.records_gen import JobStaticChecks
from traymark.rules.esd import Item, interval_of, judge, work_days
from traymark.views.record_sheet import Fact, Known
from traymark.views.record_words import line, moment, settings, staff_name, station_name, text_setting


def static_checks(known: Known, events: Iterable[Event]) -> Iterable[Fact]:
    """What counted while the job was worked on. Work is a step that was done, even if it was taken back later."""
    people: dict[str, list[int]] = {}
    benches: dict[str, list[int]] = {}
    for event in events:
        if event.known and event.kind == "step.done":
            benches.setdefault(event.station, []).append(event.at_ms)
            if event.staff is not None:
                people.setdefault(event.staff, []).append(event.at_ms)
    for staff, moments in sorted(people.items()):
        about = line("strap", name=staff_name(known, staff))
        yield from _checked(known, "wrist_strap", about, moments, _checks_of(known, staff))
    for station, moments in sorted(benches.items()):
        about = line("mat", name=station_name(known, station))
        yield from _checked(known, "mat", about, moments, _checks_of(known, station))


def _checks_of(known: Known, name: str) -> list[JobStaticChecks]:
    """Of a person's wrist strap, or of the mat at a station."""
    return [check for check in known.job["static_checks"].values() if check["of"] == name]


def _checked(
    known: Known, item: Item, about: str, moments: list[int], checks: Sequence[JobStaticChecks]
) -> Iterable[Fact]:
    interval, zone = interval_of(item, settings(known)), text_setting(known, "time_zone")
    for day in work_days(moments, [check["at_ms"] for check in checks], interval, zone):
        if day.without_ms is not None:
            yield about, line("unchecked", moment=moment(known, day.without_ms))
        for n in day.checks:
            check = checks[n]
            judged = judge(item, check["ohms"], check["limit_ohms"])
            yield (
                about,
                line(
                    "checked",
                    ohms=ohm_text(check["ohms"]),
                    judged=line(judged, limit=ohm_text(check["limit_ohms"])),
                    moment=moment(known, check["at_ms"]),
                    work=moment(known, day.first_ms),
                ),
            )


def ohm_text(ohms: int) -> str:
    """1200000 -> `1.2 M ohm`: three decimals at most, half up."""
    unit, name = next(((unit, name) for unit, name in _UNITS if ohms >= unit), _UNITS[-1])
    thousandths = (2 * 1000 * ohms + unit) // (2 * unit)
    return f"{thousandths // 1000}.{thousandths % 1000:03}".rstrip("0").rstrip(".") + f" {name}"


_UNITS = ((1_000_000_000, "G ohm"), (1_000_000, "M ohm"), (1_000, "k ohm"))
