"""The server's clock; tests give another one. It never orders anything (F4.3)."""

import time
from collections.abc import Callable

Clock = Callable[[], int]


def system_clock_ms() -> int:
    """Milliseconds since 1970, by this machine."""
    return time.time_ns() // 1_000_000
