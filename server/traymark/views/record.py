"""The repair record as a sheet of words: the short form for the customer, and the long form for the shop.

Whoever draws it adds nothing: record_pdf.py here, and the record's page in the app, which makes the same sheet. The
customer's form has no notes, no names of staff and nothing of how the bench works: it is built from what a customer
may read, not by taking things out of the long form.
"""

from collections.abc import Iterable
from dataclasses import replace

from traymark.events.envelope import Event
from traymark.fold.records_gen import Job
from traymark.rules.outcome import DONE, outcome
from traymark.tables import enums
from traymark.views.outcome_words import outcome_lines, outcome_words
from traymark.views.record_found import agreed_words, cautions_of, condition_part, found_part, ours_part
from traymark.views.record_long import long_parts
from traymark.views.record_sheet import Drawn, Fact, Known, Photo, Sheet, Sign
from traymark.views.record_tests import locked_part, points_of, rounds_of, told_rows
from traymark.views.record_words import (
    by,
    day,
    grouped,
    line,
    moment,
    procedure_of,
    settings,
    text_of,
    text_setting,
    upper,
    value_word,
    words,
)

_DAY_MS = 86_400_000
# Photos that show the device; the others show the shop's own work.
_CUSTOMER_USES = ("intake", "mark", "liquid", "battery", "repair")
_SIGNS: dict[str, Sign] = {
    "not_begun": "stop", "under_way": "under_way", "repaired": "done", "repaired_but": "warn", "not_cured": "warn",
    "not_known": "warn", "not_repaired": "stop", "no_battery": "stop",
}  # fmt: skip


def customer_sheet(known: Known) -> Sheet:
    """The short form."""
    job = known.job
    rows, alike = told_rows(known)
    parts = (ours_part(known), condition_part(known), found_part(known), locked_part(job))
    code = grouped(known.code)
    return Sheet(
        title=_title(job, "customer"),
        shop=text_setting(known, "shop_name"),
        contact=", ".join(filter(None, (text_setting(known, "phone"), text_setting(known, "mail")))),
        sign=_SIGNS[outcome(job)],
        outcome=str(outcome_words(job)["name"]),
        reason=tuple(outcome_lines(job)),
        facts=(*_outcome_facts(known), *_dates(known)),
        cautions=tuple(cautions_of(job)),
        parts=tuple(part for part in parts if part.lines),
        rows=rows,
        alike=alike,
        rounds=rounds_of(job),
        photos=tuple(_photos(known, _CUSTOMER_USES)),
        long=(),
        foot=words("feet")["customer"].format(code=code),
    )


def shop_sheet(known: Known, events: list[Event]) -> Sheet:
    """The long form: the short one with every point and photo, and all that the shop knows."""
    return replace(
        customer_sheet(known),
        title=_title(known.job, "shop"),
        rows=tuple(point.row for point in points_of(known)),
        alike=(),
        photos=tuple(replace(photo, caption=f"{photo.caption} ({by(known, known.job['photos'][photo.sha256])})")
                     for photo in _photos(known, enums()["photo_use"])),
        long=long_parts(known, events),
        foot=words("feet")["shop"].format(code=grouped(known.code)),
    )  # fmt: skip


def _title(job: Job, form: str) -> str:
    texts = words("titles")
    return texts[form].format(model=job["model"] or texts["no_model"])


def _outcome_facts(known: Known) -> Iterable[Fact]:
    """What came of the job, in the words of the hand-over."""
    job, names = known.job, words("facts")
    points = points_of(known)
    done = outcome(job) in DONE
    yield names["ticket"], grouped(known.code)
    if job["complaint"]:
        yield names["complaint"], f"“{text_of(known, job['complaint'])}”"
    if done:
        followed = procedure_of(known, job["procedure"], job["revision"]) or {}
        yield names["work"], str(followed.get("title", line("repair")))
        if fitted := [*_fitted(known)]:
            yield names["new_part"], "; ".join(fitted)
    if cured := [point.row.name for point in points if point.verdict == "cured"]:
        yield names["works_again"], ", ".join(cured)
    if fails := [point.row.name for point in points if point.row.fails]:
        yield names["fails"], ", ".join(fails)
    days = settings(known).get("warranty_days")
    if done and type(days) is int and days >= 0:
        over = job["handed_over"]
        end = "" if over is None else day(known, over + days * _DAY_MS)
        yield names["warranty"], words("warranty")["until" if end else "days"].format(days=days, day=end)


def _fitted(known: Known) -> Iterable[str]:
    """Units of the new part, except those that were refused or are doubtful."""
    for thing in map(known.thing, known.job["parts"]):
        if thing is not None and thing["verdict"] not in ("doa", "doubtful"):
            lot = f", {line('lot', lot=thing['lot'])}" if thing["lot"] else ""
            yield f"{thing['name'] or line('part')}{lot}"


def _dates(known: Known) -> Iterable[Fact]:
    job, names = known.job, words("facts")
    if job["booked_at_ms"] is not None:
        yield names["booked"], moment(known, job["booked_at_ms"])
    if agreed := agreed_words(job):
        yield names["agreed"], agreed
    if job["handed_over"] is not None:
        yield names["handed_over"], moment(known, job["handed_over"])


def _photos(known: Known, uses: Iterable[str]) -> Iterable[Photo]:
    for use in uses:
        for sha256, photo in known.job["photos"].items():
            if photo["use"] == use:
                marks = _marks_of(known.job, sha256)
                said = [f"{n.number}: {text_of(known, n.mark['note'])}" for n in marks if n.mark["note"]]
                yield Photo(sha256, ". ".join([upper(value_word("photo_use", use)), *said]), marks)


def _marks_of(job: Job, sha256: str) -> tuple[Drawn, ...]:
    """In the order in which they were drawn; the clock decides nothing but the numbers on this paper."""
    marks = [m for key, m in job["photo_marks"].items() if key.startswith(f"{sha256}/")]
    marks.sort(key=lambda m: (m["at_ms"], m["event"]))
    return tuple(Drawn(number, mark) for number, mark in enumerate(marks, 1))
