"""The words by which jobs that were put away are found (F8.8): of their contact's card and their device's.

SQLite's full-text index finds any three letters or more within them, in as much time as there are jobs to show and not
as there are jobs. What leaves the index is a name or a number, and stays in it, unseen, until `tidy_words`.
"""

import re
from contextlib import closing
from typing import Any

import msgspec
from sqlalchemy import Connection

from traymark.log.database import ask, leaving_no_copy, tell
from traymark.log.facts import keep_fact

LEAST_LETTERS = 3

_CARDS = ("contact", "device")
_IN_CARD = {"contact": ("name", "phone", "mail"), "device": ("imei", "serial", "model")}
_NUMBERS = ("phone", "imei")
"""Also found by their digits alone, however they were written."""

_LEFT = "words_left"
"""The fact (Meta) that words have left the index, and are still in it."""

_BETWEEN = re.compile(r"[ ./()-]")

_FIND = (
    "SELECT j.job, j.words FROM archive_words w JOIN archive_job j ON j.number = w.rowid WHERE archive_words MATCH ? "
    "ORDER BY w.rowid DESC"
)
_END = 6
"""Of a long search the index is asked for both ends alone, since it reads as much as it is asked for letters."""

_FORGET = "INSERT INTO archive_words (archive_words, rowid, words) VALUES ('delete', ?, ?)"
_NAMING = (
    "SELECT key FROM archive INDEXED BY archive_contact WHERE contact = ? "
    "UNION SELECT key FROM archive INDEXED BY archive_card WHERE card = ?"
)
"""Only jobs name cards. By name, since SQLite would rather walk all jobs of the collection."""


def find_jobs(connection: Connection, words: str, most: int) -> list[str]:
    """Jobs that were put away, by LEAST_LETTERS or more of what their cards say in one place; the last ones first."""
    forms = {form: form.casefold() for form in (words, _BETWEEN.sub("", words)) if len(form) >= LEAST_LETTERS}
    if not forms or "\0" in words:
        return []
    found: list[str] = []
    with closing(connection.exec_driver_sql(_FIND, (" OR ".join(map(_asked, forms)),))) as rows:
        for job, said in rows:
            if any(form in said.casefold() for form in forms.values()):
                found.append(job)
            if len(found) == most:
                break
    return found


def index_jobs(connection: Connection, jobs: list[str]) -> None:
    """Have these records of the archive found by what their cards say now, within the transaction."""
    for job in jobs:
        row = ask(connection, "SELECT contact, card FROM archive WHERE collection = 'job' AND key = ?", (job,))
        words = words_of(connection, *row)
        held = ask(connection, "SELECT number, words FROM archive_job WHERE job = ?", (job,))
        if held is not None and held[1] == words:
            continue
        with leaving_no_copy(connection):
            if held is None:
                tell(connection, "INSERT INTO archive_job (job, words) VALUES (?, ?)", [(job, words)])
                number = ask(connection, "SELECT last_insert_rowid()", ())[0]
            else:
                number, before = held
                tell(connection, _FORGET, [(number, before)])
                tell(connection, "UPDATE archive_job SET words = ? WHERE number = ?", [(words, number)])
                keep_fact(connection, _LEFT, "yes")
            tell(connection, "INSERT INTO archive_words (rowid, words) VALUES (?, ?)", [(number, words)])


def index_card(connection: Connection, id_: str, kind: str) -> None:
    """The same after a card was written, erased or dropped."""
    if kind in _CARDS:
        index_jobs(connection, [row[0] for row in connection.exec_driver_sql(_NAMING, (id_, id_))])


def forget_words(connection: Connection) -> None:
    """Empty the index, for the archive to be made again."""
    with leaving_no_copy(connection):
        connection.exec_driver_sql("INSERT INTO archive_words (archive_words) VALUES ('delete-all')")
        connection.exec_driver_sql("DELETE FROM archive_job")


def have_words_left(connection: Connection) -> bool:
    """Whether `tidy_words` is due."""
    return ask(connection, "SELECT 1 FROM meta WHERE key = ?", (_LEFT,)) is not None


def tidy_words(connection: Connection) -> None:
    """Take what has left the index out of it. As much work as the index is large."""
    with leaving_no_copy(connection):
        connection.exec_driver_sql("INSERT INTO archive_words (archive_words) VALUES ('optimize')")
    tell(connection, "DELETE FROM meta WHERE key = ?", [(_LEFT,)])


def _asked(form: str) -> str:
    """What the index is asked for; what it finds may still lack the middle."""
    ends = (form,) if len(form) <= 2 * _END else (form[:_END], form[-_END:])
    return "(" + " AND ".join('"' + end.replace('"', '""') + '"' for end in ends) + ")"


def words_of(connection: Connection, contact: str | None, device: str | None) -> str:
    """What the cards of a job say, one line for each place."""
    found: list[str] = []
    for id_, kind in zip((contact, device), _CARDS, strict=True):
        row = ask(connection, "SELECT body FROM doc WHERE id = ? AND kind = ? AND body IS NOT NULL", (id_, kind))
        body: dict[str, Any] = {} if row is None else msgspec.json.decode(row[0])
        for name in _IN_CARD[kind]:
            said: str = body.get(name, "")
            found.append(said)
            if name in _NUMBERS:
                found.append(_BETWEEN.sub("", said))
    return "\n".join(dict.fromkeys(filter(None, found)))
