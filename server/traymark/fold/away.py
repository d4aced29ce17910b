"""What was put away (F5.11): the marks that stay of it in the live state."""

from bisect import bisect_right
from collections.abc import Callable

from traymark_labels.codes import mint

Ranges = list[list[int]]
"""From and to, both included, in ascending order; none touches the next."""

PUT_AWAY = ("job", "thing", "box")
"""The collections whose records can be put away. Their keys are codes."""

TRAY = "T"
"""The kind of code that is never put away, and may be printed long before it is used."""

_KINDS = "JDTPCB"

MOST_BETWEEN = 16
"""Ranges with no more counters between them are joined when there is no record under any of those. Most of such
counters were never used: one in seven gives no code of a kind (F1.2)."""

# Digits of base 32 as Python reads them, in place of those of the code alphabet (F1.1).
_DIGITS = str.maketrans("0123456789ABCDEFGHJKMNPQRSTVWXYZ", "0123456789abcdefghijklmnopqrstuv")


def prefix_of(code: str) -> str:
    """The incarnation that minted a code (F1.3)."""
    return code[1:4]


def counter_of(code: str) -> int:
    """The counter that a code was made from (F1.2)."""
    return int(code[4:9].translate(_DIGITS), 32)


def holds(ranges: Ranges, counter: int) -> bool:
    """Whether a counter is in one of the ranges."""
    place = bisect_right(ranges, counter, key=_start)
    return place > 0 and counter <= ranges[place - 1][1]


def with_counter(ranges: Ranges, counter: int, is_bare: Callable[[int], bool]) -> Ranges:
    """The ranges with one more counter. `is_bare` tells that there is no record under a counter."""
    if holds(ranges, counter):
        return ranges

    def joins(before: int, after: int) -> bool:
        between = range(before + 1, after)
        return len(between) <= MOST_BETWEEN and all(is_bare(one) for one in between)

    place = bisect_right(ranges, counter, key=_start)
    before, after = ranges[:place], ranges[place:]
    low = high = counter
    if before and joins(before[-1][1], counter):
        low = before.pop()[0]
    if after and joins(counter, after[0][0]):
        high = after.pop(0)[1]
    return [*before, [low, high], *after]


def codes_of(prefix: str, counter: int) -> list[str]:
    """The codes that a counter can give, one of each kind at most."""
    minted = [mint(kind, prefix, counter) for kind in _KINDS]
    return [one.code for one in minted if one.counter == counter]


def _start(one: list[int]) -> int:
    return one[0]
