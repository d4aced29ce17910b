"""Bounds by address on what needs no cookie: joining, the customer's page, and the self-test of a device."""

import math
from typing import Any

from litestar import Request

from traymark.api.rate_limit import RateLimit
from traymark.clock import Clock

_SECOND_MS = 1_000

# A shop that sets up all its stations at once scans some codes a minute. Guessing 50 bits at this pace is hopeless.
_JOIN = (10, 6 * _SECOND_MS)
# A customer reloads; several customers may come from one address.
_TICKET = (30, 2 * _SECOND_MS)
# One test asks a dozen times, ten of them for the echo; some devices may be tested side by side.
_SELFTEST = (60, _SECOND_MS)


class Limits:
    """The three bounds, in memory."""

    def __init__(self, clock: Clock) -> None:
        self.join = RateLimit(*_JOIN, clock)
        self.ticket = RateLimit(*_TICKET, clock)
        self.selftest = RateLimit(*_SELFTEST, clock)


def wait_s(limit: RateLimit, request: Request[Any, Any, Any]) -> int:
    """0 when this address may ask now, and it is counted; else for how many seconds it must not."""
    address = request.client.host if request.client is not None else ""
    return math.ceil(limit.wait_ms(address) / _SECOND_MS)
