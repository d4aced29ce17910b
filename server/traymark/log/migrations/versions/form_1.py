"""Form 1, the first one: its tables in SQL, as a reader of the file finds them."""

from alembic import op

revision = "1"
down_revision = None

TABLES = (
    """CREATE TABLE meta (key VARCHAR NOT NULL PRIMARY KEY, value VARCHAR NOT NULL)""",
    # The log. No later step changes what is in these two.
    """CREATE TABLE event (
        position INTEGER NOT NULL PRIMARY KEY,
        incarnation VARCHAR NOT NULL,
        seq INTEGER NOT NULL,
        hash BLOB NOT NULL,
        raw BLOB NOT NULL,
        received_at_ms INTEGER NOT NULL,
        kind VARCHAR,
        slug VARCHAR,
        pointer VARCHAR,
        UNIQUE (incarnation, seq)
    )""",
    """CREATE INDEX event_malformed ON event (position) WHERE slug IS NOT NULL""",
    """CREATE TABLE fork (
        id INTEGER NOT NULL PRIMARY KEY,
        incarnation VARCHAR NOT NULL,
        seq INTEGER NOT NULL,
        prev BLOB NOT NULL,
        hash BLOB NOT NULL,
        raw BLOB NOT NULL,
        received_at_ms INTEGER NOT NULL,
        UNIQUE (incarnation, seq, hash)
    )""",
    # Derived from the log.
    """CREATE TABLE chain (incarnation VARCHAR NOT NULL PRIMARY KEY, seq INTEGER NOT NULL, head BLOB NOT NULL)""",
    """CREATE TABLE event_code (
        code VARCHAR NOT NULL,
        position INTEGER NOT NULL,
        PRIMARY KEY (code, position)
    ) WITHOUT ROWID""",
    """CREATE TABLE record (
        collection VARCHAR NOT NULL,
        key VARCHAR NOT NULL,
        json_text BLOB NOT NULL,
        ticket VARCHAR,
        card VARCHAR,
        contact VARCHAR,
        PRIMARY KEY (collection, key)
    )""",
    """CREATE INDEX record_ticket ON record (ticket)""",
    """CREATE INDEX record_card ON record (card)""",
    """CREATE INDEX record_contact ON record (contact)""",
    """CREATE TABLE archive (
        collection VARCHAR NOT NULL,
        key VARCHAR NOT NULL,
        json_text BLOB NOT NULL,
        ticket VARCHAR,
        card VARCHAR,
        contact VARCHAR,
        PRIMARY KEY (collection, key)
    )""",
    """CREATE INDEX archive_ticket ON archive (ticket)""",
    """CREATE INDEX archive_card ON archive (card)""",
    """CREATE INDEX archive_contact ON archive (contact)""",
    """CREATE TABLE archive_job (
        number INTEGER NOT NULL PRIMARY KEY,
        job VARCHAR NOT NULL UNIQUE,
        words VARCHAR NOT NULL
    )""",
    """CREATE VIRTUAL TABLE archive_words
        USING fts5 (words, content=archive_job, content_rowid=number, tokenize=trigram)""",
    # Outside the log.
    """CREATE TABLE doc (
        id VARCHAR NOT NULL PRIMARY KEY,
        kind VARCHAR NOT NULL,
        rev INTEGER NOT NULL UNIQUE,
        body VARCHAR
    )""",
    """CREATE INDEX doc_imei ON doc (json_extract(body, '$.imei')) WHERE kind = 'device'""",
    """CREATE INDEX doc_serial ON doc (json_extract(body, '$.serial')) WHERE kind = 'device'""",
    """CREATE INDEX doc_of ON doc (json_extract(body, '$.of')) WHERE kind = 'text'""",
    """CREATE INDEX doc_document ON doc (rev) WHERE kind NOT IN ('contact', 'device', 'text', 'photo')""",
    """CREATE INDEX doc_erased ON doc (rev) WHERE body IS NULL""",
    """CREATE TABLE run (id INTEGER NOT NULL PRIMARY KEY, name VARCHAR NOT NULL UNIQUE, rev INTEGER NOT NULL)""",
    """CREATE TABLE blob (
        sha256 VARCHAR NOT NULL PRIMARY KEY,
        media_type VARCHAR NOT NULL,
        size INTEGER NOT NULL,
        width INTEGER NOT NULL,
        height INTEGER NOT NULL,
        station VARCHAR NOT NULL,
        received_at_ms INTEGER NOT NULL
    )""",
    """CREATE INDEX blob_received ON blob (received_at_ms)""",
    # Stations.
    """CREATE TABLE station (
        id VARCHAR NOT NULL PRIMARY KEY,
        name VARCHAR NOT NULL,
        role VARCHAR NOT NULL,
        token_hash VARCHAR NOT NULL UNIQUE,
        created_at_ms INTEGER NOT NULL,
        revoked_at_ms INTEGER
    )""",
    """CREATE TABLE incarnation (
        id INTEGER NOT NULL PRIMARY KEY,
        prefix VARCHAR NOT NULL UNIQUE,
        station VARCHAR NOT NULL
    )""",
    """CREATE INDEX ix_incarnation_station ON incarnation (station)""",
    """CREATE TABLE invite (
        code_hash VARCHAR NOT NULL PRIMARY KEY,
        name VARCHAR NOT NULL,
        role VARCHAR NOT NULL,
        expires_at_ms INTEGER NOT NULL,
        used_at_ms INTEGER
    )""",
)


def upgrade() -> None:
    """Make the tables of a new file."""
    for statement in TABLES:
        op.execute(statement)
