"""Erasing what belonged to somebody: in the database, its journal, and the folder of photos (F7.10).

Backups from before still hold it until they have been dropped; restoring one erases it again. Stations hear of it with
the documents.
"""

from collections.abc import Iterable
from typing import NamedTuple

from sqlalchemy import Connection

from traymark.blobs.files import BlobFiles
from traymark.blobs.keep import forget_blob
from traymark.blobs.parts import BlobParts
from traymark.docs.keep import erase_doc
from traymark.log.erasing import ERASED, begin_erasing, due_photos, end_erasing, is_erased_job
from traymark.log.store import Store
from traymark.personal.belongings import Belongings, JobHeld, belongings_of, jobs_of
from traymark.refused import Refused
from traymark.stations.own_station import OwnEvent, write_own

OVER = "handed_over"
PHOTO = "photo"
"""The kind of what is left of an erased photo."""


class Erased(NamedTuple):
    """What was erased. `is_done`: nothing of it is on the disk any more; if not, it is tried again by the hour."""

    jobs: list[str]
    texts: int
    photos: int
    is_done: bool


def erase_customer(store: Store, contact: str, now_ms: int) -> Erased | Refused:
    """Erase everything of a customer. `not-found` without a job of theirs; `customer-job-open` with an open one."""
    with store.changing() as (connection, changes):
        jobs = jobs_of(connection, contact)
        if not jobs:
            return Refused("not-found", "No job names this customer.")
        still_open = [job.code for job in jobs if job.record["stage"] != OVER]
        if still_open:
            return Refused("customer-job-open", extra={"jobs": still_open})
        events = [OwnEvent(ERASED, job.code, {"why": "asked"}) for job in jobs]
        write_own(connection, changes, events, now_ms)
        found = _erase(connection, jobs)
    return Erased([job.code for job in jobs], len(found.texts), len(found.photos), finish_erasing(store))


def erase_jobs(connection: Connection, jobs: list[JobHeld]) -> list[OwnEvent]:
    """Erase what belonged to jobs whose time is over, within the transaction; what is to be said of it in the log.

    `finish_erasing` must follow.
    """
    _erase(connection, jobs)
    return [OwnEvent(ERASED, job.code, {"why": "time"}) for job in jobs]


def erase_again(store: Store, erased: Iterable[tuple[str, str]], now_ms: int) -> None:
    """Erase by id and kind what another copy of the shop had erased; the log says so of each job that is over."""
    rows = list(erased)
    with store.changing() as (connection, changes):
        contacts = [id_ for id_, kind in rows if kind == "contact"]
        jobs = [job for contact in contacts for job in jobs_of(connection, contact)]
        due = [job.code for job in jobs if job.record["stage"] == OVER and not is_erased_job(connection, job.code)]
        if due:
            write_own(connection, changes, [OwnEvent(ERASED, code, {"why": "asked"}) for code in due], now_ms)
        _erase_ids(connection, [row for row in rows if row[1] != PHOTO], [id_ for id_, kind in rows if kind == PHOTO])
    finish_erasing(store)


def finish_erasing(store: Store) -> bool:
    """Take erased photos off the disk, and what was overwritten out of the journal. True once nothing is left to do.

    After a crash, or while somebody reads the database, it is called again.
    """
    photos = due_photos(store)
    if photos is None:
        return True
    files, parts = BlobFiles(store.data_dir), BlobParts(store.data_dir)
    for photo in photos:
        files.remove(photo)
        parts.drop_photo(photo)
    return end_erasing(store)


def _erase(connection: Connection, jobs: list[JobHeld]) -> Belongings:
    found = belongings_of(connection, jobs)
    docs = [(id_, "contact") for id_ in found.contacts] + [(id_, "device") for id_ in found.devices]
    _erase_ids(connection, docs + [(id_, "text") for id_ in found.texts], found.photos)
    return found


def _erase_ids(connection: Connection, docs: list[tuple[str, str]], photos: list[str]) -> None:
    for id_, kind in [*docs, *((photo, PHOTO) for photo in photos)]:
        erase_doc(connection, id_, kind)
    for photo in photos:
        forget_blob(connection, photo)
    begin_erasing(connection, photos)
