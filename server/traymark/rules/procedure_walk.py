"""Walks a procedure from end to end: what goes out comes back, power goes first, a stopped job can be closed."""

from traymark.rules.procedure import Procedure, Step
from traymark.rules.stopped import when_stopped

WalkFault = tuple[str, str | None, str]
"""Slug, step, detail."""


def walk_faults(procedure: Procedure, walk: list[Step]) -> list[WalkFault]:
    """The faults found on the way through these steps."""
    power = [row["id"] for row in procedure["connectors"] if row.get("power")]
    faults: list[WalkFault] = []
    out: dict[str, str] = {}
    unplugged: dict[str, str] = {}
    for step in walk:
        id_ = step["id"]
        if step["gate"] == "prefit" and any(plug in unplugged for plug in power):
            faults.append(("prefit-unpowered", id_, ""))
        if step["gate"] == "final" and step["phase"] == "out" and any(plug in unplugged for plug in power):
            faults.append(("final-unpowered", id_, ""))
        isolates = [op["connector"] for op in step["ops"] if op["op"] == "unplug" and op["connector"] in power]
        if step["gate"] == "power" and not isolates:
            faults.append(("power-gate-idle", id_, ""))
        # On the way out nothing new is unplugged; liquid was looked for on the way in.
        if isolates and step["gate"] != "power":
            faults.append(("power-gate-missing", id_, isolates[0]))
        for op in step["ops"]:
            if op["op"] in ("remove", "insert"):
                slug = _toggle(out, op["group"], id_, op["op"] == "remove", ("removed-twice", "returned-twice"))
                faults += [(slug, id_, op["group"])] if slug else []
            if op["op"] in ("unplug", "plug"):
                plug, is_out = op["connector"], op["op"] == "unplug"
                if plug not in power and any(live not in unplugged for live in power):
                    faults.append(("power-not-first" if is_out else "plugged-under-power", id_, plug))
                slug = _toggle(unplugged, plug, id_, is_out, ("unplugged-twice", "plugged-twice"))
                faults += [(slug, id_, plug)] if slug else []
    faults += [("fastener-not-returned", by, group) for group, by in out.items()]
    faults += [("left-unplugged", by, plug) for plug, by in unplugged.items()]
    return faults


def stop_faults(procedure: Procedure, walk: list[Step]) -> list[WalkFault]:
    """The first step after which a stopped job could not be closed by the steps that remain."""
    for place, step in enumerate(walk):
        if step["phase"] not in ("in", "turn"):
            break
        done = walk[: place + 1]
        ids = {earlier["id"] for earlier in done}
        remaining = [left for left in when_stopped(procedure, ids, "customer") if left["id"] not in ids]
        faults = walk_faults(procedure, [*done, *remaining])
        if faults:
            slug, _, detail = faults[0]
            return [("stop-strands", step["id"], f"{slug}: {detail}")]
    return []


def _toggle(out: dict[str, str], what: str, by: str, takes: bool, slugs: tuple[str, str]) -> str | None:
    """Take something out or put it back. Returns the slug when it already was."""
    if takes == (what in out):
        return slugs[0] if takes else slugs[1]
    if takes:
        out[what] = by
    else:
        del out[what]
    return None
