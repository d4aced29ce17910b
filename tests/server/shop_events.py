"""Events of a made-up shop for tests and benchmarks: whole jobs, in the order in which a bench writes them."""

import random
from collections.abc import Iterator
from hashlib import sha256
from itertools import repeat
from typing import Any

import msgspec

from traymark.events.chain import genesis, link
from traymark.events.field_types import ALPHABET
from traymark.events.texts import Text, taken_out
from traymark.events.write import write_event

NewEvent = tuple[str, str | None, dict[str, Any]]

_REF = "abcdefghijklmnopqrstuvwxyz0123456789"

AT_MS = 1_795_000_000_000


def code(kind: str, prefix: str, number: int) -> str:
    """A well-formed code; the server does not look at its check character."""
    letters = ""
    for _ in range(5):
        number, place = divmod(number, 32)
        letters = ALPHABET[place] + letters
    return f"{kind}{prefix}{letters}0"


def _letters(dice: random.Random, alphabet: str, count: int) -> str:
    return "".join(dice.choice(alphabet) for _ in range(count))


def job_events(number: int, prefix: str = "7K2") -> list[NewEvent]:
    """Everything that happens to one job: about fifty events of some twenty-five kinds."""
    job, device, tray = code("J", prefix, number), code("D", prefix, number), code("T", prefix, number % 40)
    part, core, box = code("P", prefix, number), code("C", prefix, number), code("B", prefix, number // 50)
    photo = sha256(f"photo {prefix} {number}".encode()).hexdigest()
    dice = random.Random(f"{prefix} {number}")
    points = ["touch", "display", "camera_back", "camera_front", "speaker", "microphone", "charging", "buttons"]
    groups = [("screw_a", 2), ("screw_b", 4), ("screw_c", 3)]
    events: list[NewEvent] = [
        ("job.booked", job, {
            "device": device, "card": _letters(dice, _REF, 20), "contact": _letters(dice, _REF, 20),
            "model": "Quillet 5",
            "complaint": "The display stays dark after a fall, sound still works", "lock": "unlocked",
            "consents": ["data", "liquid"], "price_limit_minor": 12000, "promised_at_ms": AT_MS + 86_400_000,
            "ticket": _letters(dice, ALPHABET, 26),
        }),
        ("mark.noted", job, {
            "mark": f"m{number}", "side": "front", "what": "crack", "x_pm": 310, "y_pm": 620, "photos": [photo],
        }),
        ("photo.taken", job, {"photo": photo, "use": "intake", "bytes": 210_000, "width": 1600, "height": 1200}),
        *(("test.read", job, {"stage": "intake", "point": p, "result": "pass"}) for p in points),
        ("thing.moved", job, {"thing": device, "to": tray, "after": []}),
        ("thing.moved", job, {"thing": tray, "to": "bench", "after": []}),
        ("job.started", job, {"procedure": "quillet5-display", "revision": 1}),
        ("liquid.inspected", job, {"indicator": "untouched", "signs": [], "photos": []}),
        ("power.isolated", job, {"battery": "sound", "photos": [], "step": "power"}),
    ]  # fmt: skip
    for pocket, (group, count) in enumerate(groups, 1):
        events.append(
            ("fastener.removed", job, {"step": f"open-{group}", "group": group, "pocket": pocket, "count": count})
        )
        events.append(("step.done", job, {"step": f"open-{group}"}))
    events += [
        ("connector.unplugged", job, {"step": "flex", "connector": "display"}),
        (
            "part.received",
            None,
            {
                "part": part,
                "name": "Display",
                "part_kind": "display",
                "supplier": "north",
                "lot": "L17",
                "shipping_caution": "none",
            },
        ),
        ("part.assigned", job, {"part": part}),
        *(("test.read", job, {"stage": "prefit", "point": p, "result": "pass", "try": 1}) for p in points[:4]),
        ("prefit.tried", job, {"try": 1, "part": part, "action": "first", "outcome": "pass", "failed": []}),
        ("part.judged", None, {"part": part, "verdict": "good"}),
        ("connector.plugged", job, {"step": "flex-back", "connector": "display"}),
    ]
    for pocket, (group, count) in enumerate(groups, 1):
        events.append(
            ("fastener.returned", job, {"step": f"close-{group}", "group": group, "pocket": pocket, "count": count})
        )
    events += [
        *(("test.read", job, {"stage": "final", "point": p, "result": "pass"}) for p in points),
        ("core.tagged", job, {
            "core": core, "name": "Display", "part_kind": "display", "supplier": "north", "condition": "cracked",
            "purpose": "credit", "replaced_by": part, "shipping_caution": "none", "photos": [],
        }),
        ("leftover.checked", job, {"photos": [], "traces": "removed"}),
        ("thing.moved", None, {"thing": core, "to": box, "after": []}),
        ("customer.told", job, {"channel": "message", "what": "ready"}),
        ("job.handed_over", job, {"device": device, "checked": "scanned"}),
    ]  # fmt: skip
    return events


def shop_day(count: int, jobs: int, at_once: int = 20, seed: int = 1, prefix: str = "7K2") -> Iterator[NewEvent]:
    """`count` events of `jobs` jobs, about `at_once` of them under way at any time."""
    dice = random.Random(seed)
    coming = iter(range(jobs))
    under_way = [iter(job_events(n, prefix)) for n, _ in zip(coming, range(at_once), strict=False)]
    made = 0
    while made < count:
        if not under_way:
            under_way.append(
                iter([("note.added", code("J", prefix, dice.randrange(jobs)), {"note": "Looked at again"})])
            )
        place = dice.randrange(len(under_way))
        event = next(under_way[place], None)
        if event is not None:
            made += 1
            yield event
            continue
        number = next(coming, None)
        if number is None:
            under_way.pop(place)
        else:
            under_way[place] = iter(job_events(number, prefix))


def _apart(kind: str, job: str | None, body: dict[str, Any]) -> tuple[dict[str, Any], list[Text]]:
    """A body with its texts named; one that is not sound stays as it is."""
    try:
        named, texts = taken_out(kind, job, body, repeat("0" * 26))
    except (TypeError, KeyError):
        return body, []
    return (named, texts) if all(text.text for text in texts) else (body, [])


class Writer:
    """The chain of one station: writes events and packs them into batches."""

    def __init__(self, station: str, incarnation: str) -> None:
        self.station, self.incarnation = station, incarnation
        self.lines: list[bytes] = []
        self.texts: list[Text] = []
        self.hashes = [genesis(station, incarnation)]

    def write(self, kind: str, job: str | None, body: dict[str, Any], at_ms: int = AT_MS) -> bytes:
        """The next event of the chain; its texts are kept in `texts`."""
        seq = len(self.lines) + 1
        named, texts = _apart(kind, job, body)
        self.texts += texts
        return self.keep(write_event(kind, self.station, self.incarnation, seq, "W001", at_ms + seq, job, named))

    def keep(self, raw: bytes) -> bytes:
        """Add any bytes as the next event of the chain."""
        self.lines.append(raw)
        self.hashes.append(link(self.hashes[-1], raw))
        return raw

    def body(self, first: int = 1, last: int | None = None, **header: Any) -> bytes:
        """A push body of the events `first` to `last`; `header` overrides members of the header."""
        last = len(self.lines) if last is None else last
        told = {
            "incarnation": self.incarnation, "first_seq": first,
            "prev": self.hashes[first - 1].hex(), "head": self.hashes[last].hex(),
        } | header  # fmt: skip
        return b"\n".join([msgspec.json.encode(told), *self.lines[first - 1 : last]])
