"""Stores a small shop in the present form of the database, for tests/server/test_migrations.py of all later forms.

python -m tests.server.data.make_form   (with server/ and labels/ on the path)

Writes `form_N.sql`, the database, and `form_N.json`, what the shop says. Run it when a form is new or not yet released.
A form that a shop has is never stored again: its files are what that version wrote.
"""

import json
import sqlite3
import sys
from collections.abc import Iterator
from contextlib import closing
from hashlib import sha256
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from tests.server.conftest import NOW_MS, enrol
from tests.server.shop_events import NewEvent, Writer
from traymark.api.sync import read_batch
from traymark.backup.make import make_backup
from traymark.blobs.files import BlobFiles
from traymark.blobs.keep import all_blobs, find_blob, keep_blob
from traymark.docs.keep import put_doc
from traymark.docs.stations import tell_stations
from traymark.events.texts import TEXT
from traymark.housekeeping.put_away import put_away
from traymark.log.database import DATABASE
from traymark.log.form import FORM
from traymark.log.push import push
from traymark.log.rebuild import bring_up_to_date
from traymark.log.store import Store
from traymark.refused import Refused
from traymark.rules.putting_away import DAY_MS
from traymark.stations.invites import make_invite
from traymark.stations.registry import all_stations, revoke
from traymark_labels import mint

DATA = Path(__file__).resolve().parent
PHOTO = (DATA / "photo.jpg").read_bytes()
PHOTO_NAME = sha256(PHOTO).hexdigest()

_OVER, _LIVE = mint("J", "7K2", 10).code, mint("J", "7K2", 20).code
_OVER_DEVICE, _LIVE_DEVICE = mint("D", "7K2", 30).code, mint("D", "7K2", 40).code
_ERASED, _CONTACT, _DEVICE = "e" * 20, "c" * 20, "d" * 20


def fill(store: Store) -> None:
    """A job that is over and put away, one that is live, and whatever else a shop's database may hold."""
    bring_up_to_date(store)
    enrol(store, "S7K2", "7K2")
    enrol(store, "S9ZZ", "9ZZ", role="counter")
    tell_stations(store)
    put_doc(store, "shop", "settings", {"shop_name": "Lantern Repairs", "currency": "EUR"})
    put_doc(store, _ERASED, "contact", {"name": "Ilse Marrow"})
    put_doc(store, _CONTACT, "contact", {"name": "Odo Fennimore", "phone": "0555 0142"})
    put_doc(store, _DEVICE, "device", {"imei": "350000000000006", "serial": "QL-5-0042", "model": "Quillet 5"})
    keep_blob(store, BlobFiles(store.data_dir), "S7K2", PHOTO_NAME, PHOTO, 1_000_000, NOW_MS)
    writer = Writer("S7K2", "7K2")
    for kind, job, body in _events():
        writer.write(kind, job, body)
    writer.write("note.added", _LIVE, {"note": ""})  # malformed: a text is not empty
    writer.write("lamp.lit", None, {"colour": "amber"})  # from a newer version
    for text in writer.texts:
        put_doc(store, text.id, TEXT, text._asdict())
    _taken(store, writer)
    assert put_away(store, NOW_MS + 31 * DAY_MS) == 1
    put_doc(store, _ERASED, "contact", None)
    other = Writer("S7K2", "7K2")
    other.lines, other.hashes = writer.lines[:-1], writer.hashes[:-1]
    other.write("note.added", _LIVE, {"note": "Written by a copy of the station"})
    fork = push(store, "S7K2", read_batch(other.body(len(other.lines)), "", 262_144), NOW_MS)
    assert isinstance(fork, Refused) and fork.slug == "chain-fork"
    revoke(store, "S9ZZ", NOW_MS)
    make_invite(store, "Packing table", "shipping", NOW_MS)
    make_backup(store, store.data_dir / "first.backup", NOW_MS)


