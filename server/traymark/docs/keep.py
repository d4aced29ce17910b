"""Writing, erasing and reading cards and documents (F7)."""

from typing import Any, NamedTuple

import msgspec
from sqlalchemy import Connection, func
from sqlalchemy.dialects.sqlite import insert
from sqlmodel import col, select

from traymark.docs.card import CARD_KINDS, check_doc
from traymark.log.rows import DocRow, RecordRow
from traymark.log.store import Store
from traymark.refused import Refused

MOST_DOCS = 1_000


class Doc(NamedTuple):
    """A card or document at a revision; `body` is JSON text, or None once erased."""

    id: str
    kind: str
    rev: int
    body: str | None


class Docs(NamedTuple):
    """What changed after a revision, oldest first; `rev` is where to continue."""

    rev: int
    docs: list[Doc]
    more: bool


def put_doc(
    store: Store, id_: str, kind: str, body: dict[str, Any] | None, base_rev: int | None = None
) -> Doc | Refused:
    """Write a card or document, or erase it for good with a null body. Durable on return.

    A card needs no base: of two writes the later to arrive wins. A document was read at `base_rev`, which must still
    be its revision; None is for one that does not exist yet. Writing what is already there changes nothing. A
    procedure's revision is written once (F7.4).
    """
    fault = check_doc(id_, kind, body)
    if fault is not None:
        return fault
    text = None if body is None else msgspec.json.encode(body, order="sorted").decode()
    with store.database.write() as connection:
        held = connection.execute(select(DocRow.kind, DocRow.rev, DocRow.body).where(col(DocRow.id) == id_)).first()
        if held is not None:
            held_kind, held_rev, held_body = held
            if held_kind != kind:
                return Refused("bad-field", "This id is of another kind.", (("bad-field", "/kind"),))
            if held_body == text:
                return Doc(id_, kind, held_rev, text)
            if held_body is None:
                return Refused("doc-erased", extra={"rev": held_rev})
            if kind == "procedure":
                return Refused("revision-stands", extra={"rev": held_rev})
        present = None if held is None else held[1]
        if kind not in CARD_KINDS and (base_rev or None) != present:
            return Refused("doc-changed", extra={"rev": present})
        doc = _write(connection, id_, kind, text)
    if text is None:
        store.database.empty_journal()
    return doc


def keep_doc(connection: Connection, id_: str, kind: str, text: str) -> None:
    """Write one of the server's own documents (F7.7) within its transaction, unless it is unchanged."""
    held = connection.execute(select(DocRow.body).where(col(DocRow.id) == id_)).first()
    if held is None or held[0] != text:
        _write(connection, id_, kind, text)


def _write(connection: Connection, id_: str, kind: str, text: str | None) -> Doc:
    rev = (connection.execute(select(func.max(DocRow.rev))).scalar() or 0) + 1
    # What is overwritten may be a name or a number: no copy of it may stay in the file's free space.
    connection.exec_driver_sql("PRAGMA secure_delete = ON")
    row = insert(DocRow).values(id=id_, kind=kind, rev=rev, body=text)
    connection.execute(
        row.on_conflict_do_update(index_elements=["id"], set_={"rev": row.excluded.rev, "body": row.excluded.body})
    )
    connection.exec_driver_sql("PRAGMA secure_delete = FAST")
    return Doc(id_, kind, rev, text)


def get_doc(store: Store, id_: str) -> Doc | None:
    """One card or document, or None."""
    query = select(DocRow.id, DocRow.kind, DocRow.rev, DocRow.body).where(col(DocRow.id) == id_)
    with store.database.read() as connection:
        row = connection.execute(query).first()
    return None if row is None else Doc(*row)


def get_docs(store: Store, ids: list[str]) -> list[Doc]:
    """Those of these cards and documents that there are."""
    query = select(DocRow.id, DocRow.kind, DocRow.rev, DocRow.body).where(col(DocRow.id).in_(ids[:MOST_DOCS]))
    with store.database.read() as connection:
        return [Doc(*row) for row in connection.execute(query)]


def docs_after(store: Store, rev: int, limit: int, most_bytes: int) -> Docs:
    """What is newer than a revision (F7.2); of cards only those that a live job names, and those that were erased.

    The answer ends with the document that reaches `most_bytes`.
    """
    is_live = col(DocRow.id).in_(select(RecordRow.card)) | col(DocRow.id).in_(select(RecordRow.contact))
    query = (
        select(DocRow.id, DocRow.kind, DocRow.rev, DocRow.body)
        .where(col(DocRow.rev) > rev)
        .where(col(DocRow.kind).not_in(CARD_KINDS) | col(DocRow.body).is_(None) | is_live)
        .order_by(col(DocRow.rev))
        .limit(min(limit, MOST_DOCS) + 1)
    )
    docs: list[Doc] = []
    size = 0
    with store.database.read() as connection:
        found = [Doc(*row) for row in connection.execute(query)]
    for doc in found[: min(limit, MOST_DOCS)]:
        docs.append(doc)
        size += len(doc.body or "")
        if size >= most_bytes:
            break
    return Docs(docs[-1].rev if docs else rev, docs, len(docs) < len(found))


def erased_ids(store: Store) -> list[tuple[str, str]]:
    """Id and kind of everything that was erased for good."""
    query = select(DocRow.id, DocRow.kind).where(col(DocRow.body).is_(None)).order_by(col(DocRow.id))
    with store.database.read() as connection:
        return [(row[0], row[1]) for row in connection.execute(query)]


def last_rev(store: Store) -> int:
    """The newest revision; 0 when there is none."""
    with store.database.read() as connection:
        return connection.execute(select(func.max(DocRow.rev))).scalar() or 0
