"""What the shop's form of a record adds to the customer's: ledger, units, tries, notes and every entry."""

from collections.abc import Iterable

from traymark.events.envelope import Event
from traymark.fold.records_gen import JobLedger, JobLifts, JobTries, Stamp
from traymark.views.record_history import entries
from traymark.views.record_sheet import Fact, Known, Part
from traymark.views.record_static import static_checks
from traymark.views.record_words import (
    by,
    grouped,
    heading,
    line,
    loss_words,
    name_in,
    point_names,
    problem_title,
    stop_name,
    supplier_name,
    text_of,
    told_words,
    upper,
    value_word,
)


def long_parts(known: Known, events: list[Event]) -> tuple[Part, ...]:
    """Headings in the order of the paper; one with nothing under it is left out."""
    job = known.job
    parts = [
        Part(heading("incidents"), lines=tuple(_incidents(known))),
        Part(heading("complaint"), lines=tuple(_complaint(known))),
        Part(heading("fasteners"), tuple(_ledger(known))),
        Part(
            heading("losses"),
            lines=tuple(
                _said(known, loss, f"{loss_words(known, loss)}. {text_of(known, loss['why'])}")
                for loss in job["losses"]
            ),
        ),
        Part(heading("connectors"), tuple(_connectors(known))),
        Part(heading("parts"), tuple((grouped(code), _unit(known, code)) for code in job["parts"])),
        Part(heading("tries"), lines=tuple(_said(known, one, _try(one)) for one in job["tries"])),
        Part(heading("cores"), tuple((grouped(code), core["name"]) for code, core in job["cores"].items())),
        Part(
            heading("lock"),
            lines=tuple(
                _said(
                    known,
                    change,
                    f"{value_word('lock', change['lock'])}: {text_of(known, change['why']) or line('not_said')}",
                )
                for change in job["lock_changes"]
            ),
        ),
        Part(
            heading("rechecks"),
            lines=tuple(
                _said(known, again, line("recheck", names=point_names(again["points"]))) for again in job["rechecks"]
            ),
        ),
        Part(heading("notes"), lines=tuple(_said(known, note, text_of(known, note["note"])) for note in job["notes"])),
        Part(
            heading("lifts"),
            lines=tuple(
                _said(known, lift, f"{stop_name(lift['reason'])}, {_plan(lift)}: {text_of(known, lift['why'])}")
                for lift in job["lifts"]
            ),
        ),
        Part(heading("owner_told"), lines=(text_of(known, job["owner_told"]),) if job["owner_told"] else ()),
        Part(
            heading("told"),
            lines=tuple(
                _said(known, told, f"{told_words(told['what'])}, {value_word('channel', told['channel'])}")
                for told in job["told"]
            ),
        ),
        Part(
            heading("findings"),
            tuple((problem_title(found["slug"]), line("entry", event=found["event"])) for found in job["findings"]),
        ),
        Part(heading("checks"), tuple(static_checks(known, events))),
        Part(heading("entries"), tuple(entries(known, events))),
    ]
    return tuple(part for part in parts if part.facts or part.lines)


def _said(known: Known, stamp: Stamp, text: str) -> str:
    return f"{text} ({by(known, stamp)})"


def _plan(lift: JobLifts) -> str:
    return value_word("lift_plan", lift["plan"])


def _incidents(known: Known) -> Iterable[str]:
    """What, where, whether it was looked at, the note; then what a lead settled."""
    job = known.job
    for id_, incident in job["incidents"].items():
        said = [
            f"{upper(value_word('incident', incident['what']))}: {text_of(known, incident['where'])}",
            line("looked" if incident["looked"] == "yes" else "not_looked"),
            point_names(incident["points"]),
            text_of(known, incident["note"]),
        ]
        yield _said(known, incident, "; ".join(filter(None, said)))
        settled = job["settlements"].get(id_)
        if settled is None:
            yield line("unsettled")
        else:
            owed = value_word("owed", settled["owed"])
            yield _said(known, settled, line("settled", owed=owed, say=text_of(known, settled["say"])))


def _complaint(known: Known) -> Iterable[str]:
    """The answers to whether the complaint is cured, before fitting and at each final test."""
    for at, check in known.job["complaint_checks"].items():
        stage, _, number = at.partition("/")
        asked = line(f"asked_{stage}", number=number, cured=value_word("cured", check["cured"]))
        yield _said(known, check, f"{asked}. {text_of(known, check['note'])}" if check["note"] else asked)


def _ledger(known: Known) -> Iterable[Fact]:
    for group, counted in known.job["ledger"].items():
        yield name_in(known, "fasteners", group, group), ", ".join(_counts(counted))


def _counts(counted: JobLedger) -> Iterable[str]:
    """What went out and came back is always stated, even when it is nothing."""
    yield line("out", count=counted.get("out", 0))
    yield line("back", count=counted.get("back", 0))
    if lost := counted.get("lost"):
        yield line("lost", count=lost)
    if replaced := counted.get("replaced"):
        yield line("replaced_count", count=replaced)


def _connectors(known: Known) -> Iterable[Fact]:
    for id_, counted in known.job["connectors"].items():
        said = line("connector", out=counted.get("out", 0), back=counted.get("back", 0))
        yield name_in(known, "connectors", id_, id_), said


def _unit(known: Known, code: str) -> str:
    thing = known.thing(code)
    if thing is None:
        return ""
    said = [
        thing["name"],
        thing["lot"] and line("lot", lot=thing["lot"]),
        thing["supplier"] and supplier_name(known, thing["supplier"]),
        thing["verdict"] and value_word("verdict", thing["verdict"]),
    ]
    return ", ".join(text for text in said if text)


def _try(one: JobTries) -> str:
    failed = point_names(one["failed"])
    outcome = value_word("outcome", one["outcome"]) + (f": {failed}" if failed else "")
    action = value_word("try_action", one["action"])
    if one["part"] is None:
        return line("try", number=one["try"], action=action, outcome=outcome)
    return line("try_unit", number=one["try"], action=action, unit=grouped(one["part"]), outcome=outcome)
