"""The vectors of the colour reading, which the app holds to the last digit, are right by an independent library too."""

import csv

import pytest

from tests.colour_oracle import (
    LINEAR,
    Disc,
    Lab,
    Rgb,
    ciede2000,
    disc_pixels,
    judge,
    lab_of,
    limit,
    read_indicator,
)
from tests.vectors.vector_files import Vector, vector_dir, vectors
from traymark.tables import enums, table

VECTORS = vectors("colour")
APART_CENTI = 3
"""By how much a difference by the library's matrices may differ from one by those of the standard, four digits each."""


@pytest.mark.parametrize("vector", VECTORS, ids=[v["name"] for v in VECTORS])
def test_indicator_is_read_as_the_vector_says(vector: Vector) -> None:
    reading = read_indicator(pixels_of(vector["indicator"]), pixels_of(vector["reference"]))
    expected = vector["expect"]
    assert (reading.verdict, reading.reason) == (expected["verdict"], expected["reason"])
    if expected["de00_centi"] is None:
        assert (reading.sure_pm, reading.de00_centi, reading.hue_deg) == (expected["sure_pm"], None, None)
        return
    assert reading.de00_centi is not None and reading.hue_deg is not None
    assert abs(reading.de00_centi - expected["de00_centi"]) <= APART_CENTI
    # Of next to no colour the hue is anything.
    if expected["de00_centi"] > 100:
        assert abs((reading.hue_deg - expected["hue_deg"] + 180) % 360 - 180) <= 1
    # What the vector says of how sure follows exactly from its own numbers.
    assert vars(judge(expected["de00_centi"], expected["hue_deg"])) == expected


def test_each_verdict_and_each_reason_is_in_a_vector() -> None:
    assert {v["expect"]["verdict"] for v in VECTORS} == set(table("colour")["verdicts"])
    assert {v["expect"]["reason"] for v in VECTORS} - {None} == set(table("colour")["reasons"])


def test_table_and_event_know_the_same_verdicts_and_reasons() -> None:
    assert list(table("colour")["verdicts"]) == enums()["colour_verdict"]
    assert list(table("colour")["reasons"]) == enums()["colour_reason"]


def test_limits_that_nobody_published_say_so() -> None:
    """None of them is from a standard; the formulas are, and those are in the code."""
    assert {row["source"] for row in table("colour")["limits"].values()} <= {"common practice", "guess"}


def test_words_for_how_sure_reach_from_the_most_to_nothing() -> None:
    rows = table("colour")["sure_words"]
    assert [row["from_pm"] for row in rows] == sorted((row["from_pm"] for row in rows), reverse=True)
    assert rows[-1]["from_pm"] == 0


def test_ciede2000_agrees_with_the_published_pairs() -> None:
    """Sharma, Wu and Dalal 2005, table 1."""
    pairs = table_of("ciede2000")
    assert len(pairs) == 34
    for row in pairs:
        one, two = (Lab(float(row[f"L{n}"]), float(row[f"a{n}"]), float(row[f"b{n}"])) for n in (1, 2))
        for difference in (ciede2000(one, two), ciede2000(two, one)):
            assert abs(difference - float(row["dE00_published_4dp"])) < 1e-4, row
            assert abs(difference - float(row["dE00_colour_science_0.4.7"])) < 1e-8, row


def test_srgb_becomes_lab_as_two_libraries_have_it() -> None:
    for row in table_of("srgb_lab_d65"):
        r, g, b = (LINEAR[level] / 10_000_000 for level in bytes.fromhex(row["hex"][1:]))
        for name, value in zip("Lab", lab_of((r, g, b)), strict=True):
            for library in ("colour_science", "skimage"):
                assert abs(value - float(row[f"{name}_{library}"])) < 0.05, row["hex"]


def test_levels_become_linear_light_by_the_table() -> None:
    assert [str(value) for value in LINEAR] == [row["linear"] for row in table_of("linear")]


def test_difference_and_hue_are_judged_by_the_table() -> None:
    for row in table_of("judge"):
        reading = judge(int(row["de00_centi"]), int(row["hue_deg"]))
        assert (reading.verdict, reading.reason or "", str(reading.sure_pm)) == (
            row["verdict"],
            row["reason"],
            row["sure_pm"],
        ), row


def test_table_of_judgements_stands_on_each_limit_and_beside_it() -> None:
    differences = {int(row["de00_centi"]) for row in table_of("judge")}
    hues = {int(row["hue_deg"]) for row in table_of("judge")}
    for name in ("untouched_below", "tripped_from"):
        assert {limit(name) - 1, limit(name)} <= differences
    assert {limit("hue_from") - 1, limit("hue_from"), limit("hue_to"), limit("hue_to") + 1} <= hues


def test_pixels_of_a_disc_are_those_of_the_table() -> None:
    for row in table_of("disc"):
        disc = Disc(int(row["x_pm"]), int(row["y_pm"]), int(row["r_pm"]))
        found = disc_pixels(int(row["width"]), int(row["height"]), disc)
        sums = [len(found), sum(column for column, _ in found), sum(down for _, down in found)]
        assert sums == [int(row[name]) for name in ("pixels", "columns_sum", "rows_sum")], row


def pixels_of(runs: list[dict[str, object]]) -> list[Rgb]:
    return [tuple(run["rgb"]) for run in runs for _ in range(int(str(run["times"])))]  # type: ignore[arg-type]


def table_of(name: str) -> list[dict[str, str]]:
    found = list(csv.DictReader((vector_dir() / f"colour/{name}.csv").read_text(encoding="utf-8").splitlines()))
    assert found != []
    return found
