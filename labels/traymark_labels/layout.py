"""Turns micrometres into whole printer dots, and fits text into its box. Arithmetic only: no fonts, no images.

Widths come from a function that gives letter widths in thousandths of an em, so a text fills the same share of its
box at every resolution, apart from rounding its size to whole dots.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from traymark_labels.kinds import Box, Item, RuleItem, SymbolPlace, TextItem

EM_UNITS = 1000
ASCENT = 980
"""Highest ink above the baseline, in thousandths of an em: what draw.py's fonts need, accents included."""
DESCENT = 260
CAPS_ASCENT = 690
"""Code letters have no accents, and only the Q goes below the baseline."""
CAPS_DESCENT = 60
LINE_PITCH = 1240

ELLIPSIS = "…"
JOIN = " · "

Widths = Callable[[str, str], Sequence[int]]
"""Advance width of each letter of a text in a given weight, in thousandths of an em."""


@dataclass(frozen=True)
class Line:
    """One line of text: the origin of each letter on one baseline, and the box that its ink stays in."""

    text: str
    weight: str
    size: int
    pens: tuple[int, ...]
    baseline: int
    box: Box
    white: bool
    is_code: bool


@dataclass(frozen=True)
class Layout:
    """Everything on a label except the symbol's modules, in dots."""

    rules: tuple[Box, ...]
    lines: tuple[Line, ...]


def to_dots(length_um: int, per_um: Fraction) -> int:
    """The whole number of dots nearest to a length; halves go up."""
    return (2 * length_um * per_um.numerator + per_um.denominator) // (2 * per_um.denominator)


def box_to_dots(box: Box, per_um: Fraction) -> Box:
    """Edges are rounded, not sizes: boxes that touch still touch, and none grows into its neighbour."""
    left, top = to_dots(box.left, per_um), to_dots(box.top, per_um)
    right, bottom = to_dots(box.left + box.width, per_um), to_dots(box.top + box.height, per_um)
    return Box(left, top, right - left, bottom - top)


def items_to_dots(items: Iterable[Item], per_um: Fraction) -> tuple[Item, ...]:
    """The same items with boxes and type sizes in dots."""
    return tuple(
        replace(item, box=box_to_dots(item.box, per_um))
        if isinstance(item, RuleItem)
        else replace(
            item,
            box=box_to_dots(item.box, per_um),
            size=to_dots(item.size, per_um),
            least=to_dots(item.least, per_um),
        )
        for item in items
    )


def module_dots(place: SymbolPlace, modules: int, per_um: Fraction) -> int:
    """The largest side of a module, in dots, that leaves the quiet zone inside the box; 0 when too small to scan."""
    box = box_to_dots(place.box, per_um)
    dots = min(box.width, box.height) // (modules + 2 * place.quiet_modules)
    return dots if dots >= place.least_module_um * per_um else 0


def symbol_corner(place: SymbolPlace, modules: int, dots: int, per_um: Fraction) -> tuple[int, int]:
    """Upper left dot of the first module; the symbol is centred in its box."""
    box = box_to_dots(place.box, per_um)
    side = modules * dots
    return box.left + (box.width - side) // 2, box.top + (box.height - side) // 2


def is_static(item: Item) -> bool:
    """Whether an item looks the same on every label of its kind."""
    return item.when is None and (isinstance(item, RuleItem) or not any("{" in part for part in item.parts))


def lay_out(items: Iterable[Item], words: Mapping[str, str], widths: Widths) -> Layout:
    """Place items that are already in dots. Items of absent fields are left out."""
    rules: list[Box] = []
    texts: list[tuple[TextItem, str, int]] = []
    least: dict[str, int] = {}
    for item in items:
        if item.when is not None and item.when not in words:
            continue
        if isinstance(item, RuleItem):
            rules.append(item.box)
        elif text := _text_of(item, words):
            size = _fit(item, text, widths)
            texts.append((item, text, size))
            if item.group is not None:
                least[item.group] = min(size, least.get(item.group, size))
    lines = [
        line
        for item, text, size in texts
        for line in _lines(item, text, size if item.group is None else least[item.group], widths)
    ]
    return Layout(tuple(rules), tuple(lines))


