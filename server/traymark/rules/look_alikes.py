"""Fastener groups that are easily mistaken for each other."""

from typing import Any

LOOK_ALIKE_UM = 600
"""Lengths closer than this look alike. A guess: nobody measured what people tell apart (common practice, no source)."""


def is_look_alike(one: dict[str, Any], other: dict[str, Any]) -> bool:
    """Same bit, same thread, and lengths that look alike. Heads do not help to tell them apart."""
    same = one["drive"] == other["drive"] and one["thread"] == other["thread"]
    return same and abs(one["length_um"] - other["length_um"]) < LOOK_ALIKE_UM
