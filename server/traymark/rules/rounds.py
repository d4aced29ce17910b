"""Rounds of the final test: a device that was opened again starts the next one blank."""

from typing import Any


def final_round(job: dict[str, Any]) -> int:
    """The round that counts."""
    return max([1, *(begun["round"] for begun in job["final_rounds"])])
