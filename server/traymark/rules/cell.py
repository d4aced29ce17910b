"""The battery of a job (shared/cell.json; common practice, no source)."""

from traymark.fold.records_gen import Job
from traymark.tables import table


def has_unsafe_cell(job: Job) -> bool:
    """An unsafe cell is inside, or may be: a battery stopped the job and nobody has said yet what state it is in."""
    stop = job["stop"]
    stopped = stop is not None and stop["reason"] == "battery"
    return job["cell"] in table("cell")["unsafe_states"] or (stopped and job["cell"] != "out")
