"""What belongs to a customer's jobs: cards, texts and photos."""

from collections.abc import Iterator
from typing import Any, NamedTuple

import msgspec
from sqlalchemy import Connection

from traymark.events.about import photos_of, texts_of
from traymark.events.envelope import Event, parse
from traymark.log.erasing import is_erased_job
from traymark.log.rows import NOT_PERSONAL

# The plus keeps SQLite from walking the whole collection.
_JOBS = "SELECT key, json_text FROM {0} INDEXED BY {0}_{1} WHERE +collection = 'job' AND {1} = ? ORDER BY key"
_JOB = "SELECT key, json_text FROM {} WHERE collection = 'job' AND key = ?"
_EVENTS = "SELECT e.raw FROM event_code c JOIN event e ON e.position = c.position WHERE c.code = ? ORDER BY c.position"
_TEXTS_ABOUT = "SELECT id FROM doc WHERE kind = 'text' AND json_extract(body, '$.of') = ?"
_PROCEDURES = (
    f"SELECT 1 FROM doc INDEXED BY doc_document WHERE {NOT_PERSONAL} AND kind = 'procedure' "  # noqa: S608  # our own words
    "AND instr(body, ?) > 0 LIMIT 1"
)


class JobHeld(NamedTuple):
    """A job as the fold has it, live or put away."""

    code: str
    record: dict[str, Any]


class Belongings(NamedTuple):
    """Ids of cards and texts, and hashes of photos; among them what is named and has not come yet."""

    contacts: list[str]
    devices: list[str]
    texts: list[str]
    photos: list[str]


def jobs_of(connection: Connection, contact: str) -> list[JobHeld]:
    """All jobs of a customer."""
    return list(_jobs(connection, "contact", contact))


def job_held(connection: Connection, code: str) -> JobHeld | None:
    """One job."""
    return next(_read(connection, _JOB, code), None)


def belongings_of(connection: Connection, jobs: list[JobHeld]) -> Belongings:
    """What belongs to these jobs and to no other one that was not erased. What procedures show is not among it."""
    codes = {job.code for job in jobs}
    about = dict.fromkeys(
        code for job in jobs for code in (job.code, job.record["device"], *job.record["cores"]) if code
    )
    photos: dict[str, None] = {}
    texts: dict[str, None] = {}
    for code in about:
        texts.update(dict.fromkeys(row[0] for row in connection.exec_driver_sql(_TEXTS_ABOUT, (code,))))
    for code in codes:
        for event in _events(connection, code):
            photos.update(dict.fromkeys(photos_of(event)))
            texts.update(dict.fromkeys(texts_of(event)))

    def cards(name: str) -> list[str]:
        refs = dict.fromkeys(job.record[name] for job in jobs if job.record[name])
        return [ref for ref in refs if _is_free(connection, name, ref, codes)]

    return Belongings(
        contacts=cards("contact"),
        devices=cards("card"),
        texts=list(texts),
        photos=[photo for photo in photos if _is_of(connection, photo, codes)],
    )


def _jobs(connection: Connection, column: str, ref: str) -> Iterator[JobHeld]:
    return _read(connection, _JOBS.replace("{1}", column), ref)


def _read(connection: Connection, query: str, value: str) -> Iterator[JobHeld]:
    for table in ("record", "archive"):
        for code, text in connection.exec_driver_sql(query.format(table), (value,)).fetchall():
            yield JobHeld(code, msgspec.json.decode(text))


def _events(connection: Connection, name: str) -> Iterator[Event]:
    for (raw,) in connection.exec_driver_sql(_EVENTS, (name,)).fetchall():
        event = parse(raw)
        if isinstance(event, Event):
            yield event


def _is_free(connection: Connection, column: str, ref: str, codes: set[str]) -> bool:
    """Whether a card is named by these jobs alone, and by others that were erased."""
    others = (job.code for job in _jobs(connection, column, ref) if job.code not in codes)
    return all(is_erased_job(connection, code) for code in others)


def _is_of(connection: Connection, photo: str, codes: set[str]) -> bool:
    """Whether a photo is named by events of these jobs alone."""
    if connection.exec_driver_sql(_PROCEDURES, (photo,)).first() is not None:
        return False
    return all(event.job in codes or event.job is None for event in _events(connection, photo))
