"""The map of a tray on paper, at true size: each pocket with its screws at real length, and a gauge to lay one on.

A5, landscape (ISO 216: 210 mm by 148 mm), four pockets in a row as on the screen, at most three rows a page.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import groupby

from traymark_labels.draw import draw_layout, letter_widths
from traymark_labels.kinds import Box, TextItem, dots_per_um
from traymark_labels.layout import items_to_dots, lay_out, to_dots
from traymark_labels.pdf import Page, pdf_bytes
from traymark_labels.raster import Raster, Sheet
from traymark_labels.rejected import Rejected

DPI = 300
PAGE_MM = (210, 148)
GAUGE_UM = 10_000
TICK_UM = 500
CHECK_UM = 100_000

_MARGIN, _COLUMNS, _ROWS = 6_000, 4, 3
_GRID_TOP, _GRID_HEIGHT, _GAP = 18_000, 98_000, 2_000
_CELL_WIDTH = (PAGE_MM[0] * 1000 - 2 * _MARGIN - (_COLUMNS - 1) * _GAP) // _COLUMNS
_CELL_HIGHEST = 48_000
_BLOCK_LEAST = 12_000
_GAUGE = (_MARGIN + 4_000, 134_000)
_CHECK_LEFT = 90_000
_LONGEST_UM = _CELL_WIDTH - 16_000
_THREAD_UM = 1_400
"""For threads whose name does not give a diameter."""


@dataclass(frozen=True)
class Group:
    """Fasteners of one kind, as a procedure names them."""

    pocket: int
    name: str
    count: int
    drive: str
    thread: str
    head: str
    length_um: int


@dataclass(frozen=True)
class TrayMap:
    """Drawn pages. The file is made on demand."""

    pages: tuple[Raster, ...]

    @cached_property
    def pdf(self) -> bytes:
        return pdf_bytes([Page(page, dots_per_um()[DPI], *PAGE_MM) for page in self.pages])


def tray_map(title: str, groups: Sequence[Group]) -> TrayMap | Rejected:
    """Draws all pockets up to the last used one. `label-field` for anything that cannot be drawn at true size."""
    for n, group in enumerate(groups):
        if not 1 <= group.pocket <= 99:
            return Rejected("label-field", "pocket: a number from 1 to 99 was expected", f"/fasteners/{n}/pocket")
        if not 0 < group.length_um <= _LONGEST_UM:
            return Rejected("label-field", "length_um: too long to be drawn here", f"/fasteners/{n}/length_um")
    by_pocket = {
        pocket: list(rows) for pocket, rows in groupby(sorted(groups, key=lambda g: g.pocket), lambda g: g.pocket)
    }
    rows = max(1, -(-max([4, *by_pocket]) // _COLUMNS))
    height = min(_CELL_HIGHEST, (_GRID_HEIGHT + _GAP) // min(rows, _ROWS) - _GAP)
    crowded = [pocket for pocket, held in by_pocket.items() if (height - 2_000) // len(held) < _BLOCK_LEAST]
    if crowded:
        return Rejected("label-field", f"pocket {crowded[0]}: so many groups do not fit", "/fasteners")
    per_page = _ROWS * _COLUMNS
    pages: list[Raster] = []
    for first in range(1, rows * _COLUMNS + 1, per_page):
        pockets = range(first, min(first + per_page, rows * _COLUMNS + 1))
        paper = _Paper()
        paper.write(title, Box(_MARGIN, 5_000, 198_000, 7_000), 5_000, bold=True)
        paper.write("Pockets of the tray. Screws are as long as drawn.", Box(_MARGIN, 11_500, 198_000, 5_000), 3_200)
        for place, pocket in enumerate(pockets):
            left = _MARGIN + place % _COLUMNS * (_CELL_WIDTH + _GAP)
            top = _GRID_TOP + place // _COLUMNS * (height + _GAP)
            _draw_pocket(paper, Box(left, top, _CELL_WIDTH, height), pocket, by_pocket.get(pocket, []))
        _draw_gauge(paper)
        pages.append(paper.raster())
    return TrayMap(tuple(pages))


class _Paper:
    """A page that is drawn in micrometres."""

    def __init__(self) -> None:
        self._per_um = dots_per_um()[DPI]
        self._sheet = Sheet(self.dots(PAGE_MM[0] * 1000), self.dots(PAGE_MM[1] * 1000))
        self._items: list[TextItem] = []
        self._words: dict[str, str] = {}

    def dots(self, um: int) -> int:
        return to_dots(um, self._per_um)

    def fill(self, left: int, top: int, width: int, height: int) -> None:
        """A black rectangle. Edges are rounded to dots, so no length is off by a whole dot."""
        x, y = self.dots(left), self.dots(top)
        self._sheet.fill(x, y, max(1, self.dots(left + width) - x), max(1, self.dots(top + height) - y))

    def line(self, left: int, top: int, width: int, height: int) -> None:
        """A line two dots thick; either `width` or `height` is 0."""
        x, y = self.dots(left), self.dots(top)
        self._sheet.fill(x, y, self.dots(left + width) - x or 2, self.dots(top + height) - y or 2)

    def write(self, text: str, box: Box, size: int, *, bold: bool = False, lines: int = 1) -> None:
        """Text, cut only if it does not fit at two thirds of its size."""
        name = f"t{len(self._items)}"
        self._words[name] = " ".join(text.split())
        self._items.append(
            TextItem(
                parts=(f"{{{name}}}",), when=None, box=box, size=size, least=size * 2 // 3,
                weight="bold" if bold else "regular", align="left", lines=lines, caps=False, group=None, white=False,
            )
        )  # fmt: skip

    def raster(self) -> Raster:
        draw_layout(self._sheet, lay_out(items_to_dots(self._items, self._per_um), self._words, letter_widths))
        return self._sheet.raster()


def _draw_pocket(paper: _Paper, cell: Box, pocket: int, groups: Sequence[Group]) -> None:
    left, top, width, height = cell
    paper.line(left, top, width, 0)
    paper.line(left, top + height, width, 0)
    paper.line(left, top, 0, height)
    paper.line(left + width, top, 0, height)
    paper.write(str(pocket), Box(left + 2_000, top + 1_500, 9_000, 8_000), 7_000, bold=True)
    if not groups:
        paper.write("free", Box(left + 12_000, top + 3_000, width - 14_000, 5_000), 3_400)
    room = (height - 2_000) // max(1, len(groups))
    for n, group in enumerate(groups):
        _draw_group(paper, group, Box(left + 2_000, top + 1_000 + n * room, width - 4_000, room))


def _draw_group(paper: _Paper, group: Group, box: Box) -> None:
    """Name and facts beside the pocket's number, with the screw below."""
    beside, width = box.left + 10_000, box.width - 10_000
    name, head = f"{group.count} \u00d7 {group.name}", f"{group.head} head, {_mm(group.length_um)}"
    if box.height >= 24_000:
        paper.write(name, Box(beside, box.top, width, 8_400), 3_300, bold=True, lines=2)
        paper.write(head, Box(beside, box.top + 8_600, width, 3_600), 2_700)
        paper.write(f"{group.drive}, {group.thread}", Box(beside, box.top + 12_400, width, 3_600), 2_700)
        return _draw_screw(paper, group, box.left + 3_000, box.top + 21_000)
    paper.write(name, Box(beside, box.top, width, 4_000), 3_000, bold=True)
    paper.write(f"{head}, {group.drive}, {group.thread}", Box(beside, box.top + 3_800, width, 3_200), 2_300)
    return _draw_screw(paper, group, beside + 2_000, box.top + 8_400)


