"""The repair record as a sheet of words: the short form for the customer, and the long form for the shop.

Whoever draws it (record_pdf.py) adds nothing. The customer's form holds no notes, no names of staff and no workings of
the bench: it is built from what a customer may read, not by taking things out of the long form.
"""

from collections.abc import Iterable
from dataclasses import replace

from traymark.events.envelope import Event
from traymark.rules.outcome import DONE, outcome
from traymark.tables import table
from traymark.views.outcome_words import outcome_lines, outcome_words
from traymark.views.record_found import agreed_words, cautions_of, condition_part, found_part, losses_of, ours_part
from traymark.views.record_sheet import Drawn, Known, Part, Photo, Record, Row, Sheet, Sign
from traymark.views.record_static import static_checks
from traymark.views.record_tests import alike_of, is_told, locked_part, rounds_of, rows_of
from traymark.views.record_words import (
    by,
    day,
    entry_word,
    group_names,
    grouped,
    point_name,
    problem_title,
    procedure_title,
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
    done = outcome(job) in DONE
    rows = tuple(sorted((row for row in rows_of(job) if not row.lacking), key=lambda row: not row.fails))
    alike = alike_of(rows)
    parts = (ours_part(job), condition_part(job), found_part(known), locked_part(job))
    return Sheet(
        title=f"Repair record: {job['model'] or 'device'}",
        shop=str(settings.get("shop_name") or ""),
        contact=", ".join(str(settings[name]) for name in ("phone", "mail") if settings.get(name)),
        sign=_SIGNS[outcome(job)],
        outcome=str(outcome_words(job)["name"]),
        reason=" ".join(outcome_lines(job)),
        facts=tuple(_facts(known, rows, done=done)),
        cautions=tuple(cautions_of(job)),
        parts=tuple(part for part in parts if part is not None),
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
        Part("Our own incidents", lines=tuple(_incidents(known))),
        Part("The complaint, asked", lines=tuple(_complaint(known))),
        Part("Fasteners", tuple(_ledger(known))),
        Part("Lost or broken", lines=tuple(losses_of(known, with_why=True))),
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
        Part("Stops lifted", lines=tuple(_lifts(known))),
        Part("Told when handed out with an unsafe battery", lines=(job["owner_told"],) if job["owner_told"] else ()),
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


_SIGNS: dict[str, Sign] = {
    "not_begun": "stop", "under_way": "under_way", "repaired": "done", "repaired_but": "warn", "not_cured": "warn",
    "not_known": "warn", "not_repaired": "stop", "no_battery": "stop",
}  # fmt: skip


def _facts(known: Known, rows: tuple[Row, ...], *, done: bool) -> Iterable[tuple[str, str]]:
    job, settings = known.job, known.settings
    yield "Ticket", grouped(known.code)
    if job["complaint"]:
        yield "Complaint", f"“{job['complaint']}”"
    if job["booked_at_ms"] is not None:
        yield "Booked in", when(known, job["booked_at_ms"])
    if agreed := agreed_words(job):
        yield words("agreed")["title"], agreed
    if job["handed_over"] is not None:
        yield "Handed over", when(known, job["handed_over"])
    if done:
        yield "Work", procedure_title(known)
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
    if done and isinstance(days, int):
        over = job["handed_over"]
        end = "" if over is None else day(known, over + days * _DAY_MS)
        yield "Warranty", words("warranty")["until" if end else "days"].format(days=days, day=end)


def _incidents(known: Known) -> Iterable[str]:
    """What, where, whether it was looked at, the note; then what a lead settled."""
    job = known.job
    for id_, incident in job["incidents"].items():
        looked = "" if incident["looked"] == "yes" else "not "
        said = [
            f"{entry_word('incident', incident['what']).capitalize()}: {incident['where']}",
            f"hole and board {looked}looked at",
            ", ".join(map(point_name, incident["points"])),
            incident["note"] or "",
        ]
        yield f"{'; '.join(filter(None, said))} ({by(known, incident)})"
        settled = job["settlements"].get(id_)
        yield (
            "Not settled by a lead yet"
            if settled is None
            else f"Owed: {entry_word('owed', settled['owed'])}. {settled['say']} ({by(known, settled)})"
        )


def _complaint(known: Known) -> Iterable[str]:
    """The answers to whether the complaint is cured, before fitting and at each final test."""
    for at, check in known.job["complaint_checks"].items():
        stage, _, number = at.partition("/")
        note = f". {check['note']}" if check["note"] else ""
        asked = f"At final test {number}" if stage == "final" else f"At try {number}"
        yield f"{asked}: cured {entry_word('cured', check['cured'])}{note} ({by(known, check)})"


def _lifts(known: Known) -> Iterable[str]:
    reasons = table("stages")["stop_reasons"]
    for lift in known.job["lifts"]:
        plan = entry_word("lift_plan", lift["plan"])
        yield f"{reasons[lift['reason']]['name']}, {plan}: {lift['why']} ({by(known, lift)})"


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
            thing.get("verdict") and entry_word("verdict", thing["verdict"]),
        )
        yield grouped(code), ", ".join(str(word) for word in said if word)


def _tries(known: Known) -> Iterable[str]:
    for t in known.job["tries"]:
        failed = ", ".join(map(point_name, t["failed"]))
        part = "" if t["part"] is None else f", part {grouped(t['part'])}"
        yield (
            f"Try {t['try']}, {entry_word('try_action', t['action'])}{part}: {t['outcome']}"
            + (f" ({failed})" if failed else "")
            + f". {by(known, t)}"
        )


def _said(known: Known, stamps: list[Record], name: str) -> Iterable[str]:
    return (f"{stamp[name]} ({by(known, stamp)})" for stamp in stamps)
