"""Whether the complaint is cured: the first line of the final test, in the round that counts."""

from typing import Any

from traymark.rules.final_round import final_round


def complaint_cured(job: dict[str, Any]) -> str | None:
    """`yes`, `no` or `unknown`; None while nobody was asked."""
    check = job["complaint_checks"].get(f"final/{final_round(job)}")
    return None if check is None else str(check["cured"])
