"""The round of the final test that counts: a device that was opened again starts the next one blank."""

from typing import Any


def final_round(job: dict[str, Any]) -> int:
    """1 until the device was opened again."""
    return max([1, *(int(begun["round"]) for begun in job["final_rounds"])])
