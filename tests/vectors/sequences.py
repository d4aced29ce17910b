"""Random logs from a seed: several stations, sound events, and every way to go wrong.

Only the generator's `random()` is used: Python promises the same numbers for a seed in every version.
"""

import json
import re
from collections.abc import Callable, Sequence
from pathlib import Path
from random import Random
from typing import Any, NamedTuple, TypeVar

from tests.vectors.fold_runs import folded, hash_of
from traymark.events.about import codes_of
from traymark.events.envelope import Event, parse
from traymark.fold.fold import Entry
from traymark.tables import enums, kinds, places

KEPT = Path(__file__).with_name("sequences.ndjson")
"""Logs kept in the repository, so that the TypeScript runner has some without Python."""

CHAINS = {"7K2": "S001", "9QX": "S002", "9QY": "S001", "123": "S003"}
STAFF = ("W001", "W001", "W002", "WZZZ", None)
JOBS = ("J7K200002Y", "J9QX00002Z")
CODES = {letter: (f"{letter}7K200002Y", f"{letter}9QX00003A") for letter in "JDTPCB"}
SLUGS = ("a", "b", "constructor", "x-1", "z_" * 20)
TEXTS = ("x", "Größe 🔧", "tab\tand\nline", '"\\/', "\u2028\ufeff", "-0, 1.5, [{", "🔧" * 40)
ODD_VALUES = (
    None,
    True,
    False,
    0,
    1,
    -1,
    2**53 - 1,
    2**53,
    -(2**53),
    1.5,
    "",
    "x",
    [],
    {},
    [None],
    ["a", "a"],
    {"a": 1},
)
ODD_TOKENS = ("-0", "1.0", "1e2", "1E400", "9007199254740992", "-9007199254740993", "01", "NaN", "9" * 400, "[[]]")
ODD_ESCAPES = ("\\ud83d", "\\udd27", "\\ud83d\\udd27", "\\u0000", "\\u0085", "\\\\ud83d", "\\b", "\\x", "\\")
ODD_NAMES = ("__proto__", "constructor", "", "10", "9", "a/b~c", "é🔑", "toString", "length")
BYTES = '{}[]",:\\ \t\r0-1.eE+ntf\x00\x7f\x85é🔧'


T = TypeVar("T")


class Line(NamedTuple):
    """A line of a log: incarnation and seq, and its text, sound or not."""

    incarnation: str
    seq: int
    text: str


def sequence(seed: int, length: int = 60) -> list[Line]:
    """The log of a seed, in the order of positions."""
    dice = _Dice(Random(seed))
    seqs = dict.fromkeys(CHAINS, 0)
    moved: list[str] = []
    lines: list[Line] = []
    while len(lines) < length:
        incarnation = dice.one_of(tuple(CHAINS))
        if lines and dice.chance(0.05):
            lines.append(dice.one_of(lines))
            continue
        seqs[incarnation] += 1 if dice.chance(0.95) else 3
        seq = seqs[incarnation] if dice.chance(0.97) else 1 + dice.below(seqs[incarnation])
        event = _event(dice, incarnation, seq, moved)
        if event["kind"] == "thing.moved":
            moved.append(f"{incarnation}.{seq}")
        lines.append(Line(incarnation, seq, _written(dice, event)))
    return lines


def judged(seed: int, lines: list[Line]) -> dict[str, Any]:
    """A log with what Python makes of it, for TypeScript to compare."""
    events = [parse(line.text.encode()) for line in lines]
    entries = [Entry(line.incarnation, line.seq, event) for line, event in zip(lines, events, strict=True)]
    return {
        "seed": seed,
        "lines": lines,
        "verdicts": [_verdict(e) if isinstance(e, Event) else f"{e.slug} {e.pointer}" for e in events],
        "codes": [list(codes_of(e)) if isinstance(e, Event) else [] for e in events],
        "hash": hash_of(folded(entries)),
    }


def kept_text() -> str:
    """The kept logs with what Python makes of them today. Their lines stay: with a new kind a seed gives others.

    A log over which the languages once differed is added by hand, with a vector of its own for what it showed.
    """
    kept = [json.loads(row) for row in KEPT.read_text(encoding="utf-8").splitlines()]
    return "".join(json.dumps(judged(row["seed"], [Line(*line) for line in row["lines"]])) + "\n" for row in kept)


class _Dice:
    """Choices made from `random()` alone."""

    def __init__(self, random: Random) -> None:
        self._random = random

    def below(self, most: int) -> int:
        return int(self._random.random() * most)

    def chance(self, share: float) -> bool:
        return self._random.random() < share

    def one_of(self, choices: Sequence[T]) -> T:
        return choices[self.below(len(choices))]


def _event(dice: _Dice, incarnation: str, seq: int, moved: list[str]) -> dict[str, Any]:
    kind = dice.one_of(tuple(kinds()))
    if kind.endswith(".put_away") and dice.chance(0.6):  # what comes after it changes little
        kind = dice.one_of(tuple(kinds()))
    row = kinds()[kind]
    body: dict[str, Any] = {}
    for name, notation in row["fields"].items():
        if not name.endswith("?") or dice.chance(0.5):
            body[name.removesuffix("?")] = _value(dice, notation, moved)
    return {
        "v": 1,
        "kind": kind,
        "station": CHAINS[incarnation],
        "incarnation": incarnation,
        "seq": seq,
        "staff": dice.one_of(STAFF),
        "at_ms": 1_790_000_000_000 + dice.below(1_000_000),
        "job": dice.one_of(JOBS) if row.get("job") or dice.chance(0.1) else None,
        "body": body,
    }


