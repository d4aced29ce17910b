"""Join codes: made by a lead, shown as a link, good once and for a short time."""

from dataclasses import dataclass

from sqlmodel import insert

from traymark.log.rows import InviteRow
from traymark.log.store import Store
from traymark.stations.tokens import hash_of, new_join_code, read_join_code

ROLES = ("counter", "bench", "shipping", "lead")
VALID_MS = 10 * 60_000
# The demo's codes last as long as its visitor may want to look around.
DEMO_VALID_MS = 12 * 3_600_000


@dataclass(frozen=True)
class Invite:
    """A join code in plain text: it exists nowhere else and cannot be shown again."""

    code: str
    expires_at_ms: int

    def link(self, base_url: str) -> str:
        """The address that joins with this code, for a QR code."""
        return f"{base_url.rstrip('/')}/#/join/{self.code}"


def make_invite(store: Store, name: str, role: str, now_ms: int, valid_ms: int = VALID_MS) -> Invite:
    """A new code. Durable on return; only its hash is kept."""
    code = new_join_code()
    letters = read_join_code(code)
    if letters is None:
        raise AssertionError("a code we made ourselves")
    expires_at_ms = now_ms + valid_ms
    with store.database.write() as connection:
        row = {"code_hash": hash_of(letters), "name": name, "role": role, "expires_at_ms": expires_at_ms}
        connection.execute(insert(InviteRow).values(row))
    return Invite(code, expires_at_ms)
