"""A job's repair record as a PDF, from what the store holds as of now."""

from typing import Any, Literal

import msgspec

from traymark.blobs.files import BlobFiles
from traymark.blobs.keep import paper_of
from traymark.docs.keep import get_doc
from traymark.fold.records_gen import Job
from traymark.log.store import Store
from traymark.log.trace import events_of
from traymark.views.record import customer_sheet, shop_sheet
from traymark.views.record_pdf import PaperPhoto, record_pdf
from traymark.views.record_sheet import Known
from traymark.views.record_words import moment

# A job has about a hundred entries. If it has more, paper shows only the first; screens show all.
_MOST_ENTRIES = 2_000


def draw_record(
    store: Store, files: BlobFiles, code: str, form: Literal["customer", "shop"], now_ms: int
) -> bytes | None:
    """The PDF; None when there is no booked job with this code."""
    job = store.record("job", code)
    if job is None or not job["booked"]:
        return None
    known = known_of(store, code, job)
    sheet = shop_sheet(known, events_of(store, code, _MOST_ENTRIES)) if form == "shop" else customer_sheet(known)

    def photo_of(sha256: str) -> PaperPhoto | None:
        found = paper_of(files, sha256)
        return None if found is None else PaperPhoto(*found)

    return record_pdf(sheet, photo_of, moment(known, now_ms))


def known_of(store: Store, code: str, job: Job) -> Known:
    """The job with what the store holds; each document is read once."""
    docs: dict[str, dict[str, Any] | None] = {}

    def doc(id_: str) -> dict[str, Any] | None:
        if id_ not in docs:
            held = get_doc(store, id_)
            docs[id_] = None if held is None or held.body is None else msgspec.json.decode(held.body)
        return docs[id_]

    return Known(
        code=code,
        job=job,
        doc=doc,
        job_of=lambda other: store.record("job", other),
        thing=lambda thing: store.record("thing", thing),
    )
