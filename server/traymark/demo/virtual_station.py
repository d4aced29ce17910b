"""A station without a browser: it joins with a code, keeps its own chain, and pushes batches like any other."""

from typing import Any

import msgspec

from traymark.docs.keep import keep_doc
from traymark.events.chain import genesis, link
from traymark.events.texts import TEXT, Text, taken_out
from traymark.events.write import write_event
from traymark.letters import new_salts
from traymark.log.push import Batch, push
from traymark.log.store import Store
from traymark.refused import Refused
from traymark.stations.invites import make_invite
from traymark.stations.join import join
from traymark_labels.codes import mint

# F8.1
_MOST_EVENTS = 500
_MOST_BYTES = 200_000


class VirtualStation:
    """Writes events in order; `push_all` sends those not sent yet."""

    def __init__(self, store: Store, name: str, role: str, now_ms: int) -> None:
        joined = join(store, make_invite(store, name, role, now_ms).code, name, None, now_ms)
        if isinstance(joined, Refused):
            raise ValueError(joined.slug)
        self._store = store
        self.id, self.incarnation = joined.station, joined.incarnation
        self._next_counter = 1
        self._seq, self._head = 0, genesis(self.id, self.incarnation)
        self._unsent: list[bytes] = []
        self._texts: list[Text] = []
        self._sent_seq, self._sent_head = self._seq, self._head

    def mint(self, kind: str) -> str:
        """Mint the next code of this station."""
        minted = mint(kind, self.incarnation, self._next_counter)
        self._next_counter = minted.next_counter
        return minted.code

    def write(self, kind: str, staff: str | None, at_ms: int, job: str | None, body: dict[str, Any]) -> str:
        """Write the next event of the chain; its texts go into cards. Returns its id."""
        self._seq += 1
        named, texts = taken_out(kind, job, body, new_salts())
        self._texts += texts
        raw = write_event(kind, self.id, self.incarnation, self._seq, staff, at_ms, job, named)
        self._head = link(self._head, raw)
        self._unsent.append(raw)
        return f"{self.incarnation}.{self._seq}"

    def push_all(self, now_ms: int) -> None:
        """Send everything unsent. Raises ValueError when anything is refused or malformed: a bug in the story."""
        with self._store.database.write() as connection:
            for text in self._texts:
                keep_doc(connection, text.id, TEXT, msgspec.json.encode(text._asdict(), order="sorted").decode())
        self._texts.clear()
        while self._unsent:
            lines: list[bytes] = []
            size = 0
            while self._unsent and len(lines) < _MOST_EVENTS and size < _MOST_BYTES:
                size += len(self._unsent[0])
                lines.append(self._unsent.pop(0))
            head = self._sent_head
            for raw in lines:
                head = link(head, raw)
            batch = Batch(self.incarnation, self._sent_seq + 1, self._sent_head, head, lines)
            answer = push(self._store, self.id, batch, now_ms)
            if isinstance(answer, Refused):
                raise ValueError(f"{answer.slug} {answer.pointers}")
            if answer.malformed:
                first = answer.malformed[0]
                raise ValueError(f"{first.slug} {first.pointer} in {lines[first.seq - self._sent_seq - 1]!r}")
            self._sent_seq, self._sent_head = answer.seq, head
