"""The whole walk of a procedure from the way in that its author wrote: the way out is the way in, backwards."""

from typing import Any

from traymark.rules.op_cautions import with_op_cautions

Procedure = dict[str, Any]
Step = dict[str, Any]

_BACK = {"remove": "insert", "insert": "remove", "unplug": "plug", "plug": "unplug", "lift": "seat", "seat": "lift"}


def derive(procedure: Procedure) -> list[Step]:
    """All steps in order: the questions that begin every job, way in, turn, way out, and the three that end every job.

    A step has id, phase (in, turn, out, end), title, say, tools, cautions, ops, gate, source (the step it returns),
    wait_s (seconds that it works by itself), heat, solvent, and swollen (what it says beside a swollen cell).
    """
    steps = [step_of(row, "in") for row in (*_BEGINNING, *procedure["in"])] + [
        step_of(row, "turn") for row in procedure["turn"]
    ]
    for row in reversed(procedure["in"]):
        steps += [step_of(extra, "out") for extra in procedure["closing"] if extra["before"] == row["id"]]
        if "back" in row or row.get("ops"):
            steps.append(_way_back(row))
    ending = [_last_test(procedure), *_ENDING]
    return steps + [step_of(row, "end") for row in ending]


def _last_test(procedure: Procedure) -> Step:
    """The full final test; a short recheck for a device that was fully tested before it was glued."""
    if not any(row.get("gate") == "final" for row in procedure["closing"]):
        return _FINAL
    return _FINAL | {
        "gate": "recheck", "title": "Test once more, closed", "points": procedure.get("recheck", []),
        "say": ["The whole test was made before the glue. Now that the device is closed, look at these again."],
    }  # fmt: skip


def step_of(row: Step, phase: str) -> Step:
    """A written step with defaults for what it leaves out."""
    return {
        "id": row["id"],
        "phase": phase,
        "title": row["title"],
        "say": row["say"],
        "tools": row["tools"],
        "cautions": with_op_cautions(row["cautions"], row.get("ops", [])),
        "ops": row.get("ops", []),
        "gate": row.get("gate"),
        "pair": row.get("pair"),
        "points": row.get("points"),
        "undoes": row.get("undoes"),
        "source": row.get("before"),
        "wait_s": row.get("wait_s"),
        "heat": row.get("heat"),
        "solvent": row.get("solvent"),
        "swollen": row.get("swollen", {}).get("say"),
    }


def _way_back(row: Step) -> Step:
    back = row.get("back", {})
    ops = [{**op, "op": _BACK[op["op"]]} for op in reversed(row.get("ops", []))]
    step = step_of({**row, "gate": None, "ops": ops}, "out")
    return step | {
        "id": f"{row['id']}-back",
        "title": back.get("title", f"Back: {row['title']}"),
        "say": back.get("say", []),
        "source": row["id"],
        "wait_s": None,
        "heat": None,
        "solvent": None,
        "swollen": None,
    }


_BEGINNING: list[Step] = [
    {
        "id": "safety", "title": "Before anything else", "gate": "safety", "tools": [], "cautions": ["battery"],
        "say": ["Three questions before any test, charge, heat, cup or pick."],
    },
]  # fmt: skip

_FINAL: Step = {
    "id": "final", "title": "Test the whole device", "gate": "final", "tools": [], "cautions": [],
    "say": ["Every test point, or the reason why one cannot be tested."],
}  # fmt: skip

_ENDING: list[Step] = [
    {
        "id": "core", "title": "Tag the old part", "gate": "core", "tools": [], "cautions": ["waste"],
        "say": ["Put the old part into the new part's packaging and label it."],
    },
    {
        "id": "leftover", "title": "Nothing left over", "gate": "leftover", "tools": [], "cautions": [],
        "say": ["Look at the tray and at the bench. Everything is back in the device or entered as lost."],
    },
]  # fmt: skip
