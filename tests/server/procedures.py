"""Random sound procedures, and for every fault of the table a way to plant it."""

from collections.abc import Callable
from typing import Any

from hypothesis import strategies as st

Doc = dict[str, Any]


@st.composite
def sound_procedures(draw: st.DrawFn) -> Doc:
    """A way in in any allowed order, a trial of some connectors, some groups moved over, one pair."""
    groups = [group(number, draw) for number in range(1, draw(st.integers(3, 8)) + 1)]
    plugs = [f"plug{number}" for number in range(draw(st.integers(2, 6)))]
    moved = draw(st.integers(1, len(groups) - 2))
    over, into = groups[:moved], groups[moved:]
    opening = draw(st.integers(1, len(into)))
    before, after = into[:opening], into[opening:]
    tried = draw(st.lists(st.sampled_from(plugs), min_size=1, unique=True))
    way_in = [step(f"out-{row['id']}", ops=[op("remove", group=row["id"])]) for row in before]
    if draw(st.booleans()):
        way_in.append(step("soften", cautions=["heat"], wait_s=60, heat={"where": "Edge", "usual_c": 65}))
    way_in.insert(draw(st.integers(0, len(way_in))), step("liquid", gate="liquid"))
    way_in.append(step("power", gate="power", cautions=["battery"], ops=[op("unplug", connector="battery")]))
    rest = [step(f"out-{row['id']}", ops=[op("remove", group=row["id"])]) for row in after]
    rest += [step(f"off-{id_}", ops=[op("unplug", connector=id_)]) for id_ in plugs]
    way_in += draw(st.permutations(rest))
    way_in[0]["drawing"] = {"scene": "top", "shapes": []}
    turn = [
        step("trial", ops=[op("plug", connector=id_) for id_ in [*tried, "battery"]]),
        step("prove", gate="prefit", points=["touch"]),
        step("trial-off", gate="power", cautions=["battery"], undoes="trial",
             ops=[op("unplug", connector=id_) for id_ in ["battery", *tried]]),
    ]  # fmt: skip
    for row in over:
        turn.append(step(f"free-{row['id']}", ops=[op("remove", group=row["id"])]))
        turn.append(step(f"fix-{row['id']}", ops=[op("insert", group=row["id"])], undoes=f"free-{row['id']}"))
    turn.append(step("over", gate="pair", pair="reader", cautions=["paired"]))
    anchors = draw(st.lists(st.sampled_from([row["id"] for row in way_in]), max_size=3))
    return {
        "id": "random", "rev": 1, "title": "Random", "model": "Test device", "minutes": 5,
        "part": {"kind": "random-part", "name": "Part", "serves": ["display"]},
        "core": {"name": "Part", "kind": "random-part", "purpose": "credit", "shipping_caution": "none"},
        "fasteners": draw(st.permutations(groups)),
        "connectors": [{"id": "battery", "name": "Battery", "power": True, "serves": ["battery"]},
                       *({"id": id_, "name": id_, "serves": ["display"]} for id_ in plugs)],
        "pairs": [{"id": "reader", "name": "Reader", "test": "fingerprint"}],
        "scenes": {"top": {"w": 100, "h": 100, "say": "From above", "shapes": []}},
        "in": way_in, "turn": turn,
        "closing": [step(f"extra{place}", before=id_) for place, id_ in enumerate(anchors)],
    }  # fmt: skip


def group(number: int, draw: st.DrawFn) -> Doc:
    return {
        "id": f"group{number}", "name": f"Group {number}", "drive": "cross 00", "thread": "M1.2",
        "head": draw(st.sampled_from(["pan", "countersunk"])), "length_um": draw(st.integers(600, 20_000)),
        "count": draw(st.integers(1, 9)), "pocket": number, "where": "Somewhere",
    }  # fmt: skip


def step(id_: str, **more: Any) -> Doc:
    return {"id": id_, "title": "Step", "say": ["Do it."], "tools": [], "cautions": [], **more}


def op(what: str, **more: str) -> Doc:
    return {"op": what, **more}


def at(rows: list[Doc], id_: str) -> Doc:
    return next(row for row in rows if row["id"] == id_)


def unplugging(doc: Doc) -> Doc:
    """The first step of the way in that unplugs anything but the battery."""
    return next(row for row in doc["in"] if row["id"].startswith("off-"))


def taking(doc: Doc) -> Doc:
    """The first step of the way in that takes fasteners out."""
    return next(row for row in doc["in"] if row["id"].startswith("out-"))


def freeing(doc: Doc, what: str) -> Doc:
    return next(row for row in doc["turn"] if row["id"].startswith(what))


def share_pocket(doc: Doc, length_um: int) -> None:
    one, other = doc["fasteners"][:2]
    one["length_um"], other["length_um"], other["pocket"] = 5000, length_um, one["pocket"]


def drawn(doc: Doc, *shapes: Doc) -> None:
    doc["in"][0]["drawing"]["shapes"] += shapes


