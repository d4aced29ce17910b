"""A bound on how often one address may ask. In memory: a restart forgets, which harms nobody."""

from collections import OrderedDict
from collections.abc import Callable

# Addresses remembered at once. A flood from more addresses than this loses the oldest, and is the network's to stop.
_MOST_ADDRESSES = 4096


class RateLimit:
    """`burst` requests at once, then one every `refill_ms`."""

    def __init__(self, burst: int, refill_ms: int, now_ms: Callable[[], int]) -> None:
        self._burst, self._refill_ms, self._now_ms = burst, refill_ms, now_ms
        self._held: OrderedDict[str, int] = OrderedDict()

    def wait_ms(self, address: str) -> int:
        """0 when this request may pass, and it is counted; else how long to wait, and it is not."""
        now = self._now_ms()
        spent_until = self._held.pop(address, now)
        # One number tells the whole state: the time at which all of the burst is free again.
        spent_until = max(spent_until, now) + self._refill_ms
        over = spent_until - now - self._burst * self._refill_ms
        if over > 0:
            spent_until -= self._refill_ms
        self._held[address] = spent_until
        while len(self._held) > _MOST_ADDRESSES:
            self._held.popitem(last=False)
        return max(over, 0)
