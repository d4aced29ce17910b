"""Python judges procedures as the vectors say."""

import copy
import json
from typing import Any

import pytest

from tests.vectors.vector_files import Vector, vector_dir, vectors
from traymark.rules.procedure_check import check_procedure
from traymark.tables import table

VECTORS = vectors("procedure_check")
SHIPPED = sorted((vector_dir().parent / "procedures").glob("*.json"))


@pytest.mark.parametrize("vector", VECTORS, ids=[v["name"] for v in VECTORS])
def test_faults_are_as_the_vector_says(vector: Vector) -> None:
    base = json.loads((vector_dir() / f"procedure_check/base/{vector['base']}.json").read_text(encoding="utf-8"))
    faults = [fault._asdict() for fault in check_procedure(changed(base, vector["changes"]))]
    assert faults == vector["faults"]
    assert vector["expect"] == ("faults" if faults else "sound")


def test_each_fault_of_the_table_is_in_a_vector() -> None:
    assert {fault["slug"] for v in VECTORS for fault in v["faults"]} == set(table("procedure_faults")["faults"])


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
def test_procedure_that_comes_with_the_program_is_sound(path: Any) -> None:
    assert check_procedure(json.loads(path.read_text(encoding="utf-8"))) == []


def changed(document: dict[str, Any], changes: list[dict[str, Any]]) -> dict[str, Any]:
    """A copy of the document with the changes made one after the other."""
    whole = copy.deepcopy(document)
    for change in changes:
        *path, last = change["at"].split("/")[1:]
        holder: Any = whole
        for name in path:
            holder = holder[int(name)] if isinstance(holder, list) else holder[name]
        place = int(last) if isinstance(holder, list) else last
        if "set" in change:
            holder[place] = change["set"]
        elif "put" in change:
            holder.insert(place, change["put"])
        else:
            del holder[place]
    return whole