def many_spots(doc: Doc) -> None:
    row = doc["fasteners"][0]
    drawn(doc, *({"spot": [place, 50], "group": row["id"]} for place in range(row["count"] + 1)))


SOLVENT = {"what": "Shop's solvent", "where": "Edge"}
SPOIL: dict[str, Callable[[Doc], object]] = {
    "not-in-form": lambda d: d["fasteners"][0].update(count=0),
    "id-repeated": lambda d: d["turn"][1].update(id=d["in"][0]["id"]),
    "group-unknown": lambda d: taking(d)["ops"][0].update(group="nowhere"),
    "connector-unknown": lambda d: unplugging(d)["ops"][0].update(connector="nowhere"),
    "caution-unknown": lambda d: d["in"][0]["cautions"].append("nowhere"),
    "test-point-unknown": lambda d: at(d["turn"], "prove").update(points=["nowhere"]),
    "pair-unknown": lambda d: at(d["turn"], "over").update(pair="nowhere"),
    "undoes-unknown": lambda d: freeing(d, "fix-").update(undoes="over"),
    "closing-unanchored": lambda d: d["closing"].append(step("late", before="nowhere")),
    "group-unused": lambda d: taking(d).pop("ops"),
    "connector-unused": lambda d: d["connectors"].append({"id": "odd", "name": "Odd", "serves": ["display"]}),
    "pocket-shared": lambda d: share_pocket(d, 5600),
    "look-alikes-together": lambda d: share_pocket(d, 5599),
    "length-implausible": lambda d: d["fasteners"][0].update(length_um=599),
    "head-unknown": lambda d: d["fasteners"][0].update(head="square"),
    "power-missing": lambda d: d["connectors"][0].pop("power"),
    "liquid-missing": lambda d: at(d["in"], "liquid").pop("gate"),
    "liquid-late": lambda d: d["in"].append(d["in"].pop(d["in"].index(at(d["in"], "liquid")))),
    "prefit-missing": lambda d: at(d["turn"], "prove").pop("gate"),
    "gate-repeated": lambda d: d["turn"].append(step("again", gate="prefit")),
    "pair-stays": lambda d: d["pairs"].append({"id": "other", "name": "Other", "test": "button"}),
    "pair-early": lambda d: d["turn"].insert(0, d["turn"].pop()),
    "power-gate-missing": lambda d: at(d["turn"], "trial-off").pop("gate"),
    "power-gate-idle": lambda d: d["turn"].append(step("look", gate="power", cautions=["battery"])),
    "power-not-first": lambda d: d["in"].append(d["in"].pop(d["in"].index(at(d["in"], "power")))),
    "plugged-under-power": lambda d: at(d["turn"], "trial")["ops"].reverse(),
    "prefit-unpowered": lambda d: at(d["turn"], "trial")["ops"].pop(),
    "final-unpowered": lambda d: d["closing"].append(step("whole", gate="final", before=unplugging(d)["id"])),
    "recheck-missing": lambda d: d["closing"].append(step("whole", gate="final", before=d["in"][0]["id"])),
    "recheck-idle": lambda d: d.update(recheck=["touch"]),
    "heat-unmeasured": lambda d: d["in"][0].update(say=["Warm it."]),
    "solvent-undescribed": lambda d: d["in"][0].update(say=["A drop of alcohol."]),
    "heat-with-solvent": lambda d: d["in"][0].update(solvent=SOLVENT, wait_s=60, heat={"where": "Edge", "usual_c": 60}),
    "solvent-on-warm": lambda d: (
        d["in"][0].update(wait_s=60, heat={"where": "Edge", "usual_c": 60}),
        d["turn"].append(step("wipe", solvent=SOLVENT)),
    ),
    "solvent-under-power": lambda d: d["in"][0].update(solvent=SOLVENT),
    "removed-twice": lambda d: d["turn"].append(step("twice", ops=taking(d)["ops"])),
    "returned-twice": lambda d: d["turn"].append(step("twice", ops=freeing(d, "fix-")["ops"])),
    "fastener-not-returned": lambda d: freeing(d, "fix-").pop("ops"),
    "unplugged-twice": lambda d: d["turn"].append(step("twice", ops=unplugging(d)["ops"])),
    "plugged-twice": lambda d: at(d["turn"], "trial-off")["ops"].pop(),
    "left-unplugged": lambda d: (
        d["connectors"].append({"id": "odd", "name": "Odd", "serves": ["display"]}),
        d["turn"].append(step("odd", ops=[op("unplug", connector="odd")])),
    ),
    "stop-strands": lambda d: freeing(d, "fix-").pop("undoes"),
    "caution-missing": lambda d: d["in"][0]["tools"].append("Heat pad"),
    "drawing-unknown": lambda d: d["in"][0]["drawing"].update(scene="nowhere"),
    "drawing-outside": lambda d: drawn(d, {"text": [101, 50], "say": "Out"}),
    "drawing-count": many_spots,
}
