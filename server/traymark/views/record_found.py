"""What a record says of the device: cautions, condition, what was found, what went wrong by us, what was agreed."""

from collections.abc import Iterable
from typing import cast

from traymark.rules.cell import has_unsafe_cell
from traymark.rules.outcome import outcome
from traymark.tables import table
from traymark.views.outcome_words import incident_lines
from traymark.views.record_sheet import Known, Part, Record
from traymark.views.record_words import by, group_names, words


def cautions_of(job: Record) -> Iterable[str]:
    texts = words("cautions")
    if has_unsafe_cell(job):
        yield texts["battery"]
    if outcome(job) == "no_battery":
        yield texts["battery_out"]
    if any(map(_is_wet, job["liquid"])) or any(check["wet"] == "yes" for check in job["safety"]):
        # A lead let work go on, so somebody has dried and looked at it.
        yield texts["liquid_lifted" if job["stop"] is None and job["wet_lifted"] else "liquid"]
    if job["steps"] or job["ledger"] or job["connectors"]:
        yield texts["opened"]


def ours_part(job: Record) -> Part | None:
    lines = tuple(incident_lines(job))
    return Part(words("incidents")["title"], lines=lines) if lines else None


def condition_part(job: Record) -> Part | None:
    lines = [
        f"{mark['what'].capitalize()} on the {mark['side']}" + (f": {mark['note']}" if mark["note"] else "")
        for mark in job["marks"].values()
    ]
    return Part("Condition when it came in", lines=("; ".join(lines),)) if lines else None


def found_part(known: Known) -> Part | None:
    job, lines = known.job, list[str]()
    for check in job["safety"]:
        lines += _safety_words(check)
    for check in job["liquid"]:
        if _is_wet(check):
            signs = [f"indicator {words('indicators')[check['indicator']]}", *check["signs"]]
            lines.append(f"Signs of liquid: {', '.join(signs)}")
        else:
            lines.append("No sign of liquid")
    lines += _battery(job)
    lines += losses_of(known, with_why=False)
    return Part("What was found", lines=tuple(lines)) if lines else None


def _safety_words(check: Record) -> list[str]:
    """What was looked at before any test; nothing where all was well."""
    texts = words("safety")
    return [f"{texts[asked]} {texts[check['at']]}" for asked in ("wet", "bulging", "hot") if check[asked] == "yes"]


def _battery(job: Record) -> list[str]:
    """States of the battery as they were found, and that an unsafe one was taken out."""
    found = [str(check["battery"]) for check in job["power"] if check["battery"] != "sound"]
    cell = job["cell"]
    last = [] if cell in (None, "sound", "out", *found) else [str(cell)]
    lines = [f"Battery {words('batteries')[state]}" for state in (*found, *last)]
    return [*lines, words("safety")["out"]] if cell == "out" else lines


def losses_of(known: Known, *, with_why: bool) -> list[str]:
    names = group_names(known)
    lines: list[str] = []
    for loss in known.job["losses"]:
        again = f"{loss['replaced']} replaced" if loss["replaced"] else "not replaced"
        other = f" by {loss['replaced_by']}" if loss["replaced"] and loss["replaced_by"] else ""
        line = f"{loss['count']}x {names.get(loss['group'], 'screw')} {words('losses')[loss['what']]}, {again}{other}"
        lines.append(f"{line}. {loss['why']} ({by(known, loss)})" if with_why else line)
    return lines


def agreed_words(job: Record) -> str:
    """What the customer agreed to, and that the shop's own terms were shown."""
    titles = cast("dict[str, Record]", table("agreement")["consents"])
    said = [str(titles.get(slug, {}).get("title") or slug.replace("_", " ")) for slug in job["consents"]]
    shown = [] if job["terms"] is None else [words("agreed")["terms"].format(terms=job["terms"])]
    return " ".join([f"{'. '.join(said)}."] * bool(said) + shown)


def _is_wet(check: Record) -> bool:
    return bool(check["signs"]) or check["indicator"] in ("tinged", "red")
