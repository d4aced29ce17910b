"""The map of a procedure's tray over HTTP: drawn here at true size, printed by the station."""

from typing import Annotated, Any

import msgspec
from litestar import Request, Response, post
from litestar.concurrency import sync_to_thread
from msgspec import Meta

from traymark.api.body import read_json
from traymark.api.parts import Asking, TheQueue, TheSettings, TheStore
from traymark.api.problems import refuse
from traymark.docs.keep import get_doc
from traymark.log.store import Store
from traymark_labels import Group, Rejected, tray_map

Text = Annotated[str, Meta(max_length=200)]


class TrayMapRequest(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One revision of a procedure (F7.4)."""

    procedure: Annotated[str, Meta(pattern=r"^[a-z][a-z0-9_-]{0,39}\Z")]
    revision: Annotated[int, Meta(ge=1, le=9_999_999)]


class Fastener(msgspec.Struct, frozen=True):
    """What a map shows of a fastener group; a procedure says more."""

    pocket: int
    name: Text
    count: int
    drive: Text
    thread: Text
    head: Text
    length_um: int


class Written(msgspec.Struct, frozen=True):
    """The part of a procedure that a map needs."""

    title: Text
    model: Text
    fasteners: Annotated[list[Fastener], Meta(max_length=200)]


@post("/api/tray-map", status_code=200)
async def post_tray_map(
    request: Request[Any, Any, Any], station: Asking, settings: TheSettings, store: TheStore, write_queue: TheQueue
) -> Response[bytes]:
    """The map as a file at true size."""
    async with write_queue.place(station.id):
        asked = await read_json(request, TrayMapRequest, settings.max_json_bytes)
        drawn = await sync_to_thread(_draw, store, asked)
    if drawn is None:
        raise refuse("not-found", "There is no such revision of this procedure.")
    if isinstance(drawn, Rejected):
        raise refuse("label-field", drawn.detail, pointers=((drawn.slug, drawn.pointer),))
    headers = {"Content-Disposition": f'inline; filename="tray-map-{asked.procedure}-{asked.revision}.pdf"'}
    return Response(drawn, media_type="application/pdf", headers=headers)


def _draw(store: Store, asked: TrayMapRequest) -> bytes | Rejected | None:
    doc = get_doc(store, f"procedure:{asked.procedure}.{asked.revision}")
    if doc is None or doc.body is None:
        return None
    try:
        written = msgspec.json.decode(doc.body, type=Written)
    except msgspec.ValidationError as error:
        return Rejected("label-field", f"The procedure has not the form of one: {error}")
    groups = [Group(f.pocket, f.name, f.count, f.drive, f.thread, f.head, f.length_um) for f in written.fasteners]
    drawn = tray_map(f"{written.model} · {written.title} · revision {asked.revision}", groups)
    return drawn if isinstance(drawn, Rejected) else drawn.pdf


handlers = [post_tray_map]
