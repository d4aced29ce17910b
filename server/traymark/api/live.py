"""What a station begins with, and what was put away (F8.7, F8.8), over HTTP."""

import gzip
from collections.abc import Iterator
from io import BytesIO
from typing import Annotated, Any

import msgspec
from litestar import Request, Response, get
from litestar.concurrency import sync_to_thread
from litestar.params import QueryParameter

from traymark.api.cards import doc_shape
from traymark.api.parts import Asking, TheClock, TheQueue, TheStore
from traymark.api.problems import refuse
from traymark.docs.keep import get_docs
from traymark.fold.fold import fold_name
from traymark.log.archive import jobs_of_device, jobs_of_ticket, jobs_of_words, read_kept
from traymark.log.archive_words import LEAST_LETTERS
from traymark.log.live import read_live
from traymark.log.pull import PulledLine
from traymark.log.store import Store


class LiveHeader(msgspec.Struct, frozen=True):
    """The first line of the live state."""

    epoch: str
    position: int
    head: str
    hash: str
    fold: str
    now_ms: int


@get("/api/live")
async def read_live_state(
    request: Request[Any, Any, Any],
    station: Asking,
    store: TheStore,
    clock: TheClock,
    write_queue: TheQueue,  # takes a second in a large shop: one station must not crowd out the others
) -> Response[bytes]:
    """The live state at a position, and the history of what is live."""

    def lines() -> Iterator[bytes]:
        with read_live(store) as live:
            header = LiveHeader(store.epoch, live.position, live.head, live.hash, fold_name(), clock())
            yield msgspec.json.encode(header)
            yield from (record_line(*record) for record in live.records)
            yield b""
            yield from map(event_line, live.events)

    async with write_queue.place(station.id):
        return await sync_to_thread(_lined, request, lines)


@get("/api/archive")
async def read_archive(
    request: Request[Any, Any, Any],
    station: Asking,
    store: TheStore,
    write_queue: TheQueue,
    code: Annotated[str, QueryParameter(max_length=20)] = "",
    ticket: Annotated[str, QueryParameter(max_length=40)] = "",
    imei: Annotated[str, QueryParameter(max_length=40)] = "",
    serial: Annotated[str, QueryParameter(max_length=200)] = "",
    words: Annotated[str, QueryParameter(max_length=80)] = "",
) -> Response[bytes]:
    """What was put away, found by one of these."""
    if words and len(words.strip()) < LEAST_LETTERS:
        raise refuse("bad-field", f"Write at least {LEAST_LETTERS} characters.", pointers=(("bad-field", "/words"),))

    def lines() -> Iterator[bytes]:
        kept = read_kept(store, _codes(store, code, ticket, imei, serial, words.strip()))
        yield from (record_line(*record) for record in kept.records)
        yield b""
        yield from (msgspec.json.encode(doc_shape(doc)) for doc in get_docs(store, kept.cards))
        yield b""
        yield from map(event_line, kept.events)

    async with write_queue.place(station.id):
        return await sync_to_thread(_lined, request, lines)


def _codes(store: Store, code: str, ticket: str, imei: str, serial: str, words: str) -> list[str]:
    if code:
        return [code]
    if ticket:
        return jobs_of_ticket(store, ticket)
    if imei or serial:
        return jobs_of_device(store, imei, serial)
    return jobs_of_words(store, words) if words else []


def record_line(collection: str, key: str, text: bytes) -> bytes:
    """A record (F5.1) as a line."""
    return b"%b\t%b\t%b" % (collection.encode(), key.encode(), text)


def event_line(line: PulledLine) -> bytes:
    """An event as a line (F8.2)."""
    return b"%d\t%b\t%b" % (line.position, line.flag.encode(), line.raw)


def _lined(request: Request[Any, Any, Any], lines: Any) -> Response[bytes]:
    """The lines as an answer, packed while they are made: only what is sent is ever held."""
    headers = {"Vary": "Accept-Encoding"}
    if "gzip" not in request.headers.get("accept-encoding", ""):
        return Response(b"".join(line + b"\n" for line in lines()), media_type="text/plain", headers=headers)
    packed = BytesIO()
    with gzip.GzipFile(fileobj=packed, mode="wb", compresslevel=5, mtime=0) as out:
        for line in lines():
            out.write(line + b"\n")
    return Response(packed.getvalue(), media_type="text/plain", headers=headers | {"Content-Encoding": "gzip"})


handlers = [read_live_state, read_archive]
