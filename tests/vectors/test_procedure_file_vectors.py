"""Python judges procedure files as the vectors say (F9)."""

import json

import pytest
from jsonschema import Draft202012Validator

from tests.vectors.vector_files import Vector, vector_dir, vectors
from traymark.rules.procedure_file import check_procedure_file

VECTORS = vectors("procedure_file")
SCHEMA = json.loads((vector_dir().parent / "schema" / "procedure_file.schema.json").read_text(encoding="utf-8"))


def document(vector: Vector) -> dict[str, object]:
    base = json.loads((vector_dir() / f"procedure_check/base/{vector['base']}.json").read_text(encoding="utf-8"))
    return vector["file"] | {"procedure": base}


@pytest.mark.parametrize("vector", VECTORS, ids=[v["name"] for v in VECTORS])
def test_faults_are_as_the_vector_says(vector: Vector) -> None:
    faults = [fault._asdict() for fault in check_procedure_file(document(vector))]
    assert faults == vector["faults"]
    assert vector["expect"] == ("faults" if faults else "sound")


@pytest.mark.parametrize("vector", VECTORS, ids=[v["name"] for v in VECTORS])
def test_schema_agrees_with_a_standard_validator(vector: Vector) -> None:
    of_the_form = [fault for fault in vector["faults"] if not fault["detail"].endswith("has another SHA-256")]
    assert Draft202012Validator(SCHEMA).is_valid(document(vector)) == (of_the_form == [])
