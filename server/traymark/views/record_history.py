"""Events as sentences: the text of events.json with its gaps filled in words. The app says the same."""

import re
from collections.abc import Iterable
from typing import Any, cast

from traymark.events.envelope import Event
from traymark.rules.procedure import derive
from traymark.tables import kinds
from traymark.views.record_sheet import Fact, Known
from traymark.views.record_words import (
    because_words,
    grouped,
    line,
    moment,
    plain,
    point_name,
    procedure_of,
    staff_name,
    supplier_name,
    text_of,
    told_words,
    value_word,
    words,
)

_REMARKS = ("complaint", "because", "why", "note", "reference", "replaced_by", "say", "owner_told", "paper")
_CHOSEN = "enum(because)"
_OF_A_PERSON = ("text", "words", _CHOSEN)


def entries(known: Known, events: Iterable[Event]) -> Iterable[Fact]:
    """Every event of a job in the log's order: when and who, and what."""
    for event in events:
        said = [sentence(known, event), *(f"“{remark}”" for remark in remarks(known, event))]
        yield f"{moment(known, event.at_ms)}, {staff_name(known, event.staff)}", " ".join(said)


def sentence(known: Known, event: Event) -> str:
    """What an event says; one of a newer version is named as such."""
    row = kinds().get(event.kind) if event.known else None
    if row is None:
        return line("newer", kind=plain(event.kind))
    return re.sub(r"\{(\w+)\}", lambda gap: _filled(known, event, gap[1]), row["text"])


def remarks(known: Known, event: Event) -> list[str]:
    """What a person wrote or chose that the sentence leaves out: reasons, notes, references."""
    if not event.known:
        return []
    text = str(kinds()[event.kind]["text"])
    said = [field for field in _REMARKS if field in event.body and f"{{{field}}}" not in text]
    return [_remark(known, event, field) for field in said if _notation(event, field).startswith(_OF_A_PERSON)]


def _remark(known: Known, event: Event, field: str) -> str:
    value, notation = str(event.body[field]), _notation(event, field)
    if notation == _CHOSEN:
        return because_words(str(event.body["point"]), value)
    return text_of(known, value) if notation.startswith("words") else value


def _notation(event: Event, field: str) -> str:
    fields = kinds()[event.kind]["fields"]
    return str(fields.get(field, fields.get(f"{field}?", "")))


def _filled(known: Known, event: Event, field: str) -> str:
    value = event.body.get(field)
    if value is None:
        return line("not_said")
    if isinstance(value, int):
        return f"{value:,}"
    notation, text = _notation(event, field), str(value)
    if notation.startswith("enum"):
        return value_word(notation[5:-1], text)
    if notation.startswith("code"):
        return _thing_name(known, text) if field == "thing" else grouped(text)
    if notation == "place":
        return _place_name(text)
    if notation.startswith("words"):
        return text_of(known, text)
    return _slug_word(known, event, field, text) if notation == "slug" else text


def _thing_name(known: Known, code: str) -> str:
    """What a thing is called: its name when it has one, and its code."""
    thing, job = known.thing(code), known.job_of(code)
    kind = words("things").get(code[:1], "Thing")
    if code == known.code:
        return kind
    name = (thing or {"name": None})["name"] or (job or {"model": None})["model"]
    return f"{kind} {grouped(code)}" if name is None else f"{kind} {grouped(code)}, {name}"


def _place_name(place: str) -> str:
    """The end of "moved to ..."."""
    named = words("moved_to").get(place)
    return named or f"{words('things').get(place[:1], 'place').lower()} {grouped(place)}"


def _slug_word(known: Known, event: Event, field: str, value: str) -> str:
    """The name that the tables, the catalogue or the job's own procedure have for a slug; else the slug, spelt out."""
    if field == "supplier":
        name = supplier_name(known, value)
        return plain(value) if name == value else name
    if event.kind == "customer.told":
        return told_words(value)
    if field == "point":
        name = point_name(value)
        return plain(value) if name == value else name
    job = known.job
    if field == "procedure":
        revision = event.body.get("revision", job["revision"])
        return str((procedure_of(known, value, revision) or {}).get("title", plain(value)))
    followed = procedure_of(known, job["procedure"], job["revision"]) if event.job == known.code else None
    if followed is None:
        return plain(value)
    if field == "step":
        return next((step["title"] for step in derive(followed) if step["id"] == value), plain(value))
    named = cast("list[dict[str, Any]]", followed.get({"group": "fasteners"}.get(field, f"{field}s"), []))
    return next((str(row["name"]) for row in named if row["id"] == value), plain(value))
