"""A procedure's whole walk from the way in that its author wrote: the way out is the way in, backwards."""

from typing import Any

from traymark.rules.op_cautions import with_op_cautions

Procedure = dict[str, Any]
Step = dict[str, Any]

_BACK = {"remove": "insert", "insert": "remove", "unplug": "plug", "plug": "unplug", "lift": "seat", "seat": "lift"}


def derive(procedure: Procedure) -> list[Step]:
    """All steps in order: the questions that begin every job, way in, turn, way out, and the three that end every job.

    A step has id, phase (in, turn, out, end), title, say, tools, cautions, ops, gate, source (the step it returns),
    wait_s (seconds that it works by itself), heat, solvent, and swollen (its words beside a swollen cell).
    """
    steps = [_step(row, "in") for row in (*_BEGINNING, *procedure["in"])] + [
        _step(row, "turn") for row in procedure["turn"]
    ]
    for row in reversed(procedure["in"]):
        steps += [_step(extra, "out") for extra in procedure["closing"] if extra["before"] == row["id"]]
        if "back" in row or row.get("ops"):
            steps.append(_way_back(row))
    return steps + [_step(row, "end") for row in _ENDING]


def when_stopped(procedure: Procedure, done: set[str], reason: str) -> list[Step]:
    """What remains of a stopped job: take back a trial that stands, close what was opened, tag the old part if the
    new one is in, check the tray. An unsafe battery is never plugged in again."""
    power = {c["id"] for c in procedure["connectors"] if c.get("power")} if reason == "battery" else set[str]()
    moved_over = bool(procedure["turn"]) and all(row["id"] in done for row in procedure["turn"])
    remaining: list[Step] = []
    for step in derive(procedure):
        takes_back = step["phase"] == "turn" and step["undoes"] in done
        closes = step["source"] in done and step["id"] == f"{step['source']}-back"
        tags = moved_over and step["id"] == "core"
        if not (takes_back or closes or tags or step["id"] == "leftover"):
            continue
        ops = [op for op in step["ops"] if op["op"] != "plug" or op["connector"] not in power]
        if ops or not step["ops"]:
            remaining.append(step | {"ops": ops})
    return remaining


def _step(row: Step, phase: str) -> Step:
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
        "swollen": row.get("swollen"),
    }


def _way_back(row: Step) -> Step:
    back = row.get("back", {})
    ops = [{**op, "op": _BACK[op["op"]]} for op in reversed(row.get("ops", []))]
    step = _step({**row, "gate": None, "ops": ops}, "out")
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

_ENDING: list[Step] = [
    {
        "id": "final", "title": "Test the whole device", "gate": "final", "tools": [], "cautions": [],
        "say": ["Every test point, or the reason why one cannot be tested."],
    },
    {
        "id": "core", "title": "Tag the old part", "gate": "core", "tools": [], "cautions": ["waste"],
        "say": ["Put the old part into the new part's packaging and label it."],
    },
    {
        "id": "leftover", "title": "Nothing left over", "gate": "leftover", "tools": [], "cautions": [],
        "say": ["Look at the tray and at the bench. Everything is back in the device or entered as lost."],
    },
]  # fmt: skip
