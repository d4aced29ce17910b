"""The server's clock; tests pass in their own. It never orders anything (F4.3)."""

import time
from collections.abc import Callable
from datetime import UTC, datetime

Clock = Callable[[], int]


def system_clock_ms() -> int:
    """Milliseconds since 1970 by this machine's clock."""
    return time.time_ns() // 1_000_000


def utc_name(at_ms: int) -> str:
    """A moment as part of the name of a file or folder."""
    return datetime.fromtimestamp(at_ms / 1000, UTC).strftime("%Y%m%d-%H%M%S")
