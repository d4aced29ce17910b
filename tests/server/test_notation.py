"""A log and heads in the notation of FORMAT F10; the examples are those of its clauses."""

from tests.notation import heads_in_notation, log_in_notation
from tests.server.shop_events import Writer


def places(writer: Writer) -> list[tuple[str, int, bytes]]:
    return [(writer.incarnation, seq, raw) for seq, raw in enumerate(writer.lines, 1)]


def test_runs_beginnings_malformed_and_unknown_events_and_forks() -> None:
    desk, copy = Writer("S7K2", "7K2"), Writer("S7K2", "7K2")
    for writer, text in ((desk, "one"), (copy, "other")):
        for _ in range(3):
            writer.write("note.added", "J7K200003Z", {"note": text})
    later = Writer("S7K2", "8AA")
    later.write("station.began", None, {"reason": "forked", "old_incarnation": "7K2", "old_seq": 3})
    later.write("note.added", "J7K200003Z", {"note": "two"})
    later.write("note.added", "J7K200003Z", {"note": 2})
    later.write("kind.unheard", None, {})
    later.keep(b"no JSON")
    log = places(desk) + places(later)
    assert log_in_notation(log) == "7K2.1..3 8AA.1<7K2 8AA.2 8AA.3!bad-field 8AA.4? 8AA.5!event-not-json"
    assert log_in_notation(places(desk)[:1] + places(later)[1:2] + places(desk)[1:]) == "7K2.1 8AA.2 7K2.2..3"
    apart = [raw for _, _, raw in places(copy)[1:]]
    assert log_in_notation(places(desk), apart) == "7K2.1..3; 7K2.2'..3'"
    assert log_in_notation([("9ZZ", 1, desk.lines[0])]) == "9ZZ.1!envelope-field"


def test_heads() -> None:
    head = {"staff": None, "at_ms": 0, "why": None}
    clash = {"7K2.4": {"to": "shelf", **head}, "9ZZ.2": {"to": "bench", **head}}
    assert heads_in_notation({"heads": clash}) == "{7K2.4 shelf, 9ZZ.2 bench}"
