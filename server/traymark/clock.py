"""The server's clock; tests pass in their own. It never orders anything (F4.3)."""

import time
from collections.abc import Callable

Clock = Callable[[], int]


def system_clock_ms() -> int:
    """Milliseconds since 1970 by this machine's clock."""
    return time.time_ns() // 1_000_000
