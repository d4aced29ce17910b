"""Members of the staff and their badges. A badge is shown once; only what it is compared with is kept."""

import secrets
from collections.abc import Iterator
from hashlib import sha256
from typing import NamedTuple

import msgspec
from sqlmodel import col, select

from traymark.docs.keep import get_doc, put_doc
from traymark.letters import unused_letters
from traymark.log.rows import DocRow
from traymark.log.store import Store
from traymark.refused import Refused
from traymark_labels.codes import ALPHABET, BADGE_SECRET_LENGTH, make_badge

_PREFIX = "staff:W"
_SALT_BYTES = 16


class Badge(NamedTuple):
    """A staff id and its badge, in plain text for the only time."""

    staff: str
    badge: str
    rev: int


def add_staff(store: Store, name: str, role: str) -> Badge | Refused:
    """A new member of the staff. Ids of those who left are not reused: their work names them."""
    query = select(DocRow.id).where(col(DocRow.kind) == "staff")
    with store.database.read() as connection:
        taken = {id_.removeprefix(_PREFIX) for id_ in connection.execute(query).scalars()}
    return _write(store, "W" + unused_letters(taken), name, role, None)


def replace_badge(store: Store, staff: str) -> Badge | Refused:
    """A new badge for somebody who lost theirs: the old one no longer works once stations have pulled the change."""
    held = get_doc(store, f"staff:{staff}")
    if held is None or held.body is None:
        return Refused("not-found", "There is nobody with this staff id.")
    body = msgspec.json.decode(held.body)
    return _write(store, staff, body["name"], body["role"], held.rev)


def _write(store: Store, staff: str, name: str, role: str, base_rev: int | None) -> Badge | Refused:
    badge, salt = make_badge(staff, _random_secrets()), secrets.token_hex(_SALT_BYTES)
    body = {"name": name, "role": role, "badge_salt": salt, "badge_hash": badge_hash(salt, badge)}
    kept = put_doc(store, f"staff:{staff}", "staff", body, base_rev)
    return kept if isinstance(kept, Refused) else Badge(staff, badge, kept.rev)


def badge_hash(salt: str, badge: str) -> str:
    """What a station compares a scanned badge with, even without a network."""
    return sha256(f"{salt}:{badge}".encode()).hexdigest()


def _random_secrets() -> Iterator[str]:
    """75 random bits each (F1.5)."""
    while True:
        yield "".join(secrets.choice(ALPHABET) for _ in range(BADGE_SECRET_LENGTH))
