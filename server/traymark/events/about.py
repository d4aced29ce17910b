"""Which codes an event is about: what its trace is found by."""

from functools import cache

from traymark.events.envelope import Event
from traymark.events.field_types import code_fields, is_code
from traymark.tables import kinds


def codes_of(event: Event) -> tuple[str, ...]:
    """All codes in the envelope and body, each once, the job first."""
    if not event.known:
        return (event.job,) if event.job else ()
    found: dict[str, None] = {}
    if event.job:
        found[event.job] = None
    for name, is_list in _code_fields().get(event.kind, ()):
        value = event.body.get(name)
        if is_list:
            for item in value or ():
                found[item] = None
        elif value is not None and is_code(value):
            found[value] = None
    return tuple(found)


@cache
def _code_fields() -> dict[str, tuple[tuple[str, bool], ...]]:
    return {kind: code_fields(row["fields"]) for kind, row in kinds().items()}
