"""Telling open streams that there is something to pull (F8.3). Runs on the event loop; nothing is kept or replayed."""

import asyncio
from collections.abc import AsyncIterator
from typing import NamedTuple

_MOST_OF_STATION = 4


class NewsItem(NamedTuple):
    """The last position of the log and the last revision of the documents."""

    position: int
    rev: int


class News:
    """The streams that listen, oldest first."""

    def __init__(self, most: int, heartbeat_s: float) -> None:
        self._most, self._heartbeat_s = most, heartbeat_s
        self._listeners: dict[object, _Listener] = {}
        self._is_over = False

    def is_full(self) -> bool:
        """Whether no more streams are accepted."""
        return self._is_over or len(self._listeners) >= self._most

    def tell(self, *, position: int | None = None, rev: int | None = None) -> None:
        """Announce a new log position or document revision."""
        for listener in self._listeners.values():
            listener.hear(position, rev)

    def close(self) -> None:
        """End all streams because the server is stopping. Safe to call more than once, and from a signal handler."""
        self._is_over = True
        for listener in list(self._listeners.values()):
            listener.end()

    async def listen(self, station: str, now: NewsItem) -> AsyncIterator[NewsItem | None]:
        """News from now on, starting with what holds now; None is a keep-alive.

        One stream too many ends the station's oldest, most likely a dead one not yet noticed.
        """
        own = [listener for listener in self._listeners.values() if listener.station == station]
        for listener in own[: max(0, len(own) + 1 - _MOST_OF_STATION)]:
            listener.end()
        listener = _Listener(station, now)
        self._listeners[listener] = listener
        if self._is_over:
            listener.end()
        try:
            while not listener.is_over:
                if await listener.wait(self._heartbeat_s):
                    yield listener.take()
                elif not listener.is_over:
                    yield None
        finally:
            del self._listeners[listener]


class _Listener:
    """What one stream has not sent yet. News that comes before the last was sent is merged with it."""

    def __init__(self, station: str, now: NewsItem) -> None:
        self.station = station
        self.is_over = False
        self._now = now
        self._wake = asyncio.Event()
        self._wake.set()
        self._is_new = True

    def hear(self, position: int | None, rev: int | None) -> None:
        self._now = NewsItem(max(self._now.position, position or 0), max(self._now.rev, rev or 0))
        self._is_new = True
        self._wake.set()

    def end(self) -> None:
        self.is_over = True
        self._wake.set()

    async def wait(self, at_most_s: float) -> bool:
        """Whether there is something to send; False after a timeout or at the end."""
        try:
            await asyncio.wait_for(self._wake.wait(), at_most_s)
        except TimeoutError:
            return False
        self._wake.clear()
        return self._is_new and not self.is_over

    def take(self) -> NewsItem:
        self._is_new = False
        return self._now
