"""Fitting text: shrunk to a least size, then cut; whole dots everywhere. The made-up font has letters of half an em."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from traymark_labels.kinds import Box, RuleItem, TextItem, label_kinds
from traymark_labels.layout import (
    ELLIPSIS,
    EM_UNITS,
    box_to_dots,
    items_to_dots,
    lay_out,
    module_dots,
    symbol_corner,
    to_dots,
)

ITEM = TextItem(("{x}",), None, Box(10, 20, 200, 60), 40, 20, "bold", "left", 1, False, None, False)


def half_em(text: str, weight: str) -> list[int]:
    return [EM_UNITS // 2] * len(text)


def lines(text: str, item: TextItem = ITEM) -> list[tuple[str, int]]:
    return [(line.text, line.size) for line in lay_out([item], {"x": text}, half_em).lines]


@pytest.mark.parametrize(
    ("text", "line", "size"),
    [
        ("A", "A", 40),
        ("A" * 10, "A" * 10, 40),  # 10 letters of half of 40 are 200 dots: just fits
        ("A" * 11, "A" * 11, 36),
        ("A" * 20, "A" * 20, 20),
        ("A" * 21, "A" * 19 + ELLIPSIS, 20),
        ("A" * 18 + " BCD", "A" * 18 + ELLIPSIS, 20),  # no space before the ellipsis
    ],
)
def test_text_shrinks_to_fit_and_is_cut_only_at_its_least_size(text: str, line: str, size: int) -> None:
    assert lines(text) == [(line, size)]


def test_words_are_broken_into_lines_and_shrink_together() -> None:
    item = replace(ITEM, lines=2, box=Box(0, 0, 200, 100))
    assert lines("AAAA BBBB CCCC", item) == [("AAAA BBBB", 40), ("CCCC", 40)]
    assert lines("AAAAA BBBBBB CCCC", item) == [("AAAAA", 36), ("BBBBBB CCCC", 36)]
    cut = lines("A" * 15 + " " + "B" * 15 + " " + "C" * 15, item)
    assert cut == [("A" * 15, 20), ("B" * 15 + " CCC" + ELLIPSIS, 20)]


def test_a_word_wider_than_the_box_is_cut_and_nothing_follows_it() -> None:
    item = replace(ITEM, lines=2, box=Box(0, 0, 200, 100))
    assert lines("A" * 30 + " BBB", item) == [("A" * 19 + ELLIPSIS, 20)]


def test_shrunken_text_keeps_its_baseline() -> None:
    other = replace(ITEM, parts=("{y}",), box=Box(300, 20, 200, 60))
    whole, shrunken = lay_out([ITEM, other], {"x": "A", "y": "A" * 20}, half_em).lines
    assert (whole.size, shrunken.size) == (40, 20)
    assert whole.baseline == shrunken.baseline


def test_texts_of_a_group_take_the_size_of_the_smallest() -> None:
    one = replace(ITEM, parts=("{x}",), group="code")
    other = replace(ITEM, parts=("{y}",), group="code", box=Box(10, 90, 200, 60))
    placed = lay_out([one, other], {"x": "A" * 5, "y": "A" * 16}, half_em).lines
    assert [line.size for line in placed] == [25, 25]


def test_right_aligned_text_ends_at_the_right_edge() -> None:
    (line,) = lay_out([replace(ITEM, align="right")], {"x": "ABC"}, half_em).lines
    assert line.pens == (150, 170, 190)


def test_items_of_absent_fields_are_left_out_and_their_parts_too() -> None:
    several = replace(ITEM, parts=("{x}", "Lot {y}"), box=Box(0, 0, 2000, 60))
    rule = RuleItem("y", Box(0, 0, 10, 10))
    assert lay_out([several, rule], {}, half_em) == lay_out([], {}, half_em)
    assert [line.text for line in lay_out([several], {"x": "A"}, half_em).lines] == ["A"]
    both = lay_out([several, rule], {"x": "A", "y": "7"}, half_em)
    assert [line.text for line in both.lines] == ["A · Lot 7"]
    assert both.rules == (Box(0, 0, 10, 10),)


@given(st.text("ABC ", min_size=1, max_size=60).filter(str.strip), st.integers(1, 4), st.integers(20, 300))
def test_every_line_stays_in_its_box(text: str, count: int, width: int) -> None:
    item = replace(ITEM, lines=count, box=Box(5, 7, width, 60 + 40 * count), least=10)
    for line in lay_out([item], {"x": " ".join(text.split())}, half_em).lines:
        assert item.least <= line.size <= item.size
        assert line.pens[0] >= 5
        assert line.pens[-1] + line.size // 2 <= 5 + width + 1 or line.text == ELLIPSIS
        assert line.box.top >= 7
        assert line.box.top + line.box.height <= 7 + item.box.height


@pytest.mark.parametrize(
    ("length_um", "per_um", "dots"),
    [
        (62_000, Fraction(8, 1000), 496),
        (62_000, Fraction(300, 25_400), 732),  # 732.28
        (29_000, Fraction(300, 25_400), 343),  # 342.52
        (62, Fraction(8, 1000), 0),
        (63, Fraction(8, 1000), 1),
    ],
)
def test_lengths_are_rounded_to_whole_dots(length_um: int, per_um: Fraction, dots: int) -> None:
    assert to_dots(length_um, per_um) == dots


@given(st.integers(0, 100_000), st.integers(1, 100_000), st.integers(1, 100_000), st.sampled_from([203, 300, 600]))
def test_boxes_that_touch_still_touch_in_dots(left: int, first: int, second: int, dpi: int) -> None:
    per_um = Fraction(dpi, 25_400)
    a = box_to_dots(Box(left, 0, first, 1), per_um)
    b = box_to_dots(Box(left + first, 0, second, 1), per_um)
    assert a.left + a.width == b.left


def test_module_has_as_many_whole_dots_as_fit_with_the_quiet_zone() -> None:
    place = label_kinds()["tray"].symbol
    eight = Fraction(8, 1000)
    room = box_to_dots(place.box, eight).width
    assert module_dots(place, 21, eight) == room // 29 == 7
    left, top = symbol_corner(place, 21, 7, eight)
    assert left - 4 * 7 >= box_to_dots(place.box, eight).left
    assert top - 4 * 7 >= box_to_dots(place.box, eight).top


def test_module_below_the_least_size_is_refused() -> None:
    place = replace(label_kinds()["tray"].symbol, least_module_um=876)
    assert module_dots(place, 21, Fraction(8, 1000)) == 0
    assert module_dots(replace(place, least_module_um=875), 21, Fraction(8, 1000)) == 7


def test_items_in_dots_change_only_their_lengths() -> None:
    (item,) = items_to_dots([ITEM], Fraction(2))
    assert item == replace(ITEM, box=Box(20, 40, 400, 120), size=80, least=40)
