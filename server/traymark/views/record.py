"""The repair record as a sheet of words: the short form for the customer, and the long form for the shop.

Whoever draws it (record_pdf.py) adds nothing. The customer's form holds no notes, no names of staff and no workings of
the bench: it is built from what a customer may read, not by taking things out of the long form.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any, Literal, cast

from traymark.events.envelope import Event
from traymark.rules.attribution import attribute
from traymark.rules.esd import Item, interval_of, is_under_advice, passes, work_days
from traymark.rules.locked import is_not_shown
from traymark.tables import stages, table
from traymark.views.ticket_page import moment_text

Record = dict[str, Any]

_STAGES = ("intake", "prefit", "final")
_DAY_MS = 86_400_000
# Photos that show the device; the others show the shop's own work.
_CUSTOMER_USES = ("intake", "mark", "liquid", "battery", "repair")
_USE_NAMES = {
    "intake": "At intake", "mark": "Condition", "liquid": "Liquid check", "battery": "Battery", "test": "Test",
    "repair": "Repair", "core": "Old part", "leftover": "Empty tray", "other": "Photo",
}  # fmt: skip


@dataclass(frozen=True)
class Known:
    """What a record is made from besides the job itself. Times are read on the shop's clock."""

    code: str
    job: Record
    settings: Record
    procedure: Record | None
    thing: Callable[[str], Record | None]
    staff_name: Callable[[str | None], str]
    station_name: Callable[[str], str]
    straps: Callable[[str], list[Record]]
    mats: Callable[[str], list[Record]]


@dataclass(frozen=True)
class Row:
    """A line of the comparison: a point, its three results as (slug, word), and what they say together."""

    name: str
    results: tuple[tuple[str, str], ...]
    fails: bool
    says: str
    not_shown: bool
    """The lock barred it, so it has no outcome at any stage."""


@dataclass(frozen=True)
class Drawn:
    """A mark over a photo, as in `photo.marked`, with its number."""

    number: int
    mark: Record


@dataclass(frozen=True)
class Photo:
    """A photo with its caption and what is drawn over it."""

    sha256: str
    caption: str
    marks: tuple[Drawn, ...]


@dataclass(frozen=True)
class Part:
    """A heading with pairs of facts and paragraphs."""

    title: str
    facts: tuple[tuple[str, str], ...] = ()
    lines: tuple[str, ...] = ()
    is_list: bool = False
    """Many short pairs, set small."""


@dataclass(frozen=True)
class Sheet:
    """All that stands on the paper."""

    title: str
    shop: str
    contact: str
    sign: Literal["done", "stop", "under_way"]
    outcome: str
    reason: str
    facts: tuple[tuple[str, str], ...]
    cautions: tuple[str, ...]
    parts: tuple[Part, ...]
    rows: tuple[Row, ...]
    alike: tuple[tuple[str, str], ...]
    """Points that need no line of their own: what is said of all of them, and their names."""
    rounds: Part | None
    """Earlier rounds of the final test."""
    photos: tuple[Photo, ...]
    foot: str
    long: tuple[Part, ...] = field(default=())


def customer_sheet(known: Known) -> Sheet:
    """The short form."""
    job, settings = known.job, known.settings
    repaired = _is_repaired(job)
    rows = tuple(sorted(_rows(job), key=lambda row: not row.fails))
    alike = _alike(rows)
    stop = job["stop"]
    under_way = job["stage"] == "bench"
    reason = "" if repaired else "Work was not begun." if stop is None else _stop_words(stop["reason"])
    return Sheet(
        title=f"Repair record: {job['model'] or 'device'}",
        shop=str(settings.get("shop_name") or ""),
        contact=", ".join(str(settings[name]) for name in ("phone", "mail") if settings.get(name)),
        sign="under_way" if under_way else "done" if repaired else "stop",
        outcome="Not finished yet" if under_way else _procedure_title(known) if repaired else "Not repaired",
        reason=str(stages()["bench"]["customer"]) if under_way else reason,
        facts=tuple(_facts(known, rows, repaired=repaired)),
        cautions=tuple(_cautions(job)),
        parts=tuple(part for part in (_condition(job), _found(known), _locked(job)) if part is not None),
        rows=tuple(row for row in rows if row.name not in alike.get(row.says, ()) and not _is_told(job, row)),
        alike=tuple((says, ", ".join(names)) for says, names in alike.items()),
        rounds=_rounds(job),
        photos=tuple(_photos(job, _CUSTOMER_USES)),
        foot=f"Ticket {_grouped(known.code)}",
    )


