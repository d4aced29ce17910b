"""shared/labels.json: stock names, and boxes that do not overlap."""

import json
import re
from itertools import combinations
from pathlib import Path

import pytest

from tests.labels.samples import DPI, SAMPLES
from traymark_labels.fields import Wording, read_fields
from traymark_labels.kinds import Box, LabelKind, RuleItem, TextItem, dots_per_um, label_kinds
from traymark_labels.layout import ASCENT, CAPS_ASCENT, CAPS_DESCENT, DESCENT, EM_UNITS, LINE_PITCH, box_to_dots

PWG = json.loads((Path(__file__).parent / "data" / "pwg_media_names.json").read_text(encoding="utf-8"))
KINDS = sorted(label_kinds())


def media_name(prefixes: list[str], unit: str) -> str:
    """A self-describing name (PWG 5101.1): numbers without needless zeros."""
    number = r"(?:0|[1-9][0-9]*)(?:\.[0-9]*[1-9])?"
    return rf"(?:{'|'.join(prefixes)})_[a-z0-9][-a-z0-9]*_{number}x{number}{unit}"


NAME = re.compile(f"{media_name(PWG['prefix_mm'], 'mm')}|{media_name(PWG['prefix_inch'], 'in')}")


@pytest.mark.parametrize("name", PWG["valid"])
def test_the_pattern_takes_valid_media_names(name: str) -> None:
    assert NAME.fullmatch(name) is not None


@pytest.mark.parametrize("name", PWG["invalid"])
def test_the_pattern_refuses_invalid_media_names(name: str) -> None:
    assert NAME.fullmatch(name) is None


@pytest.mark.parametrize("kind", KINDS)
def test_stock_has_a_self_describing_name_that_says_its_size(kind: str) -> None:
    row = label_kinds()[kind]
    assert NAME.fullmatch(row.media) is not None
    assert row.media.endswith(f"_{row.width_mm}x{row.height_mm}mm")


def test_every_kind_has_a_sample_and_there_is_no_other() -> None:
    assert set(SAMPLES) == set(KINDS)


@pytest.mark.parametrize("kind", KINDS)
def test_boxes_stay_on_the_label_and_do_not_overlap(kind: str) -> None:
    row = label_kinds()[kind]
    label = Box(0, 0, row.width_mm * 1000, row.height_mm * 1000)
    boxes = [row.symbol.box, *(item.box for item in row.items)]
    assert [box for box in boxes if not holds(label, box)] == []
    apart = [row.symbol.box, *(item.box for item in row.items if not is_white(item))]
    assert [pair for pair in combinations(apart, 2) if overlap(*pair)] == []
    white = [item for item in row.items if is_white(item)]
    rules = [item for item in row.items if isinstance(item, RuleItem)]
    assert [w for w in white if not any(holds(r.box, w.box) and r.when == w.parts[0].strip("{}") for r in rules)] == []


@pytest.mark.parametrize("dpi", DPI)
@pytest.mark.parametrize("kind", KINDS)
def test_boxes_do_not_overlap_in_dots(kind: str, dpi: int) -> None:
    row = label_kinds()[kind]
    boxes = [row.symbol.box, *(item.box for item in row.items if not is_white(item))]
    dots = [box_to_dots(box, dots_per_um()[dpi]) for box in boxes]
    assert [pair for pair in combinations(dots, 2) if overlap(*pair)] == []


@pytest.mark.parametrize("kind", KINDS)
def test_text_boxes_are_as_high_as_their_type(kind: str) -> None:
    for item in label_kinds()[kind].items:
        if isinstance(item, TextItem):
            rise = CAPS_ASCENT + CAPS_DESCENT if item.caps else ASCENT + DESCENT
            size = item.size if item.lines == 1 else item.least
            assert size * (rise + (item.lines - 1) * LINE_PITCH) <= item.box.height * EM_UNITS, item
            assert item.least <= item.size, item


@pytest.mark.parametrize("kind", KINDS)
def test_texts_name_words_that_the_fields_give(kind: str) -> None:
    row = label_kinds()[kind]
    words = words_of(row)
    named = {
        name
        for item in row.items
        for name in (
            *([item.when] if item.when else []),
            *(n for part in getattr(item, "parts", ()) for n in re.findall(r"\{(\w+)\}", part)),
        )
    }
    assert named <= words
    shown = {name.removesuffix(end) for name in named for end in ("_first", "_last", "_grouped", "_staff", "")}
    assert set(row.fields) - shown - {"url"} == set()


def words_of(row: LabelKind) -> set[str]:
    wording = read_fields(row, SAMPLES[row.id])
    assert isinstance(wording, Wording)
    return set(wording.words)


def is_white(item: TextItem | RuleItem) -> bool:
    return isinstance(item, TextItem) and item.white


def holds(outer: Box, inner: Box) -> bool:
    return (
        outer.left <= inner.left
        and outer.top <= inner.top
        and inner.left + inner.width <= outer.left + outer.width
        and inner.top + inner.height <= outer.top + outer.height
    )


def overlap(a: Box, b: Box) -> bool:
    return (
        a.left < b.left + b.width
        and b.left < a.left + a.width
        and a.top < b.top + b.height
        and b.top < a.top + a.height
    )
