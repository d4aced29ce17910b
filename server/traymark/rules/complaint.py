"""Whether the customer's complaint is cured: asked before fitting, and again at the final test."""

from traymark.fold.records_gen import Job
from traymark.rules.rounds import final_round


def complaint_cured(job: Job) -> str | None:
    """What the final test of the present round says: `yes`, `no`, `unknown`; None while it was not asked there."""
    check = job["complaint_checks"].get(f"final/{final_round(job)}")
    return None if check is None else str(check["cured"])
