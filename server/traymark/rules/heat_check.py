"""Heat and solvent in a procedure: both are data, and they must never meet."""

from collections.abc import Iterator
from typing import Any

from traymark.rules.danger_words import danger_words
from traymark.rules.procedure import Procedure, Step
from traymark.tables import table

HeatFault = tuple[str, str | None, str]
"""Slug, step, detail."""

COOL_S = 180
"""A wait of this length without heat lets the edge of a device cool (common practice, no source)."""

_DATA = (("heat", "heat", "heat-unmeasured"), ("solvent", "chemical", "solvent-undescribed"))


def heat_faults(procedure: Procedure, walk: list[Step]) -> Iterator[HeatFault]:
    """Faults in single steps first (data missing, heat with solvent), then those along the walk."""
    words: dict[str, Any] = {row["caution"]: row["words"] for row in table("procedure_cautions")["rows"]}
    for row in (*procedure["in"], *procedure["turn"], *procedure["closing"]):
        for member, caution, slug in _DATA:
            named = danger_words(row, words[caution], [])
            if named and member not in row:
                yield slug, row["id"], named[0]
        if "heat" in row and "solvent" in row:
            yield "heat-with-solvent", row["id"], row["solvent"]["what"]
    yield from _along(procedure, walk)


def _along(procedure: Procedure, walk: list[Step]) -> Iterator[HeatFault]:
    """A device is warm from a step that heats until a step that waits without heat or solvent."""
    power = {row["id"] for row in procedure["connectors"] if row.get("power")}
    live = set(power)
    warm: str | None = None
    for step in walk:
        if step["heat"]:
            warm = step["id"]
        elif step["solvent"]:
            if warm is not None:
                yield "solvent-on-warm", step["id"], warm
        elif (step["wait_s"] or 0) >= COOL_S:
            warm = None
        if step["solvent"] and live:
            yield "solvent-under-power", step["id"], ", ".join(sorted(live))
        for op in step["ops"]:
            if op["op"] == "unplug":
                live.discard(op["connector"])
            if op["op"] == "plug" and op["connector"] in power:
                live.add(op["connector"])
