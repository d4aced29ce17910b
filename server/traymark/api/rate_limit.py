"""How often one address may send a request. In memory: a restart forgets it, which harms nobody."""

from collections import OrderedDict
from collections.abc import Callable

# Addresses remembered at once. A flood from more than this pushes out the oldest, and is for the network to stop.
_MOST_ADDRESSES = 4096


class RateLimit:
    """A burst of `burst` requests, then one every `refill_ms`."""

    def __init__(self, burst: int, refill_ms: int, now_ms: Callable[[], int]) -> None:
        self._burst, self._refill_ms, self._now_ms = burst, refill_ms, now_ms
        self._held: OrderedDict[str, int] = OrderedDict()

    def wait_ms(self, address: str) -> int:
        """0 when this request may pass, and it is counted; else how long to wait, and it is not."""
        now = self._now_ms()
        spent_until = self._held.pop(address, now)
        # One number is the whole state: the time at which the full burst is free again.
        spent_until = max(spent_until, now) + self._refill_ms
        over = spent_until - now - self._burst * self._refill_ms
        if over > 0:
            spent_until -= self._refill_ms
        self._held[address] = spent_until
        while len(self._held) > _MOST_ADDRESSES:
            self._held.popitem(last=False)
        return max(over, 0)
