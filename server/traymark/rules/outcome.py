"""What came of a job: one rule for message, record, paper and ticket (shared/record.json has the words)."""

from traymark.fold.records_gen import Job
from traymark.rules.complaint import complaint_cured

DONE = ("repaired", "repaired_but", "not_cured", "not_known")
"""The repair was carried out, whatever came of it."""


def outcome(job: Job) -> str:
    """The id of the outcome in shared/record.json."""
    if job["stop"] is not None:
        return "no_battery" if job["cell"] == "out" and not _is_plugged_in(job) else "not_repaired"
    if job["stage"] == "bench":
        return "under_way"
    if job["stage"] != "ready" and not (job["stage"] == "handed_over" and job["leftover"]):
        return "not_begun"
    cured = complaint_cured(job)
    if cured == "no":
        return "not_cured"
    if job["incidents"]:
        return "repaired_but"
    return "not_known" if cured == "unknown" else "repaired"


def reason_told(job: Job) -> str | None:
    """Why it was stopped, as people are told: a paired part that was damaged in our own work is a reason of its own.

    None without a stop, or where the outcome says it already.
    """
    if job["stop"] is None:
        return None
    reason = str(job["stop"]["reason"])
    if reason == "battery" and outcome(job) == "no_battery":
        return None
    return "paired_ours" if reason == "paired" and job["incidents"] else reason


def _is_plugged_in(job: Job) -> bool:
    """Everything that was unplugged is plugged in again, so a new battery is in."""
    counts = list(job["connectors"].values())
    return bool(counts) and all(n.get("out", 0) == n.get("back", 0) for n in counts)
