"""What a record vector gives, as the views take it; what came out, as a vector has it."""

import json
from dataclasses import asdict
from typing import Any

from tests.vectors.vector_files import Vector, vector_dir
from traymark.events.envelope import Event, parse
from traymark.tables import blank_records
from traymark.views.record import customer_sheet, shop_sheet
from traymark.views.record_sheet import Known, Sheet

FORMS = ("customer", "shop")


def sheet_of(vector: Vector, form: str) -> dict[str, Any]:
    """The record in one of its forms; what is empty is left out."""
    sheet = customer_sheet(known(vector)) if form == "customer" else shop_sheet(known(vector), events_of(vector))
    return _written(sheet)


def known(vector: Vector) -> Known:
    """The job over its blank record, and a shop that holds what the vector says."""
    docs = json.loads((vector_dir() / "record/base/shop.json").read_text(encoding="utf-8")) | vector.get("docs", {})
    docs |= {id_: {"text": text} for id_, text in vector.get("texts", {}).items()}
    things = {code: blank_records()["thing"] | record for code, record in vector.get("things", {}).items()}
    job: Any = blank_records()["job"] | vector["job"]
    return Known(
        code=vector["code"],
        job=job,
        doc=docs.get,
        job_of={vector["code"]: job}.get,
        thing=things.get,
    )


def events_of(vector: Vector) -> list[Event]:
    """The events, read like any bytes."""
    parsed = [parse(json.dumps(event, ensure_ascii=False).encode()) for event in vector.get("events", [])]
    wrong = [event for event in parsed if not isinstance(event, Event)]
    if wrong:
        raise ValueError(f"{vector['name']}: {wrong}")
    return [event for event in parsed if isinstance(event, Event)]


def _written(sheet: Sheet) -> dict[str, Any]:
    def plain(value: Any) -> Any:  # JSON
        if isinstance(value, dict):
            inside = {name: plain(inner) for name, inner in value.items() if name != "marks"}
            return {name: inner for name, inner in inside.items() if inner not in ("", [], None)}
        return [plain(inner) for inner in value] if isinstance(value, list | tuple) else value

    return plain(asdict(sheet))
