"""Finding what was put away, and reading it with its history (F8.8)."""

from collections.abc import Iterator
from typing import NamedTuple

import msgspec
from sqlalchemy import Connection

from traymark.events.about import texts_of
from traymark.events.envelope import Event, parse
from traymark.fold.away import PUT_AWAY
from traymark.log.archive_words import find_jobs
from traymark.log.live import lines_at
from traymark.log.pull import PulledLine
from traymark.log.store import Store

MOST_JOBS = 20
_MOST_EVENTS = 2_000

# Newest first, by the order in which their first events came. The plus keeps SQLite from walking the whole collection.
_JOBS = (
    "SELECT a.key FROM archive a WHERE +a.collection = 'job' AND {} ORDER BY "
    "(SELECT c.position FROM event_code c WHERE c.code = a.key ORDER BY c.position LIMIT 1) DESC LIMIT {}"
)
_BY_TICKET = _JOBS.format("a.ticket = ?", MOST_JOBS)
_BY_NUMBER = (
    "a.card IN (SELECT id FROM doc INDEXED BY doc_{0} WHERE kind = 'device' AND json_extract(body, '$.{0}') = ?)"
)
_BY_IMEI, _BY_SERIAL = (_JOBS.format(_BY_NUMBER.format(name), MOST_JOBS) for name in ("imei", "serial"))
_EVENTS = "SELECT position FROM event_code WHERE code IN ({}) ORDER BY position DESC LIMIT {}"


class Kept(NamedTuple):
    """What was put away about some codes: records as (collection, key, JSON), ids of cards and texts, and history."""

    records: list[tuple[str, str, bytes]]
    cards: list[str]
    events: list[PulledLine]


def jobs_of_ticket(store: Store, token: str) -> list[str]:
    """Jobs that were put away, by their ticket."""
    return _jobs(store, _BY_TICKET, (token,))


def jobs_of_device(store: Store, imei: str, serial: str) -> list[str]:
    """Jobs that were put away, of a device known by one of its numbers; newest first, MOST_JOBS of them."""
    by_imei = _jobs(store, _BY_IMEI, (imei,)) if imei else []
    by_serial = _jobs(store, _BY_SERIAL, (serial,)) if serial else []
    return list(dict.fromkeys(by_imei + by_serial))[:MOST_JOBS]


def jobs_of_words(store: Store, words: str) -> list[str]:
    """Jobs that were put away, by part of a customer's name, number or address, or of a device's number or model."""
    with store.database.read() as connection:
        return find_jobs(connection, words, MOST_JOBS)


def read_kept(store: Store, codes: list[str]) -> Kept:
    """What was put away under these codes, with the things that went away with a job. Of a tray only its history."""
    with store.database.read() as connection:
        found: dict[tuple[str, str], bytes] = {}
        for code in codes:
            for collection, key, text in _under(connection, code):
                found[(collection, key)] = text
        records = [(collection, key, text) for (collection, key), text in found.items()]
        named = list(dict.fromkeys([*codes, *(key for _, key, _ in records)]))
        places = ", ".join("?" * len(named))
        events = list(lines_at(connection, _EVENTS.format(places, _MOST_EVENTS), tuple(named)))
    texts = [name for line in events if isinstance(event := parse(line.raw), Event) for name in texts_of(event)]
    jobs = [msgspec.json.decode(text) for collection, _, text in records if collection == "job"]
    cards = [job[name] for job in jobs for name in ("card", "contact") if job[name]]
    return Kept(records, list(dict.fromkeys([*cards, *texts])), events)


def _jobs(store: Store, query: str, values: tuple[str, ...]) -> list[str]:
    with store.database.read() as connection:
        return [row[0] for row in connection.exec_driver_sql(query, values)]


def _under(connection: Connection, code: str) -> Iterator[tuple[str, str, bytes]]:
    """The records of a code, of its job, and of everything that went away with that."""
    rows = list(_records(connection, code))
    yield from rows
    for collection, _, text in rows:
        record = msgspec.json.decode(text)
        if collection == "thing" and record["job"] not in (None, code):
            yield from _under(connection, record["job"])
        if collection == "job":
            device = [record["device"]] if record["device"] else []
            for name in (*device, *record["parts"], *record["cores"]):
                yield from _records(connection, name)


def _records(connection: Connection, code: str) -> Iterator[tuple[str, str, bytes]]:
    for collection in PUT_AWAY:
        query = "SELECT json_text FROM archive WHERE collection = ? AND key = ?"
        row = connection.exec_driver_sql(query, (collection, code)).first()
        if row is not None:
            yield collection, code, row[0]
