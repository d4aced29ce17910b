"""Writing an event once (F2.1)."""

from typing import Any

import msgspec


def write_event(
    kind: str,
    station: str,
    incarnation: str,
    seq: int,
    staff: str | None,
    at_ms: int,
    job: str | None,
    body: dict[str, Any],
) -> bytes:
    """The bytes of an event. They are not checked here; `parse` does that."""
    return msgspec.json.encode(
        {
            "v": 1,
            "kind": kind,
            "station": station,
            "incarnation": incarnation,
            "seq": seq,
            "staff": staff,
            "at_ms": at_ms,
            "job": job,
            "body": body,
        }
    )
