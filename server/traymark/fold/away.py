"""What was put away (F5.11): the marks that stay of it in the live state."""

from bisect import bisect_right

Ranges = list[list[int]]
"""From and to, both included, in ascending order; none touches the next."""

PUT_AWAY = ("job", "thing", "box")
"""The collections whose records can be put away. Their keys are codes."""

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


def with_counter(ranges: Ranges, counter: int) -> Ranges:
    """The ranges with one more counter."""
    if holds(ranges, counter):
        return ranges
    place = bisect_right(ranges, counter, key=_start)
    before, after = ranges[:place], ranges[place:]
    low = high = counter
    if before and before[-1][1] == counter - 1:
        low = before.pop()[0]
    if after and after[0][0] == counter + 1:
        high = after.pop(0)[1]
    return [*before, [low, high], *after]


def _start(one: list[int]) -> int:
    return one[0]