def _draw_screw(paper: _Paper, group: Group, left: int, middle: int) -> None:
    """The length is exact, thread and head are sketched; lines below show where the length begins and ends."""
    said = re.match(r"[MS](\d+(?:\.\d+)?)", group.thread)
    thick = round(float(said[1]) * 1000) if said else _THREAD_UM
    wide, high = 19 * thick // 10, 6 * thick // 10
    paper.fill(left, middle - thick // 2, group.length_um, thick)
    if group.head.endswith("countersunk"):
        # A countersunk cone is part of the length; a raised head has its dome before the rim, outside the length.
        steps = 8
        for n in range(steps):
            size = wide - (wide - thick) * n // steps
            if high * (n + 1) // steps < group.length_um:
                paper.fill(left + high * n // steps, middle - size // 2, high // steps, size)
        if group.head.startswith("raised"):
            paper.fill(left - high // 2, middle - thick // 2, high // 2, thick)
    else:
        paper.fill(left - high, middle - wide // 2, high, wide)
    below = middle + wide // 2 + 500
    paper.line(left, below, 0, 1_000)
    paper.line(left + group.length_um, below, 0, 1_000)


def _draw_gauge(paper: _Paper) -> None:
    """Ten millimetres in half steps, and a long line that shows whether the printer kept the scale."""
    left, bottom = _GAUGE
    for place in range(0, GAUGE_UM + 1, TICK_UM):
        high = 6_500 if place % 5_000 == 0 else 4_500 if place % 1_000 == 0 else 2_500
        paper.line(left + place, bottom - high, 0, high)
    for place in range(0, GAUGE_UM + 1, 5_000):
        paper.write(str(place // 1000), Box(left + place - 500, bottom + 500, 5_000, 3_600), 2_800)
    paper.write("mm gauge, half a millimetre a line", Box(left + 16_000, bottom - 6_000, 60_000, 4_000), 2_800)
    paper.write("Lay the screw on, head before the 0.", Box(left + 16_000, bottom - 2_300, 60_000, 4_000), 2_800)
    paper.line(_CHECK_LEFT, bottom - 4_000, 0, 4_000)
    paper.line(_CHECK_LEFT + CHECK_UM, bottom - 4_000, 0, 4_000)
    paper.line(_CHECK_LEFT, bottom, CHECK_UM, 0)
    paper.write("100 mm", Box(_CHECK_LEFT + 44_000, bottom - 4_600, 20_000, 4_000), 2_800)
    paper.write(
        "Print at 100 %, then check the gauge and the 100 mm line with a ruler. "
        "Heads that stand out: length from under the head. Countersunk: over all, from the flat of the head.",
        Box(_MARGIN, bottom + 5_000, 198_000, 8_000), 2_600, lines=2,
    )  # fmt: skip


def _mm(um: int) -> str:
    return f"{um // 1000}.{um % 1000:03}".rstrip("0").rstrip(".") + " mm"
