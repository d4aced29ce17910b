"""An indicator's colour is read in Python as the vectors and the published tables say (shared/colour.json)."""

import csv
from math import floor

import pytest

from tests.colour import (
    LINEAR,
    Disc,
    Lab,
    Rgb,
    ciede2000,
    disc_pixels,
    judge,
    lab_of,
    limit,
    patch_of,
    read_indicator,
)
from tests.vectors.vector_files import Vector, vector_dir, vectors
from traymark.tables import enums, table

VECTORS = vectors("colour")


@pytest.mark.parametrize("vector", VECTORS, ids=[v["name"] for v in VECTORS])
def test_indicator_is_read_as_the_vector_says(vector: Vector) -> None:
    reading = read_indicator(pixels_of(vector["indicator"]), pixels_of(vector["reference"]))
    assert vars(reading) == vector["expect"]


def test_each_verdict_and_each_reason_is_in_a_vector() -> None:
    assert {v["expect"]["verdict"] for v in VECTORS} == set(table("colour")["verdicts"])
    assert {v["expect"]["reason"] for v in VECTORS} - {None} == set(table("colour")["reasons"])


def test_table_and_event_know_the_same_verdicts_and_reasons() -> None:
    assert list(table("colour")["verdicts"]) == enums()["colour_verdict"]
    assert list(table("colour")["reasons"]) == enums()["colour_reason"]


def test_no_vector_stands_where_a_last_bit_could_round_either_way() -> None:
    for vector in VECTORS:
        if vector["expect"]["de00_centi"] is not None:
            seen, white = (patch_of(pixels_of(vector[name])).mean for name in ("indicator", "reference"))
            lab = lab_of((seen[0] / white[0], seen[1] / white[1], seen[2] / white[2]))
            scaled = ciede2000(lab, Lab(lab.lightness, 0, 0)) * 100
            assert abs(scaled - floor(scaled) - 0.5) > 1e-6, vector["name"]


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
