"""Python makes the repair record as the vectors say."""

import pytest

from tests.vectors.record_runs import FORMS, sheet_of
from tests.vectors.vector_files import Vector, vectors
from traymark.tables import table

ALL = vectors("record")


@pytest.mark.parametrize("vector", ALL, ids=lambda vector: vector["name"])
def test_record_is_as_the_vector_says(vector: Vector) -> None:
    forms = [form for form in FORMS if form in vector]
    assert {form: sheet_of(vector, form) for form in forms} == {form: vector[form] for form in forms}


def test_each_outcome_and_each_heading_is_in_a_vector() -> None:
    sheets = [vector[form] for vector in ALL for form in FORMS if form in vector]
    outcomes = {row["name"] for row in table("record")["outcomes"].values()}
    assert outcomes == {sheet["outcome"] for sheet in sheets}
    parts = {part["title"] for sheet in sheets for part in (*sheet.get("parts", ()), *sheet.get("long", ()))}
    headings = table("record")["headings"]
    assert {headings[name] for name in headings.keys() - {"tests", "photos"}} <= parts
    facts = {name for sheet in sheets for name, _ in sheet["facts"]}
    assert facts == set(table("record")["facts"].values())
