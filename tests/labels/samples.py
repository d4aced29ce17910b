"""One label of each kind, and more with other codes. Shop, supplier, models and people are invented."""

from itertools import count
from typing import Any

from traymark_labels import make_badge, mint

PREFIX = "7K2"
TICKET = "7K2M9QX4D1RVB8TZ0HNC5WJ3EA"  # 26 letters of the alphabet, drawn once
URL = f"https://bench.local:8443/T/{TICKET}"
BADGE_LETTERS = "Q4ZT81MXB7D0KVN"

DPI = (203, 300, 600)

SAMPLES: dict[str, dict[str, str | int]] = {
    "ticket": {
        "url": URL,
        "job": mint("J", PREFIX, 0).code,
        "shop": "Lindenhof Phone & Tablet Repair",
        "phone": "0555 010 200",
        "model": "Quillet 5, slate, 128 GB",
        "promised": "Thursday 27 November, 17:30",
    },
    "device": {
        "code": mint("D", PREFIX, 0).code,
        "job": mint("J", PREFIX, 0).code,
        "model": "Quillet 5, slate, 128 GB",
        "battery_caution": "battery_unsafe",
    },
    "tray": {"code": mint("T", PREFIX, 0).code, "name": "12"},
    "part": {
        "code": mint("P", PREFIX, 0).code,
        "part": "Display, black",
        "supplier": "Harrow Vale Parts",
        "lot": "HV-2611-A",
        "battery_caution": "battery_inside",
    },
    "core": {
        "code": mint("C", PREFIX, 0).code,
        "job": mint("J", PREFIX, 0).code,
        "part": "Display assembly, black, with frame",
        "supplier": "Harrow Vale Parts",
        "condition": "cracked",
        "purpose": "credit",
        "battery_caution": "battery_inside",
    },
    "box": {
        "code": mint("B", PREFIX, 0).code,
        "supplier": "Harrow Vale Parts",
        "purpose": "credit",
        "count": 24,
        "contents": "Displays and display assemblies, each in its own bag with its core label",
        "weight_g": 2345,
        "battery_caution": "battery_loose",
    },
    "badge": {
        "code": make_badge("W00A", [BADGE_LETTERS[n:] + BADGE_LETTERS[:n] for n in range(15)]),
        "name": "Marla Öztürk-Lindqvist",
        "role": "Technician",
        "shop": "Lindenhof Phone & Tablet Repair",
    },
}


def with_counter(kind: str, number: int) -> dict[str, Any]:
    """The sample of a kind with a different code for each number."""
    letters = {"ticket": "J", "device": "D", "tray": "T", "part": "P", "core": "C", "box": "B"}
    if kind == "badge":
        letters_of = (f"{number:06}{n:03}"[:9] + BADGE_LETTERS[:6] for n in count())
        return {**SAMPLES[kind], "code": make_badge("W00A", letters_of)}
    code = mint(letters[kind], PREFIX, 20 * number).code
    if kind == "ticket":
        return {**SAMPLES[kind], "job": code, "url": f"{URL[:-6]}{number:06}"}
    return {**SAMPLES[kind], "code": code}


def longest(kind: str) -> dict[str, Any]:
    """The sample with every free text at its greatest length."""
    from traymark_labels.kinds import label_kinds

    texts = {
        name: ("Wide Mmm " * field.most)[: field.most].strip()
        for name, field in label_kinds()[kind].fields.items()
        if field.type == "text"
    }
    return {**SAMPLES[kind], **texts}
