"""All tables of the server's database; no other file defines one.

Rows are written only from values already checked (a parsed event, a checked card): the table classes check nothing
themselves. Tables that can be derived from the log say so; `log/rebuild.py` makes them again. A change here is a new
form: `log/migrations/` leads to it.
"""

from typing import ClassVar

from sqlalchemy import Index, LargeBinary, UniqueConstraint, text
from sqlmodel import Field, SQLModel


class Meta(SQLModel, table=True):
    """Facts about the database: `epoch`, `fold` (which fold made the records; empty when a migration asks for another
    one), `own_station` (the station that the server is)."""

    __tablename__: ClassVar[str] = "meta"  # pyright: ignore[reportIncompatibleVariableOverride]  # SQLModel types it otherwise

    key: str = Field(primary_key=True)
    value: str


class FormRow(SQLModel, table=True):
    """Which form these tables have (form.py). Table and column have the names that Alembic gives them."""

    __tablename__: ClassVar[str] = "alembic_version"  # pyright: ignore[reportIncompatibleVariableOverride]  # as above

    version_num: str = Field(primary_key=True, max_length=32)


# --- the log: cannot be derived from anything ---------------------------------------------------------------


class EventRow(SQLModel, table=True):
    """One event at its position (F4.1). `kind`, `slug` and `pointer` are what `parse` made of the bytes (derived)."""

    __tablename__: ClassVar[str] = "event"  # pyright: ignore[reportIncompatibleVariableOverride]  # as above
    __table_args__ = (
        UniqueConstraint("incarnation", "seq"),
        Index("event_malformed", "position", sqlite_where=text("slug IS NOT NULL")),
    )

    position: int = Field(primary_key=True)
    incarnation: str
    seq: int
    hash: bytes
    raw: bytes
    received_at_ms: int
    kind: str | None = None
    slug: str | None = None
    pointer: str | None = None


class ForkRow(SQLModel, table=True):
    """Bytes that came with a seq that the chain holds with other bytes (F3.4). They have no effect."""

    __tablename__: ClassVar[str] = "fork"  # pyright: ignore[reportIncompatibleVariableOverride]  # as above
    __table_args__ = (UniqueConstraint("incarnation", "seq", "hash"),)

    id: int | None = Field(default=None, primary_key=True)
    incarnation: str
    seq: int
    prev: bytes
    hash: bytes
    raw: bytes
    received_at_ms: int


# --- derived from the log, in the same transaction as the events ---------------------------------------------


class ChainRow(SQLModel, table=True):
    """The last seq of a chain and the hash there (derived)."""

    __tablename__: ClassVar[str] = "chain"  # pyright: ignore[reportIncompatibleVariableOverride]  # as above

    incarnation: str = Field(primary_key=True)
    seq: int
    head: bytes


class EventCodeRow(SQLModel, table=True):
    """Which events name a code: the trace of a thing; and which name a photo or a text by its hash (derived)."""

    __tablename__: ClassVar[str] = "event_code"  # pyright: ignore[reportIncompatibleVariableOverride]  # as above
    __table_args__ = ({"sqlite_with_rowid": False},)

    code: str = Field(primary_key=True)
    position: int = Field(primary_key=True)


class RecordRow(SQLModel, table=True):
    """A record of the live state (F5.1) as JSON (derived). A job's ticket and cards are repeated, to find it by."""

    __tablename__: ClassVar[str] = "record"  # pyright: ignore[reportIncompatibleVariableOverride]  # as above
    __table_args__ = (
        Index("record_ticket", "ticket"), Index("record_card", "card"), Index("record_contact", "contact"),
    )  # fmt: skip

    collection: str = Field(primary_key=True)
    key: str = Field(primary_key=True)
    json_text: bytes = Field(sa_type=LargeBinary)
    ticket: str | None = None
    card: str | None = None
    contact: str | None = None


class ArchiveRow(SQLModel, table=True):
    """A record that was put away (F5.13), otherwise as in RecordRow (derived)."""

    __tablename__: ClassVar[str] = "archive"  # pyright: ignore[reportIncompatibleVariableOverride]  # as above
    __table_args__ = (
        Index("archive_ticket", "ticket"), Index("archive_card", "card"), Index("archive_contact", "contact"),
    )  # fmt: skip

    collection: str = Field(primary_key=True)
    key: str = Field(primary_key=True)
    json_text: bytes = Field(sa_type=LargeBinary)
    ticket: str | None = None
    card: str | None = None
    contact: str | None = None


