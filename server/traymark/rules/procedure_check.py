"""Whether a procedure is sound: a readable list of its faults, by the table `procedure_faults.json`.

Order of the list: names, fasteners, gates, the walk, stops, cautions, heat and solvent, drawings; within each, the
order of the document.
"""

import json
from collections.abc import Iterator
from functools import cache
from itertools import combinations
from typing import Any, NamedTuple

from traymark.rules.danger_words import danger_words
from traymark.rules.form import form_faults
from traymark.rules.heat_check import heat_faults
from traymark.rules.look_alikes import is_look_alike
from traymark.rules.procedure import Procedure, Step, derive
from traymark.rules.procedure_walk import WalkFault, stop_faults, walk_faults
from traymark.tables import shared_dir, table

# Fasteners of telephones and tablets lie between these (common practice, no source).
SHORTEST_UM = 600
LONGEST_UM = 20_000


class Fault(NamedTuple):
    """What is wrong, at which step (None: the procedure as a whole), and the ids concerned."""

    slug: str
    step: str | None
    detail: str


def check_procedure(document: object) -> list[Fault]:
    """All faults; none when it is sound. A document that is no procedure by its schema is checked no further."""
    formless = [Fault("not-in-form", None, str(fault)) for fault in form_faults(document, _schema())]
    if formless:
        return formless
    procedure: Any = document
    walk = derive(procedure)
    by_walk: list[WalkFault] = walk_faults(procedure, walk)
    stranded = [] if by_walk else stop_faults(procedure, walk)
    return [
        *_names(procedure),
        *_fasteners(procedure),
        *_gates(procedure, walk),
        *(Fault(*fault) for fault in (*by_walk, *stranded)),
        *_cautions(procedure),
        *(Fault(*fault) for fault in heat_faults(procedure, walk)),
        *_drawings(procedure),
    ]


@cache
def _schema() -> dict[str, Any]:
    return json.loads((shared_dir() / "schema" / "procedure.schema.json").read_text(encoding="utf-8"))


def _written(procedure: Procedure) -> list[Step]:
    return [*procedure["in"], *procedure["turn"], *procedure["closing"]]


def _names(procedure: Procedure) -> Iterator[Fault]:
    groups = [row["id"] for row in procedure["fasteners"]]
    plugs = [row["id"] for row in procedure["connectors"]]
    pairs = [row["id"] for row in procedure["pairs"]]
    backs = [f"{row['id']}-back" for row in procedure["in"] if "back" in row or row.get("ops")]
    steps = [row["id"] for row in _written(procedure)]
    yield from (
        Fault("id-repeated", id_, "step") for id_ in _repeated([*steps, *backs, "safety", "final", "core", "leftover"])
    )
    for what, ids in (("group", groups), ("connector", plugs), ("pair", pairs)):
        yield from (Fault("id-repeated", None, f"{what} {id_}") for id_ in _repeated(ids))
    for row in procedure["fasteners"]:
        if "caution" in row and row["caution"] not in table("cautions")["cautions"]:
            yield Fault("caution-unknown", None, f"group {row['id']}: {row['caution']}")
    for row in procedure["pairs"]:
        if row["test"] not in table("test_points")["points"]:
            yield Fault("test-point-unknown", None, f"pair {row['id']}: {row['test']}")
    for id_ in procedure.get("recheck", []):
        if id_ not in table("test_points")["points"]:
            yield Fault("test-point-unknown", None, f"recheck: {id_}")
    for row in _written(procedure):
        yield from _names_of_step(row, groups, plugs, pairs)
    earlier: list[str] = []
    for row in procedure["turn"]:
        if "undoes" in row and row["undoes"] not in earlier:
            yield Fault("undoes-unknown", row["id"], row["undoes"])
        earlier.append(row["id"])
    for row in procedure["closing"]:
        if row["before"] not in {step["id"] for step in procedure["in"]}:
            yield Fault("closing-unanchored", row["id"], row["before"])


def _repeated(ids: list[str]) -> list[str]:
    return [id_ for place, id_ in enumerate(ids) if ids[:place].count(id_) == 1]


def _names_of_step(row: Step, groups: list[str], plugs: list[str], pairs: list[str]) -> Iterator[Fault]:
    for op in row.get("ops", []):
        if "group" in op and op["group"] not in groups:
            yield Fault("group-unknown", row["id"], op["group"])
        if "connector" in op and op["connector"] not in plugs:
            yield Fault("connector-unknown", row["id"], op["connector"])
    for id_ in row["cautions"]:
        if id_ not in table("cautions")["cautions"]:
            yield Fault("caution-unknown", row["id"], id_)
    for id_ in row.get("points", []):
        if id_ not in table("test_points")["points"]:
            yield Fault("test-point-unknown", row["id"], id_)
    if (row.get("gate") == "pair" or "pair" in row) and row.get("pair") not in pairs:
        yield Fault("pair-unknown", row["id"], row.get("pair", ""))


def _fasteners(procedure: Procedure) -> Iterator[Fault]:
    ops = [op for row in _written(procedure) for op in row.get("ops", [])]
    removed = {op["group"] for op in ops if op["op"] == "remove"}
    unplugged = {op["connector"] for op in ops if op["op"] == "unplug"}
    yield from (Fault("group-unused", None, f["id"]) for f in procedure["fasteners"] if f["id"] not in removed)
    yield from (Fault("connector-unused", None, c["id"]) for c in procedure["connectors"] if c["id"] not in unplugged)
    for row in procedure["fasteners"]:
        if not SHORTEST_UM <= row["length_um"] <= LONGEST_UM:
            yield Fault("length-implausible", None, f"{row['id']}: {row['length_um']}")
        if row["head"] not in table("fastener_heads")["heads"]:
            yield Fault("head-unknown", None, f"{row['id']}: {row['head']}")
    for one, other in combinations(procedure["fasteners"], 2):
        if one["pocket"] == other["pocket"]:
            slug = "look-alikes-together" if is_look_alike(one, other) else "pocket-shared"
            yield Fault(slug, None, f"{one['id']}, {other['id']}: {one['pocket']}")


