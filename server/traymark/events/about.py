"""Which codes an event is about, and what else it names: the trace of a thing, a photo or a text is found by them."""

from functools import cache

from traymark.events.envelope import Event
from traymark.events.field_types import code_fields, fields_of, is_code
from traymark.tables import kinds


def codes_of(event: Event) -> tuple[str, ...]:
    """All codes in the envelope and body, the job first, without repeats."""
    job = (event.job,) if event.job else ()
    fields = _code_fields().get(event.kind, ()) if event.known else ()
    if not fields:
        return job
    found: dict[str, None] = dict.fromkeys(job)
    for name, is_list in fields:
        value = event.body.get(name)
        if is_list:
            found.update(dict.fromkeys(value or ()))
        elif value is not None and is_code(value):
            found[value] = None
    return tuple(found)


def photos_of(event: Event) -> tuple[str, ...]:
    """The photos that an event names, without repeats."""
    return _held(event, "photo")


def texts_of(event: Event) -> tuple[str, ...]:
    """The ids of the texts that an event names (F7.9), without repeats."""
    return _held(event, "words")


def names_of(event: Event) -> tuple[str, ...]:
    """Everything that the trace finds an event by."""
    return (*codes_of(event), *photos_of(event), *texts_of(event))


def _held(event: Event, type_: str) -> tuple[str, ...]:
    fields = _fields(type_).get(event.kind, ()) if event.known else ()
    if not fields:
        return ()
    found: dict[str, None] = {}
    for name in fields:
        value = event.body.get(name)
        if isinstance(value, str):
            found[value] = None
        elif value:
            found.update(dict.fromkeys(value))
    return tuple(found)


@cache
def _fields(type_: str) -> dict[str, tuple[str, ...]]:
    return {kind: found for kind, row in kinds().items() if (found := fields_of(row["fields"], type_))}


@cache
def _code_fields() -> dict[str, tuple[tuple[str, bool], ...]]:
    return {kind: code_fields(row["fields"]) for kind, row in kinds().items()}
