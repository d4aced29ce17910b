"""Push, pull and the stream of news (F8.1 to F8.3)."""

import gzip
from collections.abc import AsyncIterator
from typing import Annotated, Any

import msgspec
from litestar import Request, Response, get, post
from litestar.concurrency import sync_to_thread
from litestar.params import QueryParameter
from litestar.response import ServerSentEvent, ServerSentEventMessage
from msgspec import Meta

from traymark.api.body import decode_json, gunzip, read_body
from traymark.api.news import NewsItem
from traymark.api.parts import Asking, TheClock, TheNews, TheQueue, TheSettings, TheStore
from traymark.api.problems import Problem, refuse
from traymark.backup.make import last_backup
from traymark.docs.keep import last_rev
from traymark.log.pull import MOST_EVENTS, ChainEnd, Cursor, Pulled, read_after
from traymark.log.push import Batch, PushAnswer, push
from traymark.refused import Refused

MOST_EVENTS_PUSHED = 500
_WORTH_PACKING = 1_000
_MAX_INT = 2**53 - 1

Incarnation = Annotated[str, Meta(pattern=r"^[0-9A-HJKMNP-TV-Z]{3}\Z")]
Hash = Annotated[str, Meta(pattern=r"^[0-9a-f]{64}\Z")]


class PushHeader(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The first line of a push."""

    incarnation: Incarnation
    first_seq: Annotated[int, Meta(ge=1, le=_MAX_INT)]
    prev: Hash
    head: Hash


class PullHeader(msgspec.Struct, frozen=True, rename={"from_": "from"}):
    """The first line of a pull."""

    epoch: str
    reset: bool
    from_: int
    to: int
    last: int
    head: str
    now_ms: int
    backed_up_ms: int | None
    chain: dict[str, Any] | None


@post("/api/sync/push", status_code=200, request_max_body_size=None)  # read_body has the limit
async def push_events(
    request: Request[Any, Any, Any],
    station: Asking,
    store: TheStore,
    settings: TheSettings,
    clock: TheClock,
    news: TheNews,
    write_queue: TheQueue,
) -> PushAnswer:
    """Take a batch. Once acknowledged it is durable."""
    async with write_queue.place(station.id):
        data = await read_body(request, settings.max_push_bytes)
        batch = read_batch(data, request.headers.get("content-encoding", ""), settings.max_push_bytes)
        answer = await sync_to_thread(push, store, station.id, batch, clock())
    if isinstance(answer, Refused):
        raise Problem(answer)
    news.tell(position=answer.position)
    return answer


@get("/api/sync/pull")
async def pull_events(
    request: Request[Any, Any, Any],
    station: Asking,
    store: TheStore,
    settings: TheSettings,
    clock: TheClock,
    after: Annotated[int, QueryParameter(ge=0, le=_MAX_INT)] = 0,
    limit: Annotated[int, QueryParameter(ge=1, le=MOST_EVENTS)] = MOST_EVENTS_PUSHED,
    epoch: Annotated[str, QueryParameter(max_length=64)] = "",
    head: Annotated[str, QueryParameter(max_length=64)] = "",
) -> Response[bytes]:
    """A stretch of the log."""
    is_packed = "gzip" in request.headers.get("accept-encoding", "")

    def answer() -> tuple[bytes, bool]:
        pulled = read_after(store, station.id, Cursor(epoch, after, head), limit, settings.max_pull_bytes)
        backed_up = last_backup(store)
        text = write_lines(pulled, store.epoch, clock(), None if backed_up is None else backed_up.at_ms)
        return (gzip.compress(text, 5), True) if is_packed and len(text) >= _WORTH_PACKING else (text, False)

    content, packed = await sync_to_thread(answer)
    headers = {"Vary": "Accept-Encoding"} | ({"Content-Encoding": "gzip"} if packed else {})
    return Response(content, media_type="text/plain", headers=headers)


@get("/api/sync/stream", media_type="text/event-stream")
async def stream_news(station: Asking, store: TheStore, news: TheNews) -> ServerSentEvent:
    """News until the page closes or the server stops."""
    if news.is_full():
        raise refuse("busy", retry_after_s=30)
    position, rev = await sync_to_thread(lambda: (store.position(), last_rev(store)))

    async def messages() -> AsyncIterator[ServerSentEventMessage]:
        async for item in news.listen(station.id, NewsItem(position, rev)):
            if item is None:
                yield ServerSentEventMessage(comment="here")
            else:
                yield ServerSentEventMessage(event="news", data=msgspec.json.encode(item._asdict()).decode())

    return ServerSentEvent(messages())


def read_batch(data: bytes, encoding: str, most: int) -> Batch:
    """A push body as a batch. Raises request-malformed or body-too-large; the events themselves are judged later."""
    if encoding == "gzip":
        data = gunzip(data, most)
    elif encoding not in ("", "identity"):
        raise refuse("request-malformed", "The body may be plain or gzip.")
    first, _, rest = data.partition(b"\n")
    header = decode_json(first, PushHeader)
    lines = rest.split(b"\n")
    if not lines[-1]:
        lines.pop()
    if not lines:
        raise refuse("request-malformed", "There is no event in this batch.")
    if len(lines) > MOST_EVENTS_PUSHED:
        raise refuse("body-too-large", f"At most {MOST_EVENTS_PUSHED} events are taken at once.")
    if header.first_seq + len(lines) > _MAX_INT:
        raise refuse("bad-field", pointers=(("bad-field", "/first_seq"),))
    return Batch(header.incarnation, header.first_seq, bytes.fromhex(header.prev), bytes.fromhex(header.head), lines)


def write_lines(pulled: Pulled, epoch: str, now_ms: int, backed_up_ms: int | None) -> bytes:
    """A pull answer: the header, then one line per event with its bytes as they came."""
    events = pulled.events
    header = PullHeader(
        epoch=epoch,
        reset=pulled.is_reset,
        from_=events[0].position if events else pulled.after + 1,
        to=events[-1].position if events else pulled.after,
        last=pulled.last,
        head=pulled.head,
        now_ms=now_ms,
        backed_up_ms=backed_up_ms,
        chain=None if pulled.chain is None else _chain(pulled.chain),
    )
    lines = [msgspec.json.encode(header)]
    lines.extend(b"%d\t%b\t%b" % (e.position, e.flag.encode(), e.raw) for e in events)
    return b"\n".join(lines) + b"\n"


def _chain(end: ChainEnd) -> dict[str, Any]:
    return {"incarnation": end.incarnation, "seq": end.seq, "head": end.head.hex()}


handlers = [push_events, pull_events, stream_news]