def shop_sheet(known: Known, events: Iterable[Event], history: Iterable[tuple[str, str, str]]) -> Sheet:
    """The long form: the short one and all that the shop knows. `history` is (when, who, what) of each event."""
    short = customer_sheet(known)
    job = known.job
    long = [
        Part("Fasteners", tuple(_ledger(known))),
        Part("Lost or broken", lines=tuple(_losses(known, with_why=True))),
        Part("Connectors", tuple((name, f"unplugged {n.get('out', 0)}, plugged in {n.get('back', 0)}")
                                 for name, n in job["connectors"].items())),
        Part("Parts", tuple(_parts(known))),
        Part("Tries before fitting", lines=tuple(_tries(known))),
        Part("Old parts", tuple((_grouped(code), stamp["name"]) for code, stamp in job["cores"].items())),
        Part("Notes", lines=tuple(_said(known, job["notes"], "note"))),
        Part("Stops lifted", lines=tuple(_said(known, job["lifts"], "why"))),
        Part("Told", lines=tuple(
            f"{t['what'].replace('-', ' ')}, {t['channel'].replace('_', ' ')}: {_by(known, t)}" for t in job["told"])),
        Part("Broken rules", tuple((_problem(f["slug"]), f"entry {f['event']}") for f in job["findings"])),
        Part("Static checks", tuple(_static_checks(known, events))),
        Part("Every entry", tuple((f"{when}, {who}", what) for when, who, what in history), is_list=True),
    ]  # fmt: skip
    return replace(
        short,
        title=f"Shop's record: {job['model'] or 'device'}",
        rows=tuple(sorted(_rows(job), key=lambda row: not row.fails)),
        alike=(),
        photos=tuple(_photos(job, tuple(_USE_NAMES))),
        long=tuple(part for part in long if part.facts or part.lines),
        foot=f"Job {_grouped(known.code)}. For the shop only.",
    )


def _is_repaired(job: Record) -> bool:
    closed = job["stage"] == "ready" or (job["stage"] == "handed_over" and bool(job["leftover"]))
    return job["stop"] is None and closed


def _facts(known: Known, rows: tuple[Row, ...], *, repaired: bool) -> Iterable[tuple[str, str]]:
    job, settings = known.job, known.settings
    yield "Ticket", _grouped(known.code)
    if job["complaint"]:
        yield "Complaint", f"“{job['complaint']}”"
    if job["booked_at_ms"] is not None:
        yield "Booked in", _when(known, job["booked_at_ms"])
    if job["handed_over"] is not None:
        yield "Handed over", _when(known, job["handed_over"])
    if repaired:
        things = [known.thing(code) for code in job["parts"]]
        names = [
            f"{t['name'] or 'Part'}" + (f", lot {t['lot']}" if t["lot"] else "")
            for t in things
            if t is not None and t["verdict"] != "doa"
        ]
        if names:
            yield "New part", "; ".join(names)
    fails = [row.name for row in rows if row.fails]
    if fails:
        yield "Does not work", ", ".join(fails)
    days = settings.get("warranty_days")
    if repaired and isinstance(days, int):
        until = job["handed_over"]
        end = "" if until is None else f", until {_day(known, until + days * _DAY_MS)}"
        yield "Warranty", f"{days} days from hand-over{end}"


def _cautions(job: Record) -> Iterable[str]:
    words = _words("cautions")
    if any(check["battery"] != "sound" for check in job["power"]):
        yield words["battery"]
    if any(_is_wet(check) for check in job["liquid"]):
        yield words["liquid"]
    if job["steps"] or job["ledger"] or job["connectors"]:
        yield words["opened"]


def _condition(job: Record) -> Part | None:
    lines = [
        f"{mark['what'].capitalize()} on the {mark['side']}" + (f": {mark['note']}" if mark["note"] else "")
        for mark in job["marks"].values()
    ]
    return Part("Condition when it came in", lines=("; ".join(lines),)) if lines else None


def _found(known: Known) -> Part | None:
    job, lines = known.job, list[str]()
    for check in job["liquid"]:
        if _is_wet(check):
            signs = [f"indicator {_words('indicators')[check['indicator']]}", *check["signs"]]
            lines.append(f"Signs of liquid: {', '.join(signs)}")
        else:
            lines.append("No sign of liquid")
    lines += [
        f"Battery {_words('batteries')[check['battery']]}" for check in job["power"] if check["battery"] != "sound"
    ]
    lines += _losses(known, with_why=False)
    return Part("What was found", lines=tuple(lines)) if lines else None


