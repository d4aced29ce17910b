"""The repair record on paper: for the customer, or all that the shop knows."""

from typing import Annotated, Literal

from litestar import Response, get
from litestar.concurrency import sync_to_thread
from litestar.params import FromPath, QueryParameter

from traymark.api.parts import Asking, TheClock, TheFiles, TheQueue, TheStore
from traymark.api.problems import refuse
from traymark.paper.record import draw_record


@get("/api/jobs/{code:str}/record.pdf")
async def read_record(
    code: FromPath[str],
    station: Asking,  # only a joined station may read
    store: TheStore,
    files: TheFiles,
    clock: TheClock,
    write_queue: TheQueue,  # takes a second: one station must not crowd out the others
    form: Annotated[Literal["customer", "shop"], QueryParameter()] = "customer",
) -> Response[bytes]:
    """A PDF of a booked job, as of now."""
    async with write_queue.place(station.id):
        pdf = await sync_to_thread(draw_record, store, files, code, form, clock())
    if pdf is None:
        raise refuse("not-found", "There is no booked job with this code.")
    headers = {"Content-Disposition": f'inline; filename="record-{code}.pdf"'}
    return Response(pdf, media_type="application/pdf", headers=headers)


handlers = [read_record]
