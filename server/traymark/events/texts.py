"""Texts that people write freely: outside the log, named in events by their salted hash (F7.9)."""

from collections.abc import Iterator
from functools import cache
from hashlib import sha256
from typing import Any, NamedTuple

from traymark.events.field_types import code_fields, fields_of
from traymark.tables import kinds

TEXT = "text"
"""The kind of their cards."""
MOST_CHARACTERS = 600
"""Of the longest text that a field names."""

_DOMAIN = "traymark.text.v1"


class Text(NamedTuple):
    """A text, the code it is about, and a salt, without which a short one could be guessed from its hash."""

    of: str
    salt: str
    text: str

    @property
    def id(self) -> str:
        """What events name it by."""
        return sha256("\n".join((_DOMAIN, *self)).encode()).hexdigest()


def is_named_by(id_: str, body: dict[str, Any]) -> bool:
    """Whether the body of a card is the text that this id names."""
    members = [body.get(name) for name in Text._fields]
    return all(isinstance(member, str) for member in members) and Text(*map(str, members)).id == id_


def taken_out(
    kind: str, job: str | None, body: dict[str, Any], salts: Iterator[str]
) -> tuple[dict[str, Any], list[Text]]:
    """A body as it goes into an event, which names its texts; and those texts, each with the next salt."""
    fields = [name for name in _word_fields().get(kind, ()) if name in body]
    if not fields:
        return body, []
    of = job or _first_code(kind, body)
    texts = [Text(of, next(salts), body[name]) for name in fields]
    return body | {name: text.id for name, text in zip(fields, texts, strict=True)}, texts


def _first_code(kind: str, body: dict[str, Any]) -> str:
    name, is_list = code_fields(kinds()[kind]["fields"])[0]
    return body[name][0] if is_list else body[name]


@cache
def _word_fields() -> dict[str, tuple[str, ...]]:
    return {kind: fields_of(row["fields"], "words") for kind, row in kinds().items()}
