"""The repair record as a sheet of words: the short form for the customer, and the long form for the shop.

Whoever draws it (record_pdf.py) adds nothing. The customer's form holds no notes, no names of staff and no workings of
the bench: it is built from what a customer may read, not by taking things out of the long form.
"""

from collections.abc import Iterable
from dataclasses import replace

from traymark.events.envelope import Event
from traymark.tables import stages
from traymark.views.record_sheet import Drawn, Known, Part, Photo, Record, Row, Sheet
from traymark.views.record_static import static_checks
from traymark.views.record_tests import alike_of, is_told, locked_part, rounds_of, rows_of
from traymark.views.record_words import (
    by,
    day,
    group_names,
    grouped,
    point_name,
    problem_title,
    procedure_title,
    stop_words,
    told_words,
    when,
    words,
)

_DAY_MS = 86_400_000
# Photos that show the device; the others show the shop's own work.
_CUSTOMER_USES = ("intake", "mark", "liquid", "battery", "repair")
_USE_NAMES = {
    "intake": "At intake", "mark": "Condition", "liquid": "Liquid check", "battery": "Battery", "test": "Test",
    "repair": "Repair", "core": "Old part", "leftover": "Empty tray", "other": "Photo",
}  # fmt: skip


def customer_sheet(known: Known) -> Sheet:
    """The short form."""
    job, settings = known.job, known.settings
    repaired = _is_repaired(job)
    rows = tuple(sorted((row for row in rows_of(job) if not row.lacking), key=lambda row: not row.fails))
    alike = alike_of(rows)
    stop = job["stop"]
    under_way = job["stage"] == "bench"
    reason = "" if repaired else "Work was not begun." if stop is None else stop_words(stop["reason"])
    return Sheet(
        title=f"Repair record: {job['model'] or 'device'}",
        shop=str(settings.get("shop_name") or ""),
        contact=", ".join(str(settings[name]) for name in ("phone", "mail") if settings.get(name)),
        sign="under_way" if under_way else "done" if repaired else "stop",
        outcome="Not finished yet" if under_way else procedure_title(known) if repaired else "Not repaired",
        reason=str(stages()["bench"]["customer"]) if under_way else reason,
        facts=tuple(_facts(known, rows, repaired=repaired)),
        cautions=tuple(_cautions(job)),
        parts=tuple(part for part in (_condition(job), _found(known), locked_part(job)) if part is not None),
        rows=tuple(row for row in rows if row.name not in alike.get(row.says, ()) and not is_told(job, row)),
        alike=tuple((says, ", ".join(names)) for says, names in alike.items()),
        rounds=rounds_of(job),
        photos=tuple(_photos(job, _CUSTOMER_USES)),
        foot=f"Ticket {grouped(known.code)}",
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
        Part("Old parts", tuple((grouped(code), stamp["name"]) for code, stamp in job["cores"].items())),
        Part("Lock", lines=tuple(
            f"{s['lock']}: {s['why'] or 'not said'} ({by(known, s)})" for s in job["lock_changes"])),
        Part("Tested after closing", lines=tuple(
            f"Works still: {', '.join(map(point_name, s['points']))} ({by(known, s)})" for s in job["rechecks"])),
        Part("Notes", lines=tuple(_said(known, job["notes"], "note"))),
        Part("Stops lifted", lines=tuple(_said(known, job["lifts"], "why"))),
        Part("Told", lines=tuple(
            f"{told_words(t['what'])}, {words('channels')[t['channel']]}: {by(known, t)}" for t in job["told"])),
        Part("Broken rules", tuple((problem_title(f["slug"]), f"entry {f['event']}") for f in job["findings"])),
        Part("Static checks", tuple(static_checks(known, events))),
        Part("Every entry", tuple((f"{when}, {who}", what) for when, who, what in history), is_list=True),
    ]  # fmt: skip
    return replace(
        short,
        title=f"Shop's record: {job['model'] or 'device'}",
        rows=tuple(sorted(rows_of(job), key=lambda row: not row.fails)),
        alike=(),
        photos=tuple(_photos(job, tuple(_USE_NAMES))),
        long=tuple(part for part in long if part.facts or part.lines),
        foot=f"Job {grouped(known.code)}. For the shop only.",
    )


