"""Python walks procedures as the vectors say."""

import json
from typing import Any

import pytest

from tests.vectors.vector_files import Vector, vectors
from traymark.rules.procedure import derive
from traymark.rules.stopped import when_stopped
from traymark.tables import shared_dir

VECTORS = vectors("procedure")


@pytest.mark.parametrize("vector", VECTORS, ids=[v["name"] for v in VECTORS])
def test_steps_are_as_the_vector_says(vector: Vector) -> None:
    procedure = json.loads((shared_dir() / f"procedures/{vector['procedure']}.json").read_text(encoding="utf-8"))
    if vector["expect"] == "walk":
        steps = derive(procedure)
    else:
        steps = when_stopped(procedure, set(vector["done"]), vector["reason"], vector.get("cell"))
    assert [brief(step) for step in steps] == vector["steps"]
    told = vector.get("cautions", {})
    assert {step["id"]: step["cautions"] for step in steps if step["id"] in told} == told


def test_each_procedure_has_its_walk() -> None:
    walked = {vector["procedure"] for vector in VECTORS if vector["expect"] == "walk"}
    assert walked == {file.stem for file in (shared_dir() / "procedures").glob("*.json")}


def brief(step: dict[str, Any]) -> dict[str, Any]:
    """A step as vectors write it: empty members are left out, an operation is one line."""
    ops = [f"{op['op']} {op.get('group') or op.get('connector') or op['what']}" for op in step["ops"]]
    whole = {"id": step["id"], "phase": step["phase"], "gate": step["gate"], "source": step["source"], "ops": ops}
    whole |= {"heat": (step["heat"] or {}).get("usual_c"), "solvent": (step["solvent"] or {}).get("where")}
    whole |= {"swollen": bool(step["swollen"])}
    return {name: value for name, value in whole.items() if value}
