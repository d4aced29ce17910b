"""How many writing requests may wait at once, so that one station cannot crowd out the others."""

from collections import Counter
from collections.abc import AsyncGenerator
from contextlib import asynccontextmanager

from traymark.api.problems import refuse

_RETRY_AFTER_S = 2


class WriteQueue:
    """For use on the event loop only."""

    def __init__(self, of_station: int, of_all: int) -> None:
        self._of_station, self._of_all = of_station, of_all
        self._waiting: Counter[str] = Counter()

    @asynccontextmanager
    async def place(self, station: str) -> AsyncGenerator[None]:
        """Counts one request while the block runs. Raises rate-limited or busy when there is no room."""
        if self._waiting[station] >= self._of_station:
            raise refuse("rate-limited", retry_after_s=_RETRY_AFTER_S)
        if self._waiting.total() >= self._of_all:
            raise refuse("busy", retry_after_s=_RETRY_AFTER_S)
        self._waiting[station] += 1
        try:
            yield
        finally:
            self._waiting[station] -= 1
            if not self._waiting[station]:
                del self._waiting[station]