def _locked(job: Record) -> Part | None:
    """Of a device that stayed locked: so it was tested, and what therefore could not be shown."""
    if job["lock"] != "locked":
        return None
    words = _words("locked")
    points = cast("dict[str, Record]", table("test_points")["points"])
    names = [
        str(row["name"])
        for point, row in points.items()
        if is_not_shown([_reading(job, stage, point) for stage in _STAGES])
    ]
    said = (words["not_shown"].format(names=", ".join(names)),) if names else ()
    return Part(words["title"], lines=(words["kept"], *said))


def _is_told(job: Record, row: Row) -> bool:
    """Named as barred by the lock already."""
    return row.not_shown and job["lock"] == "locked"


def _losses(known: Known, *, with_why: bool) -> list[str]:
    names = _group_names(known)
    lines: list[str] = []
    for loss in known.job["losses"]:
        again = f"{loss['replaced']} replaced" if loss["replaced"] else "not replaced"
        by = f" by {loss['replaced_by']}" if loss["replaced"] and loss["replaced_by"] else ""
        line = f"{loss['count']}x {names.get(loss['group'], 'screw')} {_words('losses')[loss['what']]}, {again}{by}"
        lines.append(f"{line}. {loss['why']} ({_by(known, loss)})" if with_why else line)
    return lines


def _rows(job: Record) -> Iterable[Row]:
    read = {key.partition("/")[2] for key in (*job["tests"], *job["final_tests"])}
    points = cast("dict[str, Record]", table("test_points")["points"])
    order = [point for point in points if point in read] + sorted(read - points.keys())
    for point in order:
        readings = [_reading(job, stage, point) for stage in _STAGES]
        seen = tuple("none" if reading is None else str(reading["result"]) for reading in readings)
        last = next((result for result in reversed(seen) if result != "none"), "none")
        why = next((r["why"] for r in reversed(readings) if r is not None and r["result"] == "cannot" and r["why"]), "")
        says = _words("verdicts")[_verdict(*seen)]
        yield Row(
            name=str(points.get(point, {}).get("name", point)),
            results=tuple((result, _words("results")[result]) for result in seen),
            fails=last == "fail",
            says=f"{says} {why}".strip(),
            not_shown=is_not_shown(readings) and {*seen} <= {"cannot", "none"},
        )


def _reading(job: Record, stage: str, point: str) -> Record | None:
    """At the end, in the round that counts."""
    return _final(job, _round(job), point) if stage == "final" else job["tests"].get(f"{stage}/{point}")


def _round(job: Record) -> int:
    """The round of the final test that counts: a device that was opened again starts the next one blank."""
    return max([1, *(begun["round"] for begun in job["final_rounds"])])


def _final(job: Record, number: int, point: str) -> Record | None:
    return job["tests"].get(f"final/{point}") if number == 1 else job["final_tests"].get(f"{number}/{point}")


def _rounds(job: Record) -> Part | None:
    """What earlier rounds of the final test said, after which the device was opened again."""
    words = _words("rounds")
    points = list(cast("dict[str, Record]", table("test_points")["points"]))
    lines: list[str] = []
    for number in sorted({1, *(begun["round"] for begun in job["final_rounds"])}):
        read = _points_read(job, number)
        if number == _round(job) or not read:
            continue
        results: dict[str, list[str]] = {}
        for point in sorted(read, key=lambda p: points.index(p) if p in points else len(points)):
            results.setdefault(read[point]["result"], []).append(_point_name(point))
        said = [
            words["works"].format(count=len(results["pass"])) if "pass" in results else "",
            words["fails"].format(names=", ".join(results["fail"])) if "fail" in results else "",
            words["cannot"].format(names=", ".join(results["cannot"])) if "cannot" in results else "",
        ]
        lines.append(f"{words['before'].format(round=number)}: {'; '.join(filter(None, said))}.")
    if not lines:
        return None
    return Part(words["title"], lines=(words["now"].format(round=_round(job)), *lines))


def _points_read(job: Record, number: int) -> dict[str, Record]:
    readings, prefix = (job["tests"], "final/") if number == 1 else (job["final_tests"], f"{number}/")
    return {key.removeprefix(prefix): stamp for key, stamp in readings.items() if key.startswith(prefix)}


def _point_name(point: str) -> str:
    return str(table("test_points")["points"].get(point, {}).get("name", point))


def _verdict(intake: str, prefit: str, final: str) -> str:
    """As the bench has it; what was not tested again still has its first result."""
    verdict = attribute(intake, prefit, final)
    return {"pass": "open_worked", "fail": "open_failed"}.get(intake, verdict) if verdict == "open" else verdict