def _events() -> list[NewEvent]:
    def booked(device: str, contact: str, ticket: str) -> dict[str, Any]:
        return {
            "device": device, "card": _DEVICE, "contact": contact, "model": "Quillet 5", "complaint": "No picture",
            "lock": "unlocked", "consents": ["data"], "promised_at_ms": NOW_MS, "ticket": ticket,
        }  # fmt: skip

    photo = {"photo": PHOTO_NAME, "use": "intake", "bytes": len(PHOTO), "width": 64, "height": 48}
    return [
        ("station.began", None, {"reason": "joined"}),
        ("job.booked", _OVER, booked(_OVER_DEVICE, _ERASED, "A" * 26)),
        ("thing.moved", None, {"thing": _OVER_DEVICE, "to": "counter", "after": []}),
        ("job.started", _OVER, {"procedure": "quillet5-display", "revision": 1}),
        ("leftover.checked", _OVER, {"photos": [], "traces": "none"}),
        ("job.handed_over", _OVER, {"device": _OVER_DEVICE, "checked": "scanned"}),
        ("thing.moved", None, {"thing": _OVER_DEVICE, "to": "customer", "after": ["7K2.3"]}),
        ("job.booked", _LIVE, booked(_LIVE_DEVICE, _CONTACT, "B" * 26)),
        ("thing.moved", None, {"thing": _LIVE_DEVICE, "to": "shelf", "after": []}),
        ("photo.taken", _LIVE, photo),
        ("note.added", _LIVE, {"note": "Müller called, 修 it is"}),
    ]


def _taken(store: Store, writer: Writer) -> None:
    answer = push(store, writer.station, read_batch(writer.body(), "", 262_144), NOW_MS)
    assert not isinstance(answer, Refused), answer


def said(store: Store) -> dict[str, Any]:
    """What a shop says of its log, documents, photos and stations, whatever form its tables have."""
    with store.database.read() as connection:

        def rows(query: str) -> list[list[Any]]:
            return [list(row) for row in connection.exec_driver_sql(query)]

        log = "SELECT position, incarnation, seq, hex(hash), CAST(raw AS TEXT), received_at_ms, slug FROM event"
        forks = "SELECT incarnation, seq, hex(prev), hex(hash), CAST(raw AS TEXT), received_at_ms FROM fork"
        held = {
            "log": rows(f"{log} ORDER BY position"),
            "forks": rows(f"{forks} ORDER BY incarnation, seq"),
            "docs": rows("SELECT id, kind, rev, body FROM doc ORDER BY rev"),
            "live jobs": rows("SELECT key FROM record WHERE collection = 'job' ORDER BY key"),
            "jobs put away": rows("SELECT key FROM archive WHERE collection = 'job' ORDER BY key"),
        }
    files = BlobFiles(store.data_dir)
    photos = {name: [find_blob(store, name), sha256(files.read(name) or b"").hexdigest()] for name in all_blobs(store)}
    return {
        "epoch": store.epoch,
        "chains": store.chain_ends(),
        **held,
        "photos": photos,
        "stations": all_stations(store),
    }


def _dumped(database: sqlite3.Connection) -> Iterator[str]:
    """The database in SQL. Of the full-text index only how it is made, since it keeps nothing of its own."""
    [made] = database.execute("SELECT sql FROM sqlite_master WHERE name = 'archive_words'").fetchone()
    yield from (s for s in database.iterdump() if "archive_words" not in s and "writable_schema" not in s)
    yield f"{made};"
    yield "INSERT INTO archive_words (archive_words) VALUES ('rebuild');"


def main() -> int:
    """Write both files. Returns the exit status."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / DATABASE
        with closing(Store(path)) as store:
            fill(store)
            text = json.dumps(said(store), ensure_ascii=False, indent=1)
        with closing(sqlite3.connect(path)) as database:
            dump = "\n".join(_dumped(database))
    for name, content in ((f"form_{FORM}.sql", dump), (f"form_{FORM}.json", text)):
        (DATA / name).write_text(content + "\n", encoding="utf-8", newline="\n")
        print(f"wrote {name}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
