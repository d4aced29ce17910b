"""Events of a job as lines of a record: when, who, what (the texts of events.json)."""

import re
from collections.abc import Callable, Iterable

from traymark.events.envelope import Event
from traymark.tables import kinds
from traymark.views.record_words import entry_word
from traymark.views.ticket_page import moment_text


def history_lines(
    events: Iterable[Event], staff_name: Callable[[str | None], str], time_zone: str
) -> list[tuple[str, str, str]]:
    """One line an event, in the log's order."""
    return [(_moment(event.at_ms, time_zone), staff_name(event.staff), sentence(event)) for event in events]


def _moment(at_ms: int, time_zone: str) -> str:
    """Without the day of the week."""
    return moment_text(at_ms, time_zone).partition(" ")[2]


def sentence(event: Event) -> str:
    """What an event says, with what a person wrote beside it; one of a newer version is named as such."""
    row = kinds().get(event.kind) if event.known else None
    if row is None:
        return f"From a newer version: {event.kind}"
    said = re.sub(r"\{(\w+)\}", lambda gap: _filled(event, gap[1]), row["text"])
    remarks = [str(event.body[name]) for name in _REMARKS if name in event.body and f"{{{name}}}" not in row["text"]]
    return ". ".join([said, *remarks])


_REMARKS = ("complaint", "why", "note", "reference", "replaced_by", "say", "owner_told", "paper")


def _filled(event: Event, field: str) -> str:
    value = event.body.get(field)
    if value is None:
        return "not said"
    notation = str(kinds()[event.kind]["fields"].get(field, kinds()[event.kind]["fields"].get(f"{field}?", "")))
    text = str(value)
    if notation.startswith("enum("):
        return entry_word(notation[5:-1], text)
    return text.replace("_", " ") if notation.startswith(("enum", "slug")) else text
