"""The repair record on paper: for the customer, or all that the shop knows."""

from typing import Annotated, Any, Literal, cast

import msgspec
from litestar import Response, get
from litestar.concurrency import sync_to_thread
from litestar.params import FromPath, QueryParameter

from traymark.api.parts import Asking, TheClock, TheFiles, TheQueue, TheStore
from traymark.api.problems import refuse
from traymark.blobs.files import BlobFiles
from traymark.blobs.keep import paper_of
from traymark.docs.keep import get_doc
from traymark.docs.shop import shop_settings
from traymark.docs.stations import station_id
from traymark.log.store import Store
from traymark.log.trace import events_of
from traymark.views.record import customer_sheet, shop_sheet
from traymark.views.record_history import history_lines
from traymark.views.record_pdf import PaperPhoto, record_pdf
from traymark.views.record_sheet import Known
from traymark.views.ticket_page import moment_text

# A job has some hundred entries. Of one with more the first stand on paper, and all of them on the screens.
_MOST_ENTRIES = 2_000


@get("/api/jobs/{code:str}/record.pdf")
async def read_record(
    code: FromPath[str],
    station: Asking,  # only a joined station may read
    store: TheStore,
    files: TheFiles,
    clock: TheClock,
    write_queue: TheQueue,  # a second of work: one station must not crowd out the others
    form: Annotated[Literal["customer", "shop"], QueryParameter()] = "customer",
) -> Response[bytes]:
    """A PDF of a booked job, as of now."""
    async with write_queue.place(station.id):
        pdf = await sync_to_thread(_draw, store, files, code, form, clock())
    if pdf is None:
        raise refuse("not-found", "There is no booked job with this code.")
    headers = {"Content-Disposition": f'inline; filename="record-{code}.pdf"'}
    return Response(pdf, media_type="application/pdf", headers=headers)


def _draw(store: Store, files: BlobFiles, code: str, form: str, now_ms: int) -> bytes | None:
    job = store.record("job", code)
    if job is None or not job["booked"]:
        return None
    settings = shop_settings(store)
    zone = str(settings.get("time_zone") or "")
    known = Known(
        code=code,
        job=job,
        settings=settings,
        procedure=_body(store, f"procedure:{job['procedure']}.{job['revision']}"),
        thing=lambda thing: store.record("thing", thing),
        staff_name=lambda staff: _staff_name(store, staff),
        station_name=lambda station: _station_name(store, station),
        straps=lambda staff: [
            check
            for check in (store.record("staff", staff) or {"checks": []})["checks"]
            if check["item"] == "wrist_strap"
        ],
        mats=lambda station: (store.record("station", station) or {"mats": []})["mats"],
    )
    if form == "shop":
        events = events_of(store, code, _MOST_ENTRIES)
        sheet = shop_sheet(known, events, history_lines(events, known.staff_name, zone))
    else:
        sheet = customer_sheet(known)

    def photo_of(sha256: str) -> PaperPhoto | None:
        found = paper_of(files, sha256)
        return None if found is None else PaperPhoto(*found)

    return record_pdf(sheet, photo_of, moment_text(now_ms, zone))


def _staff_name(store: Store, staff: str | None) -> str:
    if staff is None:
        return "the station"
    body = _body(store, f"staff:{staff}")
    return staff if body is None else str(body.get("name") or staff)


def _station_name(store: Store, station: str) -> str:
    name = str((_body(store, station_id(station)) or {}).get("name") or station)
    return f"station {station}" if name == station else f"{name} ({station})"


def _body(store: Store, id_: str) -> dict[str, Any] | None:
    doc = get_doc(store, id_)
    return None if doc is None or doc.body is None else cast(dict[str, Any], msgspec.json.decode(doc.body))


handlers = [read_record]
