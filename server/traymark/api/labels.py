"""Labels over HTTP: drawn here, printed by the station."""

from typing import Annotated, Any, Literal

import msgspec
from litestar import Request, Response, post
from litestar.concurrency import sync_to_thread
from msgspec import Meta

from traymark.api.body import read_json
from traymark.api.parts import Asking, TheQueue, TheSettings
from traymark.api.problems import refuse
from traymark_labels import Rejected, render

# Longer than any field of shared/labels.json; the label itself says what fits.
Text = Annotated[str, Meta(max_length=400)]
Number = Annotated[int, Meta(ge=0, le=1_000_000_000)]

_MEDIA_TYPES = {"png": "image/png", "pdf": "application/pdf"}


class LabelRequest(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A label kind of shared/labels.json with its fields."""

    kind: Annotated[str, Meta(max_length=40)]
    fields: Annotated[dict[Annotated[str, Meta(max_length=40)], Text | Number], Meta(max_length=40)]
    dpi: Literal[203, 300, 600] = 203
    format: Literal["png", "pdf"] = "png"


@post("/api/labels", status_code=200)
async def post_label(
    request: Request[Any, Any, Any], station: Asking, settings: TheSettings, write_queue: TheQueue
) -> Response[bytes]:
    """One label as a picture, or as a page at true size."""
    async with write_queue.place(station.id):
        asked = await read_json(request, LabelRequest, settings.max_json_bytes)
        drawn = await sync_to_thread(_draw, asked)
    if isinstance(drawn, Rejected):
        raise refuse("label-field", drawn.detail, pointers=((drawn.slug, drawn.pointer),))
    headers = {"Content-Disposition": f'inline; filename="label.{asked.format}"'}
    return Response(drawn, media_type=_MEDIA_TYPES[asked.format], headers=headers)


def _draw(asked: LabelRequest) -> bytes | Rejected:
    label = render(asked.kind, asked.fields, asked.dpi)
    if isinstance(label, Rejected):
        return label
    return label.png() if asked.format == "png" else label.pdf()


handlers = [post_label]
