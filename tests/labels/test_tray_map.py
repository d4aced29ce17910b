"""The printed tray map: gauge and screws measured in dots, and the page as the file describes it."""

import re
from itertools import pairwise
from typing import Any

import pytest
from PIL import Image

from traymark_labels import Group, Rejected, TrayMap, tray_map
from traymark_labels.draw import to_image

DOTS_PER_MM = 300 / 25.4
"""At 300 dots per inch; an inch is 25.4 mm by definition."""

SHORT = Group(1, "Cable shield, short", 4, "three-point 0.6", "M1.2", "pan", 1_300)
SUNK = Group(2, "Ear piece bracket", 3, "cross 00", "M1.2", "countersunk", 2_200)
LONG = Group(6, "Bottom screws", 2, "five-point 0.8", "M1.4", "pan", 3_600)


def drawn(*groups: Group) -> TrayMap:
    made = tray_map("Quillet 5 · Display · revision 1", groups)
    assert isinstance(made, TrayMap)
    return made


def runs(picture: Image.Image, y: int, left: int, right: int) -> list[tuple[int, int]]:
    """Where black begins and ends in a row, in dots; the end is the first white dot."""
    row = [picture.getpixel((x, y)) == 0 for x in range(left, right)]
    edges = [x for x, (a, b) in enumerate(pairwise([False, *row, False])) if a != b]
    return [(left + a, left + b) for a, b in zip(edges[::2], edges[1::2], strict=True)]


def mm(value: float) -> int:
    return round(value * DOTS_PER_MM)


def test_gauge_has_ten_millimetres_in_halves() -> None:
    picture = to_image(drawn(SHORT).pages[0])
    ticks = [begin for begin, _ in runs(picture, mm(134 - 1), mm(8), mm(22))]
    assert len(ticks) == 21
    # Each line is within half a dot (0.04 mm) of where it should be; errors do not add up along the gauge.
    for n, tick in enumerate(ticks):
        assert abs(tick - ticks[0] - n * 0.5 * DOTS_PER_MM) <= 1, n
    assert abs((ticks[-1] - ticks[0]) / DOTS_PER_MM - 10) < 0.05


def test_whole_and_fifth_millimetres_have_longer_lines() -> None:
    picture = to_image(drawn(SHORT).pages[0])
    assert len(runs(picture, mm(134 - 3.5), mm(8), mm(22))) == 11
    assert len(runs(picture, mm(134 - 5.5), mm(8), mm(21.9))) == 3


def test_check_line_is_a_hundred_millimetres() -> None:
    picture = to_image(drawn(SHORT).pages[0])
    ends = [begin for begin, _ in runs(picture, mm(134 - 1), mm(80), mm(205))]
    assert len(ends) == 2
    assert abs((ends[1] - ends[0]) / DOTS_PER_MM - 100) < 0.05


@pytest.mark.parametrize("group", [SHORT, LONG, Group(1, "x", 1, "cross 00", "M2.0", "button", 12_345)])
def test_screw_is_as_long_as_it_is(group: Group) -> None:
    picture = to_image(drawn(group).pages[0])
    tall = [run for run in screw_rows(picture, group.pocket) if run]
    shank = max((end - begin for row in tall for begin, end in row), default=0)
    head = 0.6 * float(group.thread[1:])
    assert abs(shank / DOTS_PER_MM - group.length_um / 1000 - head) < 0.2
    marks = [row for row in tall if len(row) == 2]
    assert marks, "the two lines below the screw"
    assert abs((marks[-1][1][0] - marks[-1][0][0]) / DOTS_PER_MM - group.length_um / 1000) < 0.1


def test_countersunk_screw_is_as_long_over_all() -> None:
    picture = to_image(drawn(SUNK).pages[0])
    longest = max(end - begin for row in screw_rows(picture, SUNK.pocket) for begin, end in row)
    assert abs(longest / DOTS_PER_MM - SUNK.length_um / 1000) < 0.1


def screw_rows(picture: Image.Image, pocket: int) -> list[list[tuple[int, int]]]:
    """The rows of a pocket's drawing, below its text; the first row of pockets begins at 18 mm."""
    column, row = (pocket - 1) % 4, (pocket - 1) // 4
    left = 6 + column * (48 + 2) + 1
    top = 18 + row * (48 + 2) + 17.5
    return [runs(picture, y, mm(left), mm(left + 40)) for y in range(mm(top), mm(top + 10))]


def test_page_is_a_landscape_a5() -> None:
    made = drawn(SHORT, LONG)
    assert (made.pages[0].width, made.pages[0].height) == (mm(210), mm(148))
    boxes = re.findall(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", made.pdf)
    assert len(boxes) == 1
    # ISO 216: 210 mm by 148 mm; a point is 1/72 inch.
    assert float(boxes[0][0]) == pytest.approx(210 / 25.4 * 72, abs=0.001)
    assert float(boxes[0][1]) == pytest.approx(148 / 25.4 * 72, abs=0.001)
    placed = re.search(rb"([\d.]+) 0\.00000 0\.00000 ([\d.]+) [\d.]+ -?[\d.]+ cm", made.pdf)
    assert placed is not None
    # A dot of the image is a dot of the printer: nothing is stretched.
    assert float(placed[1]) / made.pages[0].width == pytest.approx(72 / 300, rel=1e-4)
    assert b"/PrintScaling /None" in made.pdf


def test_many_pockets_continue_on_a_second_page() -> None:
    made = drawn(SHORT, Group(13, "Far away", 1, "cross 00", "M1.0", "pan", 2_000))
    assert len(made.pages) == 2
    assert made.pdf.count(b"/MediaBox") == 2


def test_same_groups_give_the_same_file() -> None:
    assert drawn(SHORT, SUNK).pdf == drawn(SHORT, SUNK).pdf


def test_name_of_a_group_is_never_taken_as_markup() -> None:
    assert drawn(Group(1, "{t0} {x", 1, "a", "M1.0", "pan", 2_000)).pages


@pytest.mark.parametrize(
    ("changed", "pointer"),
    [
        ({"pocket": 0}, "/fasteners/1/pocket"),
        ({"pocket": 100}, "/fasteners/1/pocket"),
        ({"length_um": 0}, "/fasteners/1/length_um"),
        ({"length_um": 60_000}, "/fasteners/1/length_um"),
    ],
)
def test_what_cannot_be_drawn_at_true_size_is_refused_with_a_pointer(changed: dict[str, Any], pointer: str) -> None:
    wrong = Group(**{**vars(LONG), **changed})
    refused = tray_map("x", [SHORT, wrong])
    assert isinstance(refused, Rejected)
    assert (refused.slug, refused.pointer) == ("label-field", pointer)


def test_more_groups_than_a_pocket_has_room_for_are_refused() -> None:
    crowd = [Group(1, f"Group {n}", 1, "a", "M1.0", "pan", 2_000) for n in range(9)]
    assert isinstance(tray_map("x", crowd), Rejected)