def _alike(rows: tuple[Row, ...]) -> dict[str, list[str]]:
    """What is said of several points that worked whenever they were tested, with their names."""
    names: dict[str, list[str]] = {}
    for row in rows:
        if {result for result, _ in row.results} <= {"pass", "none"}:
            names.setdefault(row.says, []).append(row.name)
    return {says: points for says, points in names.items() if len(points) > 2}


def _photos(job: Record, uses: tuple[str, ...]) -> Iterable[Photo]:
    for use in uses:
        for sha256, photo in job["photos"].items():
            if photo["use"] == use:
                marks = _marks_of(job, sha256)
                said = [f"{n.number}: {n.mark['note']}" for n in marks if n.mark["note"]]
                yield Photo(sha256, ". ".join([_USE_NAMES[use], *said]), marks)


def _marks_of(job: Record, sha256: str) -> tuple[Drawn, ...]:
    """In the order in which they were drawn; the clock decides nothing but the numbers on this paper."""
    marks = [m for key, m in job["photo_marks"].items() if key.startswith(f"{sha256}/")]
    marks.sort(key=lambda m: (m["at_ms"], m["event"]))
    return tuple(Drawn(number, mark) for number, mark in enumerate(marks, 1))


def _ledger(known: Known) -> Iterable[tuple[str, str]]:
    names = _group_names(known)
    for group, n in known.job["ledger"].items():
        counts = [f"{word} {n[key]}" for key, word in _COUNTERS if n.get(key)]
        yield names.get(group, group), ", ".join(counts)


_COUNTERS = (("out", "out"), ("back", "back in"), ("lost", "lost"), ("replaced", "replaced"))


def _parts(known: Known) -> Iterable[tuple[str, str]]:
    for code in known.job["parts"]:
        thing = known.thing(code) or {}
        said = (
            thing.get("name"),
            thing.get("lot") and f"lot {thing['lot']}",
            thing.get("supplier"),
            thing.get("verdict"),
        )
        yield _grouped(code), ", ".join(str(word) for word in said if word)


def _tries(known: Known) -> Iterable[str]:
    points = cast("dict[str, Record]", table("test_points")["points"])
    for t in known.job["tries"]:
        failed = ", ".join(str(points.get(p, {}).get("name", p)) for p in t["failed"])
        yield (
            f"Try {t['try']}, {t['action'].replace('_', ' ')}, part {_grouped(t['part'])}: {t['outcome']}"
            + (f" ({failed})" if failed else "")
            + f". {_by(known, t)}"
        )


def _static_checks(known: Known, events: Iterable[Event]) -> Iterable[tuple[str, str]]:
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
            yield about, f"No check counted for the work of {_when(known, day.without_ms)}"
        for n in day.checks:
            measured, work = _when(known, checks[n]["at_ms"]), _when(known, day.first_ms)
            yield about, f"{_measured(item, checks[n])}. Measured {measured}, for the work from {work}"


def _measured(item: Item, check: Record) -> str:
    ohms, limit = check["ohms"], check["limit_ohms"]
    if not passes(ohms, limit):
        return f"{ohms:,} ohm, not below the limit of {limit:,} ohm"
    advice = ", under the advised least" if is_under_advice(item, ohms) else ""
    return f"{ohms:,} ohm, below the limit of {limit:,} ohm{advice}"


def _said(known: Known, stamps: list[Record], name: str) -> Iterable[str]:
    return (f"{stamp[name]} ({_by(known, stamp)})" for stamp in stamps)


def _by(known: Known, stamp: Record) -> str:
    return f"{known.staff_name(stamp['staff'])}, {_when(known, stamp['at_ms'])}"


def _when(known: Known, at_ms: int) -> str:
    return moment_text(at_ms, str(known.settings.get("time_zone") or ""))


def _day(known: Known, at_ms: int) -> str:
    return _when(known, at_ms).partition(",")[0]


def _group_names(known: Known) -> Mapping[str, str]:
    groups = cast("list[Record]", [] if known.procedure is None else known.procedure.get("fasteners", []))
    return {str(group["id"]): str(group["name"]) for group in groups}


def _procedure_title(known: Known) -> str:
    return "Repaired" if known.procedure is None else str(known.procedure.get("title") or "Repaired")


def _stop_words(reason: str) -> str:
    return str(table("stages")["stop_reasons"][reason]["customer"])


def _problem(slug: str) -> str:
    return str(table("problems")["problems"].get(slug, {"title": slug})["title"])


def _words(name: str) -> dict[str, str]:
    return cast("dict[str, str]", table("record")[name])


def _is_wet(check: Record) -> bool:
    return bool(check["signs"]) or check["indicator"] in ("tinged", "red")


def _grouped(code: str) -> str:
    return f"{code[:5]} {code[5:]}"
