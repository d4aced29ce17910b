"""Cards and documents over HTTP (F7, F8.4)."""

from typing import Annotated, Any

import msgspec
from litestar import Request, Response, get, put
from litestar.concurrency import sync_to_thread
from litestar.params import FromPath, QueryParameter
from msgspec import Meta

from traymark.api.body import read_json
from traymark.api.parts import Asking, TheNews, TheQueue, TheSettings, TheStore
from traymark.api.problems import Problem
from traymark.api.who import require_lead
from traymark.docs.card import CARD_KINDS
from traymark.docs.keep import MOST_DOCS, Doc, Docs, docs_after, get_docs, has_given_out, last_rev, put_doc
from traymark.refused import Refused

_MAX_INT = 2**53 - 1


class DocRequest(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What a station sends; a null body erases for good."""

    kind: Annotated[str, Meta(max_length=40)]
    body: dict[str, Any] | None
    base_rev: int | None = None


@get("/api/docs")
async def list_docs(
    station: Asking,  # only a joined station may read
    store: TheStore,
    settings: TheSettings,
    after: Annotated[int, QueryParameter(ge=0, le=_MAX_INT)] = 0,
    limit: Annotated[int, QueryParameter(ge=1, le=MOST_DOCS)] = MOST_DOCS,
    erased_after: Annotated[int, QueryParameter(ge=0, le=_MAX_INT)] = 0,
    run: Annotated[str, QueryParameter(max_length=40)] = "",
    ids: Annotated[str, QueryParameter(max_length=8_000)] = "",
) -> Response[bytes]:
    """What changed after a revision that a run of the server has told; with `ids`, separated by commas, those alone.
    `last` is the newest revision: a station that begins need not hear of what was erased up to there. `reset`: that
    revision was never given out here, so all is asked for again."""
    last, reset = await sync_to_thread(last_rev, store), False
    if ids:
        docs = Docs(after, await sync_to_thread(get_docs, store, ids.split(",")), more=False)
    elif reset := not await sync_to_thread(has_given_out, store, run, after):
        docs = Docs(0, [], more=True)
    else:
        docs = await sync_to_thread(docs_after, store, after, limit, settings.max_pull_bytes, erased_after)
    content = {
        "run": store.run,
        "reset": reset,
        "rev": docs.rev,
        "last": last,
        "docs": [doc_shape(doc) for doc in docs.docs],
        "more": docs.more,
    }
    return Response(msgspec.json.encode(content), media_type="application/json")


@put("/api/docs/{doc_id:str}", request_max_body_size=None)  # read_body has the limit
async def write_doc(
    request: Request[Any, Any, Any],
    doc_id: FromPath[str],
    station: Asking,
    store: TheStore,
    settings: TheSettings,
    news: TheNews,
    write_queue: TheQueue,
) -> dict[str, Any]:
    """Write one, or erase it. Documents, and erasing, only from a lead's station."""
    async with write_queue.place(station.id):
        written = await read_json(request, DocRequest, settings.max_json_bytes)
        if written.kind not in CARD_KINDS or written.body is None:
            require_lead(station)
        doc = await sync_to_thread(put_doc, store, doc_id, written.kind, written.body, written.base_rev)
    if isinstance(doc, Refused):
        raise Problem(doc)
    news.tell(rev=doc.rev)
    return {"id": doc.id, "rev": doc.rev}


def doc_shape(doc: Doc) -> dict[str, Any]:
    """A card or document as an answer has it (F7.2)."""
    body = None if doc.body is None else msgspec.Raw(doc.body.encode())
    return {"id": doc.id, "kind": doc.kind, "rev": doc.rev, "body": body}


handlers = [list_docs, write_doc]
