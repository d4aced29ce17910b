"""What came of a job in words (shared/record.json), and what went wrong in the shop's own work."""

from collections.abc import Iterable
from typing import Any, cast

from traymark.fold.records_gen import Job
from traymark.rules.outcome import outcome, reason_told
from traymark.tables import stages, table
from traymark.views.record_sheet import Known
from traymark.views.record_words import text_of


def outcome_words(job: Job) -> dict[str, Any]:
    """Name, sentence, and perhaps a phrase that follows the stage's name."""
    return cast(dict[str, Any], table("record")["outcomes"][outcome(job)])


def reason_words(job: Job) -> str | None:
    """Why it was stopped, as the customer is told; None when there is no stop, or the outcome says it already."""
    reason = reason_told(job)
    if reason is None:
        return None
    ours = table("record")["reasons"].get(reason)
    row = table("stages")["stop_reasons"].get(reason, stages()["stopped"])
    return str(ours or row["customer"])


def outcome_lines(job: Job) -> list[str]:
    """The lines below the outcome's name on a record."""
    words = outcome_words(job)
    lines = [str(words["say"]) if words.get("says_more") else None, reason_words(job)]
    return [line for line in lines if line is not None]


def incident_lines(known: Known) -> Iterable[str]:
    """What went wrong in our work, in the customer's words: what, where, which points, what is owed, what was said."""
    texts, owed = table("record")["incidents"], table("record")["owed"]
    points = cast("dict[str, dict[str, str]]", table("test_points")["points"])
    for id_, incident in known.job["incidents"].items():
        said = [f"{texts[incident['what']]}: {text_of(known, incident['where'])}."]
        if incident["points"]:
            names = ", ".join(str(points.get(point, {}).get("name", point)) for point in incident["points"])
            said.append(texts["points"].format(names=names))
        settled = known.job["settlements"].get(id_)
        if settled is None:
            said.append(texts["open"])
        else:
            said += [texts["owed"].format(owed=owed[settled["owed"]]), f"“{text_of(known, settled['say'])}”"]
        yield " ".join(said)
