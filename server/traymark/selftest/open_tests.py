"""The self-tests that are open now: who made them, whether the device has opened the page, and what it found.

For use on the event loop only. Of an address only its hash is kept, so that a memory dump opens no page.
"""

import secrets
from dataclasses import dataclass

from traymark.events.field_types import ALPHABET
from traymark.refused import Refused
from traymark.selftest.results import Results
from traymark.stations.tokens import hash_of

VALID_MS = 15 * 60_000
TOKEN_LETTERS = 26
# A bench tests one device at a time; if a station opens more, its oldest are dropped.
_MOST_OF_STATION = 8
_MOST_OF_ALL = 400


@dataclass
class SelfTest:
    """One test of one device. `results` are a proposal, not readings."""

    id: str
    station: str
    job: str
    stage: str
    token_hash: str
    expires_at_ms: int
    is_open: bool = False
    """Whether a device has asked for the page."""
    results: Results | None = None

    @property
    def state(self) -> str:
        """As the technician's screen names it."""
        return "done" if self.results is not None else "open" if self.is_open else "waiting"


class OpenTests:
    """All of them, oldest first. Every method first drops what has expired."""

    def __init__(self) -> None:
        self._by_id: dict[str, SelfTest] = {}
        self._id_by_hash: dict[str, str] = {}

    def make(self, station: str, job: str, stage: str, now_ms: int) -> tuple[SelfTest, str]:
        """A new test and its token, which exists nowhere else and cannot be shown again."""
        self.drop_expired(now_ms)
        own = [test for test in self._by_id.values() if test.station == station]
        for test in own[: max(0, len(own) + 1 - _MOST_OF_STATION)]:
            self._drop(test)
        if len(self._by_id) >= _MOST_OF_ALL:
            self._drop(next(iter(self._by_id.values())))
        token = "".join(secrets.choice(ALPHABET) for _ in range(TOKEN_LETTERS))
        test = SelfTest(secrets.token_hex(10), station, job, stage, hash_of(token), now_ms + VALID_MS)
        self._by_id[test.id] = test
        self._id_by_hash[test.token_hash] = test.id
        return test, token

    def of_token(self, token: str, now_ms: int) -> SelfTest | None:
        """The test of an address, even a used one; None if it is unknown or has expired."""
        self.drop_expired(now_ms)
        found = self._id_by_hash.get(hash_of(token.upper())) if len(token) == TOKEN_LETTERS else None
        return None if found is None else self._by_id[found]

    def take(self, token: str, results: Results, now_ms: int) -> Refused | None:
        """Keep what the device found, once. `selftest-over` for an address that is unknown, used or expired."""
        test = self.of_token(token, now_ms)
        if test is None or test.results is not None:
            return Refused("selftest-over")
        test.is_open = True
        test.results = results
        return None

    def of_station(self, station: str, id_: str, now_ms: int) -> SelfTest | Refused:
        """A test, for the station that made it; to any other station it looks like one that has expired."""
        self.drop_expired(now_ms)
        test = self._by_id.get(id_)
        return Refused("selftest-over") if test is None or test.station != station else test

    def forget(self, station: str, id_: str, now_ms: int) -> None:
        """Drop it with all it found. Harmless to repeat."""
        test = self.of_station(station, id_, now_ms)
        if isinstance(test, SelfTest):
            self._drop(test)

    def drop_expired(self, now_ms: int) -> None:
        """Drop expired tests, confirmed or not."""
        for test in [test for test in self._by_id.values() if now_ms >= test.expires_at_ms]:
            self._drop(test)

    def __len__(self) -> int:
        return len(self._by_id)

    def _drop(self, test: SelfTest) -> None:
        del self._by_id[test.id]
        del self._id_by_hash[test.token_hash]
