"""The tests of a repair record: the three stages side by side, earlier rounds, what the lock kept from being shown."""

from collections.abc import Iterable
from typing import cast

from traymark.rules.attribution import attribute
from traymark.rules.lacking import is_lacking
from traymark.rules.locked import is_not_shown
from traymark.rules.rounds import final_round
from traymark.tables import table
from traymark.views.record_sheet import Part, Record, Row
from traymark.views.record_words import point_name, words

_STAGES = ("intake", "prefit", "final")


def rows_of(job: Record) -> Iterable[Row]:
    """A row for each point that was read at any stage, in the order of the table."""
    read = {key.partition("/")[2] for key in (*job["tests"], *job["final_tests"])}
    points = cast("dict[str, Record]", table("test_points")["points"])
    order = [point for point in points if point in read] + sorted(read - points.keys())
    for point in order:
        readings = [_reading(job, stage, point) for stage in _STAGES]
        seen = tuple("none" if reading is None else str(reading["result"]) for reading in readings)
        last = next((result for result in reversed(seen) if result != "none"), "none")
        why = next((r["why"] for r in reversed(readings) if r is not None and r["result"] == "cannot" and r["why"]), "")
        says = words("verdicts")[_verdict(*seen)]
        yield Row(
            name=point_name(point),
            results=tuple((result, words("results")[result]) for result in seen),
            fails=last == "fail",
            says=f"{says} {why}".strip(),
            not_shown=is_not_shown(readings) and {*seen} <= {"cannot", "none"},
            lacking=is_lacking(next((r for r in reversed(readings) if r is not None), None))
            and {*seen} <= {"cannot", "none"},
        )


def _reading(job: Record, stage: str, point: str) -> Record | None:
    """At the end, in the round that counts."""
    return _final(job, final_round(job), point) if stage == "final" else job["tests"].get(f"{stage}/{point}")


def _final(job: Record, number: int, point: str) -> Record | None:
    return job["tests"].get(f"final/{point}") if number == 1 else job["final_tests"].get(f"{number}/{point}")


def _verdict(intake: str, prefit: str, final: str) -> str:
    """As the bench has it; what was not tested again still has its first result."""
    verdict = attribute(intake, prefit, final)
    return {"pass": "open_worked", "fail": "open_failed"}.get(intake, verdict) if verdict == "open" else verdict


def alike_of(rows: tuple[Row, ...]) -> dict[str, list[str]]:
    """What is said of several points that worked whenever they were tested, with their names."""
    names: dict[str, list[str]] = {}
    for row in rows:
        if {result for result, _ in row.results} <= {"pass", "none"}:
            names.setdefault(row.says, []).append(row.name)
    return {says: points for says, points in names.items() if len(points) > 2}


def rounds_of(job: Record) -> Part | None:
    """What earlier rounds of the final test said, after which the device was opened again."""
    texts = words("rounds")
    points = list(cast("dict[str, Record]", table("test_points")["points"]))
    lines: list[str] = []
    for number in sorted({1, *(begun["round"] for begun in job["final_rounds"])}):
        read = {point: reading for point, reading in _points_read(job, number).items() if not is_lacking(reading)}
        if number == final_round(job) or not read:
            continue
        results: dict[str, list[str]] = {}
        for point in sorted(read, key=lambda p: points.index(p) if p in points else len(points)):
            results.setdefault(read[point]["result"], []).append(point_name(point))
        said = [
            texts["works"].format(count=len(results["pass"])) if "pass" in results else "",
            texts["fails"].format(names=", ".join(results["fail"])) if "fail" in results else "",
            texts["cannot"].format(names=", ".join(results["cannot"])) if "cannot" in results else "",
        ]
        lines.append(f"{texts['before'].format(round=number)}: {'; '.join(filter(None, said))}.")
    if not lines:
        return None
    return Part(texts["title"], lines=(texts["now"].format(round=final_round(job)), *lines))


def _points_read(job: Record, number: int) -> dict[str, Record]:
    readings, prefix = (job["tests"], "final/") if number == 1 else (job["final_tests"], f"{number}/")
    return {key.removeprefix(prefix): stamp for key, stamp in readings.items() if key.startswith(prefix)}


def locked_part(job: Record) -> Part | None:
    """Of a device that stayed locked: so it was tested, and what therefore could not be shown."""
    if job["lock"] != "locked":
        return None
    texts = words("locked")
    points = cast("dict[str, Record]", table("test_points")["points"])
    names = [
        str(row["name"])
        for point, row in points.items()
        if is_not_shown([_reading(job, stage, point) for stage in _STAGES])
    ]
    said = (texts["not_shown"].format(names=", ".join(names)),) if names else ()
    how = "changed" if job["lock_changes"] else "kept"
    return Part(texts["title"], lines=(texts[how], *said))


def is_told(job: Record, row: Row) -> bool:
    """Named as barred by the lock already."""
    return row.not_shown and job["lock"] == "locked"
