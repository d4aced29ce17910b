"""Everything the shop holds of a customer, as a ZIP file with a page that a person can read."""

from collections.abc import Iterator
from html import escape
from tempfile import TemporaryFile
from typing import IO, Any
from zipfile import ZIP_DEFLATED, ZIP_STORED, ZipFile

import msgspec

from traymark.blobs.files import BlobFiles
from traymark.blobs.keep import find_blob
from traymark.docs.keep import get_docs
from traymark.log.store import Store
from traymark.log.trace import events_of
from traymark.paper.record import draw_record, known_of
from traymark.personal.belongings import Belongings, JobHeld, belongings_of, jobs_of
from traymark.refused import Refused
from traymark.views.record_history import entries
from traymark.views.record_words import grouped, moment, text_setting

_PIECE_BYTES = 1 << 18
_MOST_ENTRIES = 10_000
_NAMES = {
    "name": "Name",
    "phone": "Telephone",
    "mail": "Mail",
    "imei": "IMEI",
    "serial": "Serial number",
    "model": "Model",
}


def export(store: Store, contact: str, now_ms: int) -> Iterator[bytes] | Refused:
    """The bytes of the file, piece by piece. `not-found` when no job names the customer."""
    with store.database.read() as connection:
        jobs = jobs_of(connection, contact)
        found = belongings_of(connection, jobs)
    if not jobs:
        return Refused("not-found", "No job names this customer.")
    return _pieces(store, contact, jobs, found, now_ms)


def _pieces(store: Store, contact: str, jobs: list[JobHeld], found: Belongings, now_ms: int) -> Iterator[bytes]:
    with TemporaryFile() as file:
        with ZipFile(file, "w", ZIP_DEFLATED) as archive:
            _Writer(store, archive, now_ms).write(contact, jobs, found)
        file.seek(0)
        yield from _read(file)


def _read(file: IO[bytes]) -> Iterator[bytes]:
    while piece := file.read(_PIECE_BYTES):
        yield piece


class _Writer:
    """Writes the members of one file."""

    def __init__(self, store: Store, archive: ZipFile, now_ms: int) -> None:
        self._store, self._archive, self._now_ms = store, archive, now_ms
        self._files = BlobFiles(store.data_dir)

    def write(self, contact: str, jobs: list[JobHeld], found: Belongings) -> None:
        """The page comes first; what it names follows."""
        cards = [contact, *dict.fromkeys(job.record["card"] for job in jobs if job.record["card"])]
        docs = {doc.id: doc for doc in get_docs(self._store, cards)}
        photos = [photo for photo in found.photos if find_blob(self._store, photo) is not None]
        held = [msgspec.json.decode(docs[card].body or "{}") for card in cards if card in docs]
        self._archive.writestr("index.html", self._page(held, jobs, photos))
        self._archive.writestr("cards.json", msgspec.json.format(msgspec.json.encode(held), indent=1))
        for job in jobs:
            pdf = draw_record(self._store, self._files, job.code, "shop", self._now_ms)
            if pdf is not None:
                self._archive.writestr(f"records/{job.code}.pdf", pdf)
            self._archive.writestr(f"entries/{job.code}.txt", "\n".join(self._entries(job)) + "\n")
        for photo in photos:
            data = self._files.read(photo)
            if data is not None:
                self._archive.writestr(self._photo(photo), data, ZIP_STORED)

    def _page(self, held: list[dict[str, Any]], jobs: list[JobHeld], photos: list[str]) -> str:
        known = known_of(self._store, jobs[0].code, jobs[0].record)  # pyright: ignore[reportArgumentType]  # a job's record
        shop = escape(text_setting(known, "shop_name"))
        facts = "".join(
            f"<dt>{_NAMES.get(name, name)}</dt><dd>{escape(str(value))}</dd>"
            for card in held
            for name, value in card.items()
        )
        rows = "".join(
            f"<li><a href='records/{job.code}.pdf'>Job {grouped(job.code)}</a>, "
            f"{escape(str(job.record['model'] or ''))} "
            f"(<a href='entries/{job.code}.txt'>every entry</a>)</li>"
            for job in jobs
        )
        pictures = "".join(f"<li><a href='{self._photo(photo)}'>{photo[:12]}</a></li>" for photo in photos)
        return (
            "<!doctype html><html lang='en'><meta charset='utf-8'><title>What we hold of you</title>"
            "<style>body{font:1rem/1.5 sans-serif;max-width:40rem;margin:2rem auto;padding:0 1rem}"
            "dt{font-weight:bold}</style>"
            f"<h1>What {shop} holds of you</h1><p>As of {escape(moment(known, self._now_ms))}.</p>"
            f"<h2>You and your devices</h2><dl>{facts}</dl><h2>Your jobs</h2><ul>{rows}</ul>"
            f"<h2>Photos</h2><ul>{pictures}</ul></html>"
        )

    def _entries(self, job: JobHeld) -> Iterator[str]:
        """Every entry about the job: when, who, and what, with what was written."""
        known = known_of(self._store, job.code, job.record)  # pyright: ignore[reportArgumentType]  # a job's record
        for when, what in entries(known, events_of(self._store, job.code, _MOST_ENTRIES)):
            yield f"{when}: {what}"

    def _photo(self, sha256: str) -> str:
        picture = find_blob(self._store, sha256)
        ending = "jpg" if picture is None else picture.media_type.removeprefix("image/").replace("jpeg", "jpg")
        return f"photos/{sha256}.{ending}"
