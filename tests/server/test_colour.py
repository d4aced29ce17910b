"""What the colour rule promises beyond single cases: any pixels get an answer, and none is surer than it may be."""

from hypothesis import given
from hypothesis import strategies as st

from tests.colour import Disc, Lab, Rgb, ciede2000, disc_pixels, judge, patch_of, read_indicator, sure_word
from traymark.tables import table

levels = st.tuples(*[st.integers(0, 255)] * 3)
labs = st.builds(Lab, st.floats(0, 100), st.floats(-128, 128), st.floats(-128, 128))
PAPER: Rgb = (216, 216, 216)


@given(labs, labs)
def test_difference_is_the_same_both_ways_and_none_to_itself(one: Lab, two: Lab) -> None:
    assert abs(ciede2000(one, two) - ciede2000(two, one)) < 1e-9
    assert ciede2000(one, one) == 0


@given(st.integers(0, 20_000), st.integers(0, 359))
def test_a_verdict_is_never_surer_than_the_most_nor_less_than_a_toss(de00_centi: int, hue_deg: int) -> None:
    reading = judge(de00_centi, hue_deg)
    if reading.verdict == "cannot_tell":
        assert (reading.reason, reading.sure_pm) == ("other_colour", 0)
    else:
        assert reading.reason is None
        assert 500 <= reading.sure_pm <= 950


@given(st.lists(levels, max_size=400), st.lists(levels, max_size=400))
def test_any_pixels_are_answered_and_a_reason_is_given_when_there_is_no_verdict(
    indicator: list[Rgb], reference: list[Rgb]
) -> None:
    reading = read_indicator(indicator, reference)
    assert (reading.verdict == "cannot_tell") == (reading.reason is not None)


@given(st.lists(levels, min_size=1, max_size=300), st.randoms(use_true_random=False))
def test_order_of_pixels_does_not_matter(pixels: list[Rgb], dice: object) -> None:
    shuffled = pixels.copy()
    dice.shuffle(shuffled)  # type: ignore[attr-defined]
    assert patch_of(shuffled) == patch_of(pixels)


@given(st.integers(60, 245))
def test_a_grey_beside_white_is_untouched_however_dark(level: int) -> None:
    reading = read_indicator([(level, level, level)] * 200, [PAPER] * 200)
    assert (reading.verdict, reading.de00_centi) == ("untouched", 0)


def test_a_disc_keeps_within_the_photo() -> None:
    for disc in (Disc(0, 0, 400), Disc(1000, 1000, 400), Disc(500, 0, 1000)):
        assert all(0 <= column < 30 and 0 <= row < 20 for column, row in disc_pixels(30, 20, disc))


def test_words_for_how_sure_reach_from_the_most_to_nothing() -> None:
    rows = table("colour")["sure_words"]
    assert [row["from_pm"] for row in rows] == sorted((row["from_pm"] for row in rows), reverse=True)
    assert [sure_word(pm) for pm in (950, 900, 899, 700, 699, 500)] == [
        "quite sure", "quite sure", "fairly sure", "fairly sure", "unsure", "unsure",
    ]  # fmt: skip
    assert rows[-1]["from_pm"] == 0


def test_limits_that_nobody_published_say_so() -> None:
    """None of them is from a standard; the formulas are, and those stand in the code."""
    assert {row["source"] for row in table("colour")["limits"].values()} <= {"common practice", "guess"}
