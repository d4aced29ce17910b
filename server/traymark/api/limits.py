"""Rate limits by address for what needs no cookie: joining, the customer's page, and a device's self-test."""

import math
from typing import Any

from litestar import Request

from traymark.api.rate_limit import RateLimit
from traymark.clock import Clock

_SECOND_MS = 1_000

# A shop that sets up all its stations at once scans a few codes a minute. Guessing 50 bits at this rate is hopeless.
_JOIN = (10, 6 * _SECOND_MS)
# A customer reloads; several customers may come from one address.
_TICKET = (30, 2 * _SECOND_MS)
# One test sends a dozen requests, ten of them for the echo; several devices may be tested side by side.
_SELFTEST = (60, _SECOND_MS)


class Limits:
    """The three bounds, in memory."""

    def __init__(self, clock: Clock) -> None:
        self.join = RateLimit(*_JOIN, clock)
        self.ticket = RateLimit(*_TICKET, clock)
        self.selftest = RateLimit(*_SELFTEST, clock)


def wait_s(limit: RateLimit, request: Request[Any, Any, Any]) -> int:
    """0 when this request may pass, and it is counted; else how many seconds to wait."""
    address = request.client.host if request.client is not None else ""
    return math.ceil(limit.wait_ms(address) / _SECOND_MS)
