"""The revisions of documents (F7.2), and which run of the server gave out which.

An older copy of the data folder, put back by hand, gives out revisions a second time. It is a run of its own: whoever
was told revisions by a run that the copy does not know, or beyond where the copy says that it ended, reads all again.
"""

import secrets

from sqlalchemy import Connection

from traymark.log.database import ask, tell
from traymark.log.facts import keep_fact

_MOST = 1_000
"""A station that was silent for more runs than that reads all documents again, which harms nothing."""


_DROPPED = "dropped_rev"
"""The fact (Meta) that has the last revision, should its document have been dropped since."""


LAST_REVISION = (
    "max(coalesce((SELECT max(rev) FROM doc), 0), "
    "coalesce((SELECT CAST(value AS INTEGER) FROM meta WHERE key = 'dropped_rev'), 0))"
)
"""In SQL: the last revision that was given out; 0 when there is none."""


def last_revision(connection: Connection) -> int:
    """The last revision that was given out; 0 when there is none."""
    return ask(connection, f"SELECT {LAST_REVISION}", ())[0]  # our own words


def keep_last_revision(connection: Connection) -> None:
    """See to it that no revision is given out twice although its document is about to be dropped."""
    keep_fact(connection, _DROPPED, str(last_revision(connection)))


def begin_run(connection: Connection) -> str:
    """The name of a new run, which goes on from the last revision: for the one writer, when it opens the database."""
    name = secrets.token_hex(8)
    tell(connection, "INSERT INTO run (name, rev) VALUES (?, ?)", [(name, last_revision(connection))])
    tell(connection, "DELETE FROM run WHERE id <= (SELECT max(id) FROM run) - ?", [(_MOST,)])
    return name


def present_run(connection: Connection) -> str:
    """The name of the run that writes now."""
    found = ask(connection, "SELECT name FROM run ORDER BY id DESC LIMIT 1", ())
    return "" if found is None else found[0]


def gave_out(connection: Connection, name: str, rev: int) -> bool:
    """Whether a revision, or a later one, was given out by the run of this name; without a name, by any."""
    if name:
        begun = ask(connection, "SELECT id FROM run WHERE name = ?", (name,))
        if begun is None:
            return False
        after = ask(connection, "SELECT rev FROM run WHERE id > ? ORDER BY id LIMIT 1", (begun[0],))
        if after is not None:
            return rev <= after[0]
    return rev <= last_revision(connection)
