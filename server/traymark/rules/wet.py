"""Whether a check for liquid found any: the condition that stops a job in events.json (common practice, no source)."""

from traymark.fold.records_gen import JobLiquid

_TRIPPED = ("tinged", "red")


def is_wet(check: JobLiquid) -> bool:
    """An indicator that has tripped, even slightly, or any other sign."""
    return check["indicator"] in _TRIPPED or bool(check["signs"])
