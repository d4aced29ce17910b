"""A sound procedure balances whatever its steps are, and each planted fault is found."""

from collections import Counter
from copy import deepcopy
from typing import Any

import pytest
from hypothesis import given, settings

from tests.server.procedures import SPOIL, sound_procedures
from traymark.rules.procedure import derive
from traymark.rules.procedure_check import check_procedure
from traymark.tables import table

RANDOM = settings(max_examples=60, deadline=None)
PLANTED = settings(max_examples=12, deadline=None)


@RANDOM
@given(sound_procedures())
def test_random_sound_procedure_has_no_fault(procedure: dict[str, Any]) -> None:
    assert check_procedure(procedure) == []


@RANDOM
@given(sound_procedures())
def test_way_out_balances_whatever_the_way_in(procedure: dict[str, Any]) -> None:
    """Counted here without the checker: everything comes back as often as it goes out, and goes out first."""
    held: Counter[str] = Counter()
    ways = {"remove": 1, "insert": -1, "unplug": 1, "plug": -1}
    for op in (op for step in derive(procedure) for op in step["ops"] if op["op"] in ways):
        what = op.get("group") or op["connector"]
        held[what] += ways[op["op"]]
        assert held[what] in (0, 1), what
    assert set(held) == {row["id"] for row in (*procedure["fasteners"], *procedure["connectors"])}
    assert set(held.values()) == {0}


@pytest.mark.parametrize("slug", sorted(SPOIL))
def test_planted_fault_is_found(slug: str) -> None:
    @PLANTED
    @given(sound_procedures())
    def spoiled(procedure: dict[str, Any]) -> None:
        bad = deepcopy(procedure)
        SPOIL[slug](bad)
        assert slug in {fault.slug for fault in check_procedure(bad)}

    spoiled()


def test_every_fault_of_the_table_is_planted() -> None:
    assert set(SPOIL) == set(table("procedure_faults")["faults"])


@pytest.mark.parametrize("document", [None, 3, [], "text", {}, {"in": None}], ids=str)
def test_document_that_is_no_procedure_is_called_so(document: object) -> None:
    assert {fault.slug for fault in check_procedure(document)} == {"not-in-form"}
