"""Collecting what nothing names: photos of a booking that was thrown away, cards whose entry never came."""

import msgspec

from traymark.blobs.keep import forget_blob
from traymark.docs.keep import drop_doc, last_rev
from traymark.log.erasing import begin_erasing
from traymark.log.facts import keep_fact
from traymark.log.store import Store
from traymark.personal.erase import finish_erasing
from traymark.rules.putting_away import DAY_MS

# The event that names it may lie on a station without a network for as long. Common practice, no source.
KEPT_MS = 90 * DAY_MS
_SEEN = "cards_seen"
"""The fact (Meta) that holds when cards were looked at last, and the newest revision at that time."""

_PHOTOS = (
    "SELECT sha256 FROM blob b WHERE received_at_ms < ? "
    "AND NOT EXISTS (SELECT 1 FROM event_code c WHERE c.code = b.sha256) "
    "AND NOT EXISTS (SELECT 1 FROM doc d WHERE d.kind = 'procedure' AND instr(d.body, b.sha256) > 0)"
)
_CARDS = (
    "SELECT id FROM doc d WHERE rev <= ? AND body IS NOT NULL AND ("
    "kind = 'text' AND NOT EXISTS (SELECT 1 FROM event_code c WHERE c.code = d.id) "
    "OR kind = 'device' AND NOT EXISTS (SELECT 1 FROM record r WHERE r.card = d.id) "
    "AND NOT EXISTS (SELECT 1 FROM archive a WHERE a.card = d.id) "
    "OR kind = 'contact' AND NOT EXISTS (SELECT 1 FROM record r WHERE r.contact = d.id) "
    "AND NOT EXISTS (SELECT 1 FROM archive a WHERE a.contact = d.id))"
)


class Seen(msgspec.Struct, frozen=True):
    """Cards up to this revision were there at this time."""

    at_ms: int
    rev: int


def collect(store: Store, now_ms: int) -> int:
    """Drop photos and cards that were here for long and that nothing names. Returns how many.

    A card has no date: what was there at the last look, long ago, is old. All are looked through once in that time.
    """
    held = store.fact(_SEEN)
    seen = None if held is None else msgspec.json.decode(held, type=Seen)
    is_due = seen is None or now_ms - seen.at_ms >= KEPT_MS
    newest = last_rev(store)
    with store.database.write() as connection:
        photos = [row[0] for row in connection.exec_driver_sql(_PHOTOS, (now_ms - KEPT_MS,))]
        cards: list[str] = []
        if is_due and seen is not None:
            cards = [row[0] for row in connection.exec_driver_sql(_CARDS, (seen.rev,))]
        for photo in photos:
            forget_blob(connection, photo)
        for card in cards:
            drop_doc(connection, card)
        if photos or cards:
            begin_erasing(connection, photos)
        if is_due:
            keep_fact(connection, _SEEN, msgspec.json.encode(Seen(now_ms, newest)).decode())
    if photos or cards:
        finish_erasing(store)
    return len(photos) + len(cards)
