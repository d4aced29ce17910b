"""Bounds by address on what needs no cookie: joining, the customer's page, and the self-test of a device."""

import math
from typing import Any

from litestar import Request

from traymark.clock import Clock
from traymark.stations.rate_limit import RateLimit

_SECOND_MS = 1_000

# A shop that sets up all its stations at once scans some codes a minute. Guessing 50 bits at this pace is hopeless.
_JOIN = (10, 6 * _SECOND_MS)
# A customer reloads; several customers may come from one address.
_TICKET = (30, 2 * _SECOND_MS)
# One test asks a dozen times, ten of them for the echo; some devices may be tested side by side.
_SELFTEST = (60, _SECOND_MS)


def join_wait_s(request: Request[Any, Any, Any], clock: Clock) -> int:
    """0, or for how many seconds this address must not try a join code."""
    return _wait_s(request, clock, "join_limit", _JOIN)


def ticket_wait_s(request: Request[Any, Any, Any], clock: Clock) -> int:
    """0, or for how many seconds this address must not ask for a ticket."""
    return _wait_s(request, clock, "ticket_limit", _TICKET)


def selftest_wait_s(request: Request[Any, Any, Any], clock: Clock) -> int:
    """0, or for how many seconds this address must not ask for a self-test."""
    return _wait_s(request, clock, "selftest_limit", _SELFTEST)


def _wait_s(request: Request[Any, Any, Any], clock: Clock, name: str, size: tuple[int, int]) -> int:
    state = request.app.state
    if name not in state:
        state[name] = RateLimit(*size, clock)
    limit: RateLimit = state[name]
    address = request.client.host if request.client is not None else ""
    return math.ceil(limit.wait_ms(address) / _SECOND_MS)