def _gates(procedure: Procedure, walk: list[Step]) -> Iterator[Fault]:
    """Liquid gate before the first unplugging, the part proven, each pair moved after that. Power: procedure_walk."""
    unplugs = [place for place, step in enumerate(walk) if any(op["op"] == "unplug" for op in step["ops"])]
    if unplugs and not any(row.get("power") for row in procedure["connectors"]):
        yield Fault("power-missing", None, "")
    gates = [(step["gate"], step["pair"]) for step in walk]
    kinds = [gate for gate, _ in gates]
    if "liquid" not in kinds:
        yield Fault("liquid-missing", None, "")
    elif unplugs and unplugs[0] <= kinds.index("liquid"):
        yield Fault("liquid-late", walk[unplugs[0]]["id"], walk[kinds.index("liquid")]["id"])
    if "prefit" not in kinds:
        yield Fault("prefit-missing", None, procedure["part"]["kind"])
    yield from _whole_test(procedure)
    for place, (gate, pair) in enumerate(gates):
        if gate in ("liquid", "prefit", "pair") and (gate, pair) in gates[:place]:
            yield Fault("gate-repeated", walk[place]["id"], gate)
        if gate == "pair" and "prefit" in kinds[place:]:
            yield Fault("pair-early", walk[place]["id"], pair or "")
    for row in procedure["pairs"]:
        if ("pair", row["id"]) not in gates:
            yield Fault("pair-stays", None, row["id"])


def _whole_test(procedure: Procedure) -> Iterator[Fault]:
    """A full test before the glue: at most once, and then a short one at the end."""
    tests = [row["id"] for row in procedure["closing"] if row.get("gate") == "final"]
    if tests and "recheck" not in procedure:
        yield Fault("recheck-missing", tests[0], "")
    if not tests and "recheck" in procedure:
        yield Fault("recheck-idle", None, ", ".join(procedure["recheck"]))
    yield from (Fault("gate-repeated", id_, "final") for id_ in tests[1:])


def _cautions(procedure: Procedure) -> Iterator[Fault]:
    places = {row["id"]: row["where"] for row in reversed(procedure["fasteners"])}
    for row in _written(procedure):
        moved = [places[op["group"]] for op in row.get("ops", []) if op.get("group") in places]
        for rule in table("procedure_cautions")["rows"]:
            named = danger_words(row, rule["words"], moved)
            named += [f"gate {gate}" for gate in rule["gates"] if gate == row.get("gate")]
            if named and rule["caution"] not in row["cautions"]:
                yield Fault("caution-missing", row["id"], f"{rule['caution']}: {named[0]}")


def _drawings(procedure: Procedure) -> Iterator[Fault]:
    scenes: dict[str, Any] = procedure.get("scenes", {})
    counts = {row["id"]: row["count"] for row in reversed(procedure["fasteners"])}
    plugs = {row["id"] for row in procedure["connectors"]}
    for name in sorted(scenes):
        yield from _shapes(scenes[name]["shapes"], scenes[name], counts, plugs, None)
    for row in _written(procedure):
        drawing = row.get("drawing")
        if drawing is None:
            continue
        scene = scenes.get(drawing["scene"])
        if scene is None:
            yield Fault("drawing-unknown", row["id"], f"scene {drawing['scene']}")
            continue
        yield from _shapes(drawing["shapes"], scene, counts, plugs, row["id"])
        spots = [shape["group"] for shape in (*scene["shapes"], *drawing["shapes"]) if "spot" in shape]
        for group, count in counts.items():
            if spots.count(group) not in (0, count):
                yield Fault("drawing-count", row["id"], f"{group}: {spots.count(group)}, not {count}")


def _shapes(
    shapes: list[dict[str, Any]], scene: dict[str, Any], counts: dict[str, int], plugs: set[str], step: str | None
) -> Iterator[Fault]:
    for place, shape in enumerate(shapes):
        if "group" in shape and shape["group"] not in counts:
            yield Fault("drawing-unknown", step, f"group {shape['group']}")
        if "connector" in shape and shape["connector"] not in plugs:
            yield Fault("drawing-unknown", step, f"connector {shape['connector']}")
        if not all(0 <= x <= scene["w"] and 0 <= y <= scene["h"] for x, y in _reach(shape)):
            yield Fault("drawing-outside", step, f"shape {place + 1}")


def _reach(shape: dict[str, Any]) -> list[tuple[int, int]]:
    """The points that a shape goes to."""
    if "rect" in shape:
        x, y, width, height, _ = shape["rect"]
        return [(x, y), (x + width, y + height)]
    if "circle" in shape or "arc" in shape:
        x, y, radius = (shape.get("circle") or shape["arc"])[:3]
        return [(x - radius, y - radius), (x + radius, y + radius)] if "circle" in shape else [(x, y)]
    points = shape.get("line") or shape.get("arrow") or [shape.get("spot") or shape.get("plug") or shape["text"]]
    return [(x, y) for x, y in points]