class ArchiveJobRow(SQLModel, table=True):
    """The words by which a job of the archive is found; `number` counts in the order of putting away (derived from
    the log and the cards)."""

    __tablename__: ClassVar[str] = "archive_job"  # pyright: ignore[reportIncompatibleVariableOverride]  # as above

    number: int | None = Field(default=None, primary_key=True)
    job: str = Field(unique=True)
    words: str


ARCHIVE_WORDS = (
    "CREATE VIRTUAL TABLE archive_words USING fts5 (words, content=archive_job, content_rowid=number, tokenize=trigram)"
)
"""The index of those words, which SQLModel has no class for."""


# --- outside the log -----------------------------------------------------------------------------------------


NOT_PERSONAL = "kind NOT IN ('contact', 'device', 'text', 'photo')"
"""Of documents, in SQL: they are neither cards nor what is left of an erased photo."""


class DocRow(SQLModel, table=True):
    """A card or document (F7). `body` is JSON; null once it was erased for good. A device is found by its numbers, a
    text by what it is about. An erased photo leaves a row as well, of the kind `photo`."""

    __tablename__: ClassVar[str] = "doc"  # pyright: ignore[reportIncompatibleVariableOverride]  # as above
    __table_args__ = (
        Index("doc_imei", text("json_extract(body, '$.imei')"), sqlite_where=text("kind = 'device'")),
        Index("doc_serial", text("json_extract(body, '$.serial')"), sqlite_where=text("kind = 'device'")),
        Index("doc_of", text("json_extract(body, '$.of')"), sqlite_where=text("kind = 'text'")),
        Index("doc_document", "rev", sqlite_where=text(NOT_PERSONAL)),
        Index("doc_erased", "rev", sqlite_where=text("body IS NULL")),
    )

    id: str = Field(primary_key=True)
    kind: str
    rev: int = Field(unique=True)
    body: str | None = None


class RunRow(SQLModel, table=True):
    """A run of the server, in the order of `id`; `rev` is the last revision that was given out before it (runs.py)."""

    __tablename__: ClassVar[str] = "run"  # pyright: ignore[reportIncompatibleVariableOverride]  # as above

    id: int | None = Field(default=None, primary_key=True)
    name: str = Field(unique=True)
    rev: int


class BlobRow(SQLModel, table=True):
    """A photo whose bytes lie in a file named by their hash (F8.5). Written only after the file is durable."""

    __tablename__: ClassVar[str] = "blob"  # pyright: ignore[reportIncompatibleVariableOverride]  # as above
    __table_args__ = (Index("blob_received", "received_at_ms"),)

    sha256: str = Field(primary_key=True)
    media_type: str
    size: int
    width: int
    height: int
    station: str
    received_at_ms: int


# --- stations ------------------------------------------------------------------------------------------------


class StationRow(SQLModel, table=True):
    """A joined browser. `token_hash` is the SHA-256 of its cookie in hex."""

    __tablename__: ClassVar[str] = "station"  # pyright: ignore[reportIncompatibleVariableOverride]  # as above

    id: str = Field(primary_key=True)
    name: str
    role: str
    token_hash: str = Field(unique=True)
    created_at_ms: int
    revoked_at_ms: int | None = None


class IncarnationRow(SQLModel, table=True):
    """An incarnation that was given out, in the order of `id`; never given twice (F3.1)."""

    __tablename__: ClassVar[str] = "incarnation"  # pyright: ignore[reportIncompatibleVariableOverride]  # as above

    id: int | None = Field(default=None, primary_key=True)
    prefix: str = Field(unique=True)
    station: str = Field(index=True)


class InviteRow(SQLModel, table=True):
    """A one-time join code, kept only as its SHA-256 in hex."""

    __tablename__: ClassVar[str] = "invite"  # pyright: ignore[reportIncompatibleVariableOverride]  # as above

    code_hash: str = Field(primary_key=True)
    name: str
    role: str
    expires_at_ms: int
    used_at_ms: int | None = None
