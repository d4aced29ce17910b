"""What a record says of the device: cautions, condition, what was found, what went wrong by us, what was agreed."""

from collections.abc import Iterable
from typing import cast

from traymark.fold.records_gen import Job, JobSafety
from traymark.rules.cell import has_unsafe_cell
from traymark.rules.outcome import outcome
from traymark.rules.wet import is_wet
from traymark.tables import table
from traymark.views.outcome_words import incident_lines
from traymark.views.record_sheet import Known, Part
from traymark.views.record_words import heading, line, loss_words, plain, text_of, upper, value_word, words


def cautions_of(job: Job) -> Iterable[str]:
    """What whoever receives the device must know."""
    texts = words("cautions")
    if has_unsafe_cell(job):
        yield texts["battery"]
    if outcome(job) == "no_battery":
        yield texts["battery_out"]
    if any(map(is_wet, job["liquid"])) or any(check["wet"] == "yes" for check in job["safety"]):
        # A lead let work continue, so somebody has dried and examined it.
        yield texts["liquid_lifted" if job["stop"] is None and job["wet_lifted"] else "liquid"]
    if job["steps"] or job["ledger"] or job["connectors"]:
        yield texts["opened"]


def ours_part(known: Known) -> Part:
    return Part(words("incidents")["title"], lines=tuple(incident_lines(known)))


def condition_part(known: Known) -> Part:
    lines = (
        f"{upper(value_word('mark', mark['what']))}, {value_word('side', mark['side'])}"
        + (f": {text_of(known, mark['note'])}" if mark["note"] else "")
        for mark in known.job["marks"].values()
    )
    return Part(heading("condition"), lines=tuple(lines))


def found_part(known: Known) -> Part:
    job, lines = known.job, list[str]()
    for check in job["safety"]:
        lines += _safety_words(check)
    for check in job["liquid"]:
        indicator = line("indicator", indicator=value_word("indicator", check["indicator"]))
        found = ", ".join([indicator, *(value_word("sign", sign) for sign in check["signs"])])
        lines.append(line("signs", found=found) if is_wet(check) else line("no_signs"))
    lines += _battery(job)
    lines += [loss_words(known, loss) for loss in job["losses"]]
    return Part(heading("found"), lines=tuple(lines))


def _safety_words(check: JobSafety) -> list[str]:
    """What was checked before any test; empty where all was well."""
    texts = words("safety")
    return [f"{texts[asked]} {texts[check['at']]}" for asked in ("wet", "bulging", "hot") if check[asked] == "yes"]


def _battery(job: Job) -> list[str]:
    """The states in which the battery was found, and whether an unsafe one was taken out."""
    found = [str(check["battery"]) for check in job["power"] if check["battery"] != "sound"]
    cell = job["cell"]
    last = [] if cell in (None, "sound", "out", *found) else [str(cell)]
    lines = [line("battery", battery=value_word("battery", state)) for state in (*found, *last)]
    return [*lines, words("safety")["out"]] if cell == "out" else lines


def agreed_words(job: Job) -> str:
    """What the customer agreed to, and that the shop's own terms were shown."""
    titles = cast("dict[str, dict[str, str]]", table("agreement")["consents"])
    said = [titles[slug]["title"] if slug in titles else plain(slug) for slug in job["consents"]]
    shown = [] if job["terms"] is None else [words("agreed")["terms"].format(terms=job["terms"])]
    return " ".join([f"{'. '.join(said)}."] * bool(said) + shown)
