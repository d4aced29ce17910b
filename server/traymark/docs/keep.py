"""Writing, erasing and reading cards and documents (F7)."""

from typing import Any, NamedTuple

import msgspec
from sqlalchemy import Connection, text
from sqlalchemy.dialects.sqlite import insert
from sqlmodel import col, delete, select

from traymark.docs.card import CARD_KINDS, check_doc
from traymark.events.texts import TEXT
from traymark.log.archive_words import index_card
from traymark.log.database import leaving_no_copy
from traymark.log.erasing import begin_erasing, due_photos, end_erasing, is_erased_job
from traymark.log.rows import NOT_PERSONAL, DocRow
from traymark.log.runs import gave_out, keep_last_revision, last_revision
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
    written = None if body is None else msgspec.json.encode(body, order="sorted").decode()
    with store.database.write() as connection:
        held = connection.execute(select(DocRow.kind, DocRow.rev, DocRow.body).where(col(DocRow.id) == id_)).first()
        if held is not None:
            held_kind, held_rev, held_body = held
            if held_kind != kind:
                return Refused("bad-field", "This id is of another kind.", (("bad-field", "/kind"),))
            if held_body == written:
                return Doc(id_, kind, held_rev, written)
            if held_body is None:
                return Refused("doc-erased", extra={"rev": held_rev})
            if kind == "procedure":
                return Refused("revision-stands", extra={"rev": held_rev})
        if kind == TEXT and body is not None and is_erased_job(connection, body["of"]):
            return Refused("doc-erased")
        present = None if held is None else held[1]
        if kind not in CARD_KINDS and (base_rev or None) != present:
            return Refused("doc-changed", extra={"rev": present})
        doc = _write(connection, id_, kind, written)
        if written is None:
            begin_erasing(connection, [])
    if written is None and not due_photos(store):
        end_erasing(store)
    return doc


def erase_doc(connection: Connection, id_: str, kind: str) -> None:
    """Erase a card for good within a transaction, also one that has not come yet. `begin_erasing` must follow."""
    held = connection.execute(select(DocRow.body).where(col(DocRow.id) == id_)).first()
    if held is None or held[0] is not None:
        _write(connection, id_, kind, None)


def keep_doc(connection: Connection, id_: str, kind: str, written: str) -> None:
    """Write one of the server's own documents (F7.7) within its transaction, unless it is unchanged."""
    held = connection.execute(select(DocRow.body).where(col(DocRow.id) == id_)).first()
    if held is None or held[0] != written:
        _write(connection, id_, kind, written)


def _write(connection: Connection, id_: str, kind: str, written: str | None) -> Doc:
    rev = last_revision(connection) + 1
    row = insert(DocRow).values(id=id_, kind=kind, rev=rev, body=written)
    with leaving_no_copy(connection):
        connection.execute(
            row.on_conflict_do_update(index_elements=["id"], set_={"rev": row.excluded.rev, "body": row.excluded.body})
        )
    index_card(connection, id_, kind)
    return Doc(id_, kind, rev, written)


def drop_doc(connection: Connection, id_: str) -> None:
    """Forget a card that nothing names, within a transaction. `begin_erasing` must follow."""
    keep_last_revision(connection)
    with leaving_no_copy(connection):
        kind = connection.execute(delete(DocRow).where(col(DocRow.id) == id_).returning(col(DocRow.kind))).scalar()
    index_card(connection, id_, kind or "")


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


def docs_after(store: Store, rev: int, limit: int, most_bytes: int, erased_after: int = 0) -> Docs:
    """What is newer than a revision (F7.2): documents; cards that a live job names, and texts about anything live that
    an event names; what was erased after `erased_after` as well.

    The answer ends with the document that reaches `most_bytes`.
    """
    most = min(limit, MOST_DOCS)
    values = {"rev": rev, "erased": max(rev, erased_after), "most": most + 1}
    with store.database.read() as connection:
        found = [Doc(*row) for row in connection.execute(text(_NEWER), values)]
    docs: list[Doc] = []
    size = 0
    for doc in found[:most]:
        docs.append(doc)
        size += len(doc.body or "")
        if size >= most_bytes:
            break
    return Docs(docs[-1].rev if docs else rev, docs, len(docs) < len(found))


# What this takes is in proportion to what is live and what is new, not to all cards there ever were: the indexes are
# named, since SQLite would rather walk all revisions; and the plus takes the column's affinity away, which would keep
# it from the index of an expression.
_NEWER = f"""
SELECT id, kind, rev, body FROM doc INDEXED BY doc_document WHERE rev > :rev AND {NOT_PERSONAL}
UNION SELECT id, kind, rev, body FROM doc INDEXED BY doc_erased WHERE rev > :erased AND body IS NULL
UNION SELECT d.id, d.kind, d.rev, d.body FROM record r JOIN doc d ON d.id IN (r.card, r.contact)
    WHERE r.collection = 'job' AND d.rev > :rev
UNION SELECT d.id, d.kind, d.rev, d.body
    FROM record r CROSS JOIN doc d INDEXED BY doc_of ON json_extract(d.body, '$.of') = +r.key
    WHERE r.collection IN ('job', 'thing', 'box') AND d.kind = 'text' AND d.rev > :rev
    AND EXISTS (SELECT 1 FROM event_code c WHERE c.code = d.id)
ORDER BY rev LIMIT :most
"""  # noqa: S608  # our own words


def has_given_out(store: Store, run: str, rev: int) -> bool:
    """Whether a revision, or a later one, was given out by this run of the server, or without a name by any."""
    with store.database.read() as connection:
        return gave_out(connection, run, rev)


def erased_ids(store: Store) -> list[tuple[str, str]]:
    """Id and kind of everything that was erased for good."""
    query = select(DocRow.id, DocRow.kind).where(col(DocRow.body).is_(None)).order_by(col(DocRow.id))
    with store.database.read() as connection:
        return [(row[0], row[1]) for row in connection.execute(query)]


def last_rev(store: Store) -> int:
    """The newest revision; 0 when there is none."""
    with store.database.read() as connection:
        return last_revision(connection)
