"""Python says whether the complaint is cured as the vectors do."""

from typing import Any

import pytest

from tests.vectors.vector_files import vectors
from traymark.rules.complaint import complaint_cured

(VECTOR,) = vectors("complaint")


@pytest.mark.parametrize("row", VECTOR["rows"], ids=str)
def test_only_the_round_that_counts_decides(row: dict[str, Any]) -> None:
    checks = {key: {"cured": cured, "note": None} for key, cured in row["checks"].items()}
    rounds = [{"round": number, "why": None} for number in row["rounds"]]
    assert complaint_cured({"final_rounds": rounds, "complaint_checks": checks}) == row["expect"]
