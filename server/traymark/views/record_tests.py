"""The tests of a repair record: the three stages side by side, earlier rounds, what the lock kept from being shown."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, cast

from traymark.fold.records_gen import Job
from traymark.fold.records_gen import JobFinalTests as Reading
from traymark.rules.attribution import attribute
from traymark.rules.lacking import is_lacking
from traymark.rules.locked import is_not_shown
from traymark.rules.rounds import final_round
from traymark.tables import table
from traymark.views.record_sheet import Fact, Known, Part, Row
from traymark.views.record_words import because_words, point_name, point_names, text_of, words

# Fewer than this are listed one by one.
_LEAST_ALIKE = 3
_STAGES = ("intake", "prefit", "final")


@dataclass(frozen=True)
class Point:
    """A test point that has a reading at any stage."""

    row: Row
    verdict: str
    is_not_shown: bool
    """The lock barred it, and it has no outcome at any stage."""
    is_lacking: bool
    """The model has none of it, so it has no outcome either."""


def points_of(known: Known) -> list[Point]:
    """Failures first, the others in the order of the table."""
    job = known.job
    read = {key.partition("/")[2] for key in (*job["tests"], *job["final_tests"])}
    return sorted((_point(known, point) for point in _in_order(read)), key=lambda point: not point.row.fails)


def _point(known: Known, point: str) -> Point:
    readings = [_reading(known.job, stage, point) for stage in _STAGES]
    intake, prefit, final = ("none" if reading is None else str(reading["result"]) for reading in readings)
    seen = (intake, prefit, final)
    verdict = attribute(*seen)
    latest = next((reading for reading in reversed(readings) if reading is not None), None)
    not_tested = [r for r in reversed(readings) if r is not None and r["result"] == "cannot"]
    why = next(filter(None, (_why(known, point, reading) for reading in not_tested)), None)
    says = words("verdicts")[_told_verdict(verdict, intake)]
    has_no_outcome = {*seen} <= {"cannot", "none"}
    return Point(
        row=Row(
            name=point_name(point),
            results=seen,
            fails=latest is not None and latest["result"] == "fail",
            says=says if why is None else f"{says} {why}",
        ),
        verdict=verdict,
        is_not_shown=has_no_outcome and is_not_shown(readings),
        is_lacking=has_no_outcome and is_lacking(latest),
    )


def _why(known: Known, point: str, reading: Reading) -> str:
    """The reason on a reading: the value's word, and what was written beside it."""
    because = because_words(point, reading["because"])
    return ". ".join(filter(None, (because, text_of(known, reading["why"]))))


def _told_verdict(verdict: str, intake: str) -> str:
    """As the bench sees it; what was not tested again keeps its first result."""
    return {"pass": "open_worked", "fail": "open_failed"}.get(intake, verdict) if verdict == "open" else verdict


def _reading(job: Job, stage: str, point: str) -> Reading | None:
    """At the end, in the round that counts."""
    number = final_round(job)
    if stage == "final" and number > 1:
        return job["final_tests"].get(f"{number}/{point}")
    return job["tests"].get(f"{stage}/{point}")


def alike_of(rows: Iterable[Row]) -> dict[str, list[str]]:
    """What holds for several points that worked whenever they were tested, with their names."""
    names: dict[str, list[str]] = {}
    for row in rows:
        if {*row.results} <= {"pass", "none"}:
            names.setdefault(row.says, []).append(row.name)
    return {says: points for says, points in names.items() if len(points) >= _LEAST_ALIKE}


def told_rows(known: Known) -> tuple[tuple[Row, ...], tuple[Fact, ...]]:
    """For the customer: points that need a line of their own, and what holds for all the others together.

    What the lock barred is named once for all, and what the model does not have is not named.
    """
    points = [point for point in points_of(known) if not point.is_lacking]
    alike = alike_of(point.row for point in points)
    rows = [
        point.row
        for point in points
        if point.row.name not in alike.get(point.row.says, ())
        and not (point.is_not_shown and known.job["lock"] == "locked")
    ]
    return tuple(rows), tuple((says, ", ".join(names)) for says, names in alike.items())


def rounds_of(job: Job) -> Part | None:
    """What earlier rounds of the final test found, before the device was opened again."""
    texts = words("rounds")
    lines: list[str] = []
    for number in sorted({1, *(begun["round"] for begun in job["final_rounds"])}):
        read = {point: reading for point, reading in _points_read(job, number).items() if not is_lacking(reading)}
        if number == final_round(job) or not read:
            continue
        results: dict[str, list[str]] = {}
        for point in _in_order(read):
            results.setdefault(read[point]["result"], []).append(point)
        said = [
            texts["works"].format(count=len(results["pass"])) if "pass" in results else "",
            texts["fails"].format(names=point_names(results["fail"])) if "fail" in results else "",
            texts["cannot"].format(names=point_names(results["cannot"])) if "cannot" in results else "",
        ]
        lines.append(f"{texts['before'].format(round=number)}: {'; '.join(filter(None, said))}.")
    if not lines:
        return None
    return Part(texts["title"], lines=(texts["now"].format(round=final_round(job)), *lines))


def _points_read(job: Job, number: int) -> dict[str, Reading]:
    readings, prefix = (job["tests"], "final/") if number == 1 else (job["final_tests"], f"{number}/")
    return {key.removeprefix(prefix): stamp for key, stamp in readings.items() if key.startswith(prefix)}


def _in_order(points: Iterable[str] | Mapping[str, object]) -> list[str]:
    """In the order of the table; points that are not in it come last."""
    known = list(cast("dict[str, Any]", table("test_points")["points"]))
    return sorted(points, key=lambda point: (known.index(point) if point in known else len(known), point))


def locked_part(job: Job) -> Part:
    """For a device that stayed locked: that it was tested so, and what could therefore not be shown."""
    texts = words("locked")
    if job["lock"] != "locked":
        return Part(texts["title"])
    points = cast("dict[str, Any]", table("test_points")["points"])
    barred = [point for point in points if is_not_shown([_reading(job, stage, point) for stage in _STAGES])]
    said = (texts["not_shown"].format(names=point_names(barred)),) if barred else ()
    return Part(texts["title"], lines=(texts["changed" if job["lock_changes"] else "kept"], *said))
