"""What a server holds, in the notation of FORMAT F10, so that a test says it in one line."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from traymark.events.envelope import Rejected, parse


def log_in_notation(log: Iterable[tuple[str, int, bytes]], apart: Sequence[bytes] = ()) -> str:
    """A log as (incarnation, seq, bytes), with what the server keeps apart of it (F10.1, F10.2)."""
    forks = [(event.incarnation, event.seq, raw) for raw in dict.fromkeys(apart) if (event := _sound(raw))]
    return _runs(log) if not forks else f"{_runs(log)}; {_runs(forks, prime=chr(39))}"


def heads_in_notation(thing: Mapping[str, Any]) -> str:
    """The heads of a thing and where they say it is (F10.4)."""
    return "{" + ", ".join(f"{event} {head['to']}" for event, head in thing["heads"].items()) + "}"


def _runs(lines: Iterable[tuple[str, int, bytes]], prime: str = "") -> str:
    words: list[str] = []
    run: tuple[str, int, int] | None = None
    for incarnation, seq, raw in lines:
        more = _suffix(incarnation, seq, raw)
        if not more and run and (run[0], run[2] + 1) == (incarnation, seq):
            run = (incarnation, run[1], seq)
            words[-1] = f"{incarnation}.{run[1]}{prime}..{seq}{prime}"
            continue
        run = None if more else (incarnation, seq, seq)
        words.append(f"{incarnation}.{seq}{prime}{more}")
    return " ".join(words)


def _suffix(incarnation: str, seq: int, raw: bytes) -> str:
    event = parse(raw)
    if isinstance(event, Rejected):
        return f"!{event.slug}"
    if (event.incarnation, event.seq) != (incarnation, seq):
        return "!envelope-field"
    if not event.known:
        return "?"
    before = event.body.get("old_incarnation") if event.kind == "station.began" else None
    return f"<{before}" if before else ""


def _sound(raw: bytes) -> Any:
    event = parse(raw)
    assert not isinstance(event, Rejected), event
    return event
