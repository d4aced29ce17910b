"""Which codes an event is about: the trace of a thing is found by them."""

from functools import cache

from traymark.events.envelope import Event
from traymark.events.field_types import code_fields, is_code
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


@cache
def _code_fields() -> dict[str, tuple[tuple[str, bool], ...]]:
    return {kind: code_fields(row["fields"]) for kind, row in kinds().items()}