def _value(dice: _Dice, notation: str, moved: list[str]) -> Any:
    """A value that fits a notation of F2.5, mostly from a small set, so that events hit the same records."""
    match = re.fullmatch(r"([a-z_]+)(?:\((.*)\))?", notation)
    assert match is not None
    name, arguments = match[1], match[2] or ""
    if name == "list":
        inner, _, most = arguments.rpartition(",")
        if inner == "event":
            return [dice.one_of(moved) for _ in range(dice.below(4))] if moved else []
        return [_value(dice, inner, moved) for _ in range(dice.below(min(int(most), 3) + 1))]
    if name == "int":
        low, high = (int(n) for n in arguments.split(","))
        return dice.one_of((low, high, min(high, low + 1), min(high, low + 2)))
    if name in ("enum", "enum_of"):
        return dice.one_of(enums()[arguments] if name == "enum" else arguments.split(","))
    if name == "words":
        return dice.one_of(("b" * 64, "fedcba9876543210" * 4))
    if name == "text":
        return dice.one_of(TEXTS)[: int(arguments)]
    if name == "code":
        return dice.one_of(CODES[dice.one_of(arguments.split(",") if arguments else tuple(CODES))])
    if name == "place":
        return dice.one_of((*sorted(places()), *CODES["T"], *CODES["B"], *CODES["B"], *CODES["B"]))
    few: dict[str, Callable[[], str]] = {
        "slug": lambda: dice.one_of(SLUGS),
        **dict.fromkeys(("hash", "photo"), lambda: dice.one_of(("a" * 64, "0123456789abcdef" * 4))),
        "ref": lambda: "card0000000000000001",
        "token": lambda: "0123456789ABCDEFGHJKMNPQRS",
        "incarnation": lambda: dice.one_of(tuple(CHAINS)),
        "event": lambda: f"{dice.one_of(tuple(CHAINS))}.{1 + dice.below(20)}",
    }
    return few[name]()


def _written(dice: _Dice, event: dict[str, Any]) -> str:
    """The event's text; one in three is spoiled in one way."""
    if dice.chance(0.66):
        return _dump(event)
    return dice.one_of(
        (_odd_member, _odd_field, _less, _more, _odd_token, _odd_escape, _odd_bytes, _cut, _newer, _deep, _large)
    )(dice, event)


def _odd_member(dice: _Dice, event: dict[str, Any]) -> str:
    return _dump({**event, dice.one_of(tuple(event)): dice.one_of(ODD_VALUES)})


def _odd_field(dice: _Dice, event: dict[str, Any]) -> str:
    if not event["body"]:
        return _dump({**event, "body": dice.one_of(ODD_VALUES)})
    return _dump({**event, "body": {**event["body"], dice.one_of(tuple(event["body"])): dice.one_of(ODD_VALUES)}})


def _less(dice: _Dice, event: dict[str, Any]) -> str:
    inside = event["body"] if event["body"] and dice.chance(0.7) else event
    gone = dice.one_of(tuple(inside))
    left = {name: value for name, value in inside.items() if name != gone}
    return _dump(left if inside is event else {**event, "body": left})


def _more(dice: _Dice, event: dict[str, Any]) -> str:
    extra = {dice.one_of(ODD_NAMES): dice.one_of(ODD_VALUES) for _ in range(1 + dice.below(3))}
    return _dump({**event, "body": {**event["body"], **extra}} if dice.chance(0.7) else {**event, **extra})


def _odd_token(dice: _Dice, event: dict[str, Any]) -> str:
    """Instead of a number, one written as F2.4 forbids, or something that is no number."""
    text = _dump(event)
    places_of = [match.span() for match in re.finditer(r"(?<=[:,\[])-?[0-9]+", text)]
    start, end = dice.one_of(places_of)
    return text[:start] + dice.one_of(ODD_TOKENS) + text[end:]


def _odd_escape(dice: _Dice, event: dict[str, Any]) -> str:
    text = _dump(event)
    at = dice.one_of([match.end() for match in re.finditer(r'[:,\[{]"', text)])
    return text[:at] + dice.one_of(ODD_ESCAPES) + text[at:]


def _odd_bytes(dice: _Dice, event: dict[str, Any]) -> str:
    """A few characters changed, inserted or dropped anywhere."""
    text = _dump(event)
    for _ in range(1 + dice.below(3)):
        at = dice.below(len(text))
        text = text[:at] + dice.one_of(("", dice.one_of(tuple(BYTES)))) + text[at + dice.below(2) :]
    return text


def _cut(dice: _Dice, event: dict[str, Any]) -> str:
    return _dump(event)[: dice.below(400)]


def _newer(dice: _Dice, event: dict[str, Any]) -> str:
    newer = {"v": 2} if dice.chance(0.5) else {"kind": dice.one_of(("drone.dispatched", "constructor.name"))}
    return _dump({**event, **newer, "body": {dice.one_of(ODD_NAMES): dice.one_of(ODD_VALUES)}})


def _deep(dice: _Dice, event: dict[str, Any]) -> str:
    depth = dice.one_of((13, 14, 15, 16, 2000))
    return _dump({**event, "kind": "drone.dispatched", "body": {"x": 0}}).replace(
        ":0}}", f":{'[' * depth}{']' * depth}}}}}"
    )


def _large(dice: _Dice, event: dict[str, Any]) -> str:
    text = _dump(event)
    return text + " " * (16_384 - len(text.encode()) + dice.below(2))


def _dump(event: dict[str, Any]) -> str:
    return json.dumps(event, ensure_ascii=False, separators=(",", ":"))


def _verdict(event: Event) -> str:
    return "event" if event.known else "unknown"