def _text_of(item: TextItem, words: Mapping[str, str]) -> str:
    parts: list[str] = []
    for part in item.parts:
        before, brace, rest = part.partition("{")
        if not brace:
            parts.append(part)
            continue
        name, _, after = rest.partition("}")
        if name in words:
            parts.append(before + words[name] + after)
    return JOIN.join(parts)


def _fit(item: TextItem, text: str, widths: Widths) -> int:
    """The largest size at which a text fits uncut; the least size when none does."""
    if item.lines == 1:
        units = sum(widths(text, item.weight))
        return max(item.least, min(item.size, item.box.width * EM_UNITS // units if units else item.size))
    size = item.size
    while size > item.least and (_stack_height(item, size) > item.box.height or _broken(text, item, size, widths)[1]):
        size -= 1
    return size


def _stack_height(item: TextItem, size: int) -> int:
    return ((item.lines - 1) * LINE_PITCH + ASCENT + DESCENT) * size // EM_UNITS


def _lines(item: TextItem, text: str, size: int, widths: Widths) -> list[Line]:
    box = item.box
    ascent = _ceil_em(CAPS_ASCENT if item.caps else ASCENT, size)
    descent = _ceil_em(CAPS_DESCENT if item.caps else DESCENT, size)
    pitch = LINE_PITCH * size // EM_UNITS
    # A single line that had to shrink keeps its baseline, so it stays level with its neighbours.
    lower = _ceil_em(CAPS_ASCENT if item.caps else ASCENT, item.size) - ascent if item.lines == 1 else 0
    shown = [_cut(text, item, size, widths)] if item.lines == 1 else _broken(text, item, size, widths)[0]
    placed: list[Line] = []
    for n, line in enumerate(shown):
        advances = widths(line, item.weight)
        start = box.left * EM_UNITS
        if item.align == "right":
            start += box.width * EM_UNITS - sum(advances) * size
        pens: list[int] = []
        for advance in advances:
            pens.append((start + EM_UNITS // 2) // EM_UNITS)
            start += advance * size
        top = box.top + lower + n * pitch
        bottom = min(top + ascent + descent, box.top + box.height)
        room = Box(box.left, top, box.width, bottom - top)
        placed.append(Line(line, item.weight, size, tuple(pens), top + ascent, room, item.white, item.caps))
    return placed


def _ceil_em(units: int, size: int) -> int:
    return -(-units * size // EM_UNITS)


def _broken(text: str, item: TextItem, size: int, widths: Widths) -> tuple[list[str], bool]:
    """A text broken into lines between words, and whether anything had to be cut."""
    room = item.box.width * EM_UNITS // size
    lines: list[str] = []
    words = text.split(" ")
    while words:
        if len(lines) == item.lines - 1:
            rest = " ".join(words)
            last = _cut(rest, item, size, widths)
            return [*lines, last], last != rest
        count = 1
        while count < len(words) and sum(widths(" ".join(words[: count + 1]), item.weight)) <= room:
            count += 1
        line = " ".join(words[:count])
        if sum(widths(line, item.weight)) > room:  # a single word wider than the box
            return [*lines, _cut(" ".join(words), item, size, widths)], True
        lines.append(line)
        words = words[count:]
    return lines, False


def _cut(text: str, item: TextItem, size: int, widths: Widths) -> str:
    """The text if it fits, else its beginning and an ellipsis."""
    room = item.box.width * EM_UNITS // size
    advances = widths(text, item.weight)
    if sum(advances) <= room:
        return text
    room -= sum(widths(ELLIPSIS, item.weight))
    kept = 0
    for advance in advances:
        if advance > room:
            break
        room -= advance
        kept += 1
    return text[:kept].rstrip() + ELLIPSIS