def _is_repaired(job: Record) -> bool:
    closed = job["stage"] == "ready" or (job["stage"] == "handed_over" and bool(job["leftover"]))
    return job["stop"] is None and closed


def _facts(known: Known, rows: tuple[Row, ...], *, repaired: bool) -> Iterable[tuple[str, str]]:
    job, settings = known.job, known.settings
    yield "Ticket", grouped(known.code)
    if job["complaint"]:
        yield "Complaint", f"“{job['complaint']}”"
    if job["booked_at_ms"] is not None:
        yield "Booked in", when(known, job["booked_at_ms"])
    if job["handed_over"] is not None:
        yield "Handed over", when(known, job["handed_over"])
    if repaired:
        things = [known.thing(code) for code in job["parts"]]
        names = [
            f"{t['name'] or 'Part'}" + (f", lot {t['lot']}" if t["lot"] else "")
            for t in things
            if t is not None and t["verdict"] not in ("doa", "doubtful")
        ]
        if names:
            yield "New part", "; ".join(names)
    fails = [row.name for row in rows if row.fails]
    if fails:
        yield "Does not work", ", ".join(fails)
    days = settings.get("warranty_days")
    if repaired and isinstance(days, int):
        until = job["handed_over"]
        end = "" if until is None else f", until {day(known, until + days * _DAY_MS)}"
        yield "Warranty", f"{days} days from hand-over{end}"


def _cautions(job: Record) -> Iterable[str]:
    texts = words("cautions")
    if any(check["battery"] != "sound" for check in job["power"]):
        yield texts["battery"]
    if any(_is_wet(check) for check in job["liquid"]):
        yield texts["liquid"]
    if job["steps"] or job["ledger"] or job["connectors"]:
        yield texts["opened"]


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
            signs = [f"indicator {words('indicators')[check['indicator']]}", *check["signs"]]
            lines.append(f"Signs of liquid: {', '.join(signs)}")
        else:
            lines.append("No sign of liquid")
    lines += [
        f"Battery {words('batteries')[check['battery']]}" for check in job["power"] if check["battery"] != "sound"
    ]
    lines += _losses(known, with_why=False)
    return Part("What was found", lines=tuple(lines)) if lines else None


def _losses(known: Known, *, with_why: bool) -> list[str]:
    names = group_names(known)
    lines: list[str] = []
    for loss in known.job["losses"]:
        again = f"{loss['replaced']} replaced" if loss["replaced"] else "not replaced"
        other = f" by {loss['replaced_by']}" if loss["replaced"] and loss["replaced_by"] else ""
        line = f"{loss['count']}x {names.get(loss['group'], 'screw')} {words('losses')[loss['what']]}, {again}{other}"
        lines.append(f"{line}. {loss['why']} ({by(known, loss)})" if with_why else line)
    return lines


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
    names = group_names(known)
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
            thing.get("verdict") and words("judged")[thing["verdict"]],
        )
        yield grouped(code), ", ".join(str(word) for word in said if word)


def _tries(known: Known) -> Iterable[str]:
    for t in known.job["tries"]:
        failed = ", ".join(map(point_name, t["failed"]))
        part = "" if t["part"] is None else f", part {grouped(t['part'])}"
        yield (
            f"Try {t['try']}, {words('tries')[t['action']]}{part}: {t['outcome']}"
            + (f" ({failed})" if failed else "")
            + f". {by(known, t)}"
        )


def _said(known: Known, stamps: list[Record], name: str) -> Iterable[str]:
    return (f"{stamp[name]} ({by(known, stamp)})" for stamp in stamps)


def _is_wet(check: Record) -> bool:
    return bool(check["signs"]) or check["indicator"] in ("tinged", "red")
