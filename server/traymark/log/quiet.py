"""Live records about which nothing came for a while."""

from collections.abc import Iterator
from typing import Any

from sqlalchemy import Connection

from traymark.log.records import read_record
from traymark.log.trace import last_received_at_ms


class Quiet:
    """A look through the live records, within a transaction. It costs in proportion to what is live."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    def record(self, collection: str, key: str) -> Any:
        """A live record to read only, or None."""
        return read_record(self._connection, collection, key)

    def codes(self, collection: str, since_ms: int, kind: str = "") -> Iterator[str]:
        """Codes of live records, of one kind if its letter is given, about which nothing came since then."""
        query = "SELECT key FROM record WHERE collection = ? AND key >= ? AND key < ?"
        for (code,) in self._connection.exec_driver_sql(query, (collection, kind, kind + "~")).fetchall():
            if self.is_quiet(code, since_ms):
                yield code

    def is_quiet(self, code: str, since_ms: int) -> bool:
        """Whether nothing about a code came since then."""
        return last_received_at_ms(self._connection, code) < since_ms

    def places(self, kind: str) -> set[str]:
        """Where the live things of a kind are."""
        query = (
            "SELECT json_extract(h.value, '$.to') FROM record r, json_each(r.json_text, '$.heads') h "
            "WHERE r.collection = 'thing' AND r.key >= ? AND r.key < ?"
        )
        return {row[0] for row in self._connection.exec_driver_sql(query, (kind, kind + "~"))}
