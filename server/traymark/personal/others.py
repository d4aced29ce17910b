"""Other contacts that may be the same person: somebody booked in as new twice has two cards."""

import msgspec
from sqlalchemy import Connection

from traymark.log.archive_words import find_jobs

_MOST = 200

_CARD = "SELECT body FROM doc WHERE id = ? AND kind = 'contact' AND body IS NOT NULL"
_LIVE = "SELECT key, contact FROM record WHERE collection = 'job' AND contact IS NOT NULL"
_AWAY = "SELECT key, contact FROM archive WHERE collection = 'job' AND key = ?"


def jobs_of_others(connection: Connection, contact: str) -> list[str]:
    """Codes of jobs of another contact with the same name or the same number, whatever stands between its digits."""
    name, digits = _person(connection, contact)
    found = [tuple(row) for row in connection.exec_driver_sql(_LIVE)]
    for words in filter(None, (name, digits)):
        for job in find_jobs(connection, words, _MOST):
            found += [tuple(row) for row in connection.exec_driver_sql(_AWAY, (job,))]
    others = {job: other for job, other in found if other not in (None, contact)}
    people = {other: _person(connection, other) for other in set(others.values())}

    def is_same(other: str) -> bool:
        other_name, other_digits = people[other]
        return (name != "" and name == other_name) or (digits != "" and digits == other_digits)

    return sorted(job for job, other in others.items() if is_same(other))


def _person(connection: Connection, contact: str) -> tuple[str, str]:
    """Name and number of a card as they are compared; both empty without a card."""
    body = connection.exec_driver_sql(_CARD, (contact,)).scalar()
    card: dict[str, str] = {} if body is None else msgspec.json.decode(body)
    name = " ".join(card.get("name", "").casefold().split())
    return name, "".join(letter for letter in card.get("phone", "") if letter.isdigit())
