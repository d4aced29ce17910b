"""Symbols equal the QR library's, hold what the standard's table says, and look like the golden grids."""

import csv
import random
from pathlib import Path

import pytest
import qrcode
from qrcode.util import MODE_8BIT_BYTE, MODE_ALPHA_NUM, QRData

from tests.labels.grids import GOLDEN, grid_of, picture_of
from tests.labels.samples import SAMPLES
from tests.labels.scanning import scan
from traymark_labels import Label, render
from traymark_labels.kinds import Level
from traymark_labels.symbol import Symbol, make_symbol

VECTORS = Path(__file__).resolve().parents[2] / "shared" / "vectors" / "label"
LEVELS: dict[Level, int] = {
    "L": qrcode.ERROR_CORRECT_L,
    "M": qrcode.ERROR_CORRECT_M,
    "Q": qrcode.ERROR_CORRECT_Q,
    "H": qrcode.ERROR_CORRECT_H,
}
LETTERS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:"


def capacities() -> list[tuple[int, Level, int, int]]:
    with (VECTORS / "qr_capacity.csv").open(encoding="utf-8", newline="") as file:
        return [
            (int(row["version"]), row["level"], int(row["alphanumeric"]), int(row["modules"]))
            for row in csv.DictReader(file)
        ]


def library_rows(
    text: str, version: int, level: Level, mask: int | None = None, mode: int = MODE_ALPHA_NUM
) -> list[int]:
    code = qrcode.QRCode(version=version, error_correction=LEVELS[level], border=0, mask_pattern=mask)
    code.add_data(QRData(text.encode(), mode=mode), optimize=0)
    code.make(fit=False)
    return [int("".join("1" if module else "0" for module in row), 2) for row in code.modules]


@pytest.mark.parametrize(("version", "level", "capacity", "modules"), capacities())
def test_symbol_holds_exactly_what_the_table_says(version: int, level: Level, capacity: int, modules: int) -> None:
    full = make_symbol("A" * capacity, level, (version, version))
    assert isinstance(full, Symbol)
    assert (full.version, full.level, full.size, len(full.rows)) == (version, level, modules, modules)
    assert make_symbol("A" * (capacity + 1), level, (version, version)) is None


@pytest.mark.parametrize(("version", "level", "capacity", "modules"), capacities())
def test_symbol_equals_the_librarys_with_the_same_mask(version: int, level: Level, capacity: int, modules: int) -> None:
    draw = random.Random(1000 * version + capacity)
    for length in {1, 2, capacity // 2, capacity - 1, capacity}:
        text = "".join(draw.choice(LETTERS) for _ in range(length))
        symbol = make_symbol(text, level, (version, version))
        assert isinstance(symbol, Symbol)
        assert list(symbol.rows) == library_rows(text, version, level, symbol.mask)
        assert list(symbol.rows) == library_rows(text, version, level), "another mask than the library's"


def test_every_mask_occurs_and_equals_the_librarys() -> None:
    draw = random.Random(8)
    met: set[int] = set()
    for _ in range(80):
        text = "".join(draw.choice(LETTERS) for _ in range(10))
        symbol = make_symbol(text, "H", (1, 1))
        assert isinstance(symbol, Symbol)
        assert list(symbol.rows) == library_rows(text, 1, "H")
        met.add(symbol.mask)
    assert met == set(range(8))


def test_other_letters_are_left_to_the_library() -> None:
    text = "https://bench.local/#/join/ä"
    symbol = make_symbol(text, "M")
    assert isinstance(symbol, Symbol)
    assert list(symbol.rows) == library_rows(text, symbol.version, "M", mode=MODE_8BIT_BYTE)
    assert make_symbol(text, "M", (1, symbol.version - 1)) is None


def test_large_symbols_are_left_to_the_library() -> None:
    text = "A" * 600
    symbol = make_symbol(text, "M")
    assert isinstance(symbol, Symbol)
    assert symbol.version > 9
    assert list(symbol.rows) == library_rows(text, symbol.version, "M")


def test_no_version_holds_too_long_a_text() -> None:
    assert make_symbol("A" * 5_000, "L") is None


def test_level_rises_when_the_version_has_room() -> None:
    rows = {(version, level): capacity for version, level, capacity, _ in capacities()}
    for length in range(1, rows[5, "M"] + 1):
        version = next(v for v in range(1, 6) if length <= rows[v, "M"])
        best = next(level for level in "HQM" if length <= rows[version, level])
        symbol = make_symbol("A" * length, "M", (1, 5), raise_level=True)
        assert isinstance(symbol, Symbol)
        assert (symbol.version, symbol.level) == (version, best)


def test_bare_code_fills_version_1_and_badge_version_2_at_the_highest_level() -> None:
    rows = {(version, level): capacity for version, level, capacity, _ in capacities()}
    assert len(str(SAMPLES["tray"]["code"])) == rows[1, "H"]
    assert len(str(SAMPLES["badge"]["code"])) == rows[2, "H"]


@pytest.mark.parametrize("kind", SAMPLES)
def test_symbol_looks_like_its_golden_grid(kind: str) -> None:
    label = render(kind, SAMPLES[kind], 300)
    assert isinstance(label, Label)
    assert grid_of(label) == (GOLDEN / f"{kind}.txt").read_text(encoding="ascii")


@pytest.mark.parametrize("path", sorted(GOLDEN.glob("*.txt")), ids=lambda path: path.stem)
def test_golden_grid_itself_scans_as_the_text_above_it(path: Path) -> None:
    grid = path.read_text(encoding="ascii")
    assert scan(picture_of(grid)) == [grid.splitlines()[0]]


def test_every_label_kind_has_a_golden_grid_and_there_is_no_other() -> None:
    assert {path.stem for path in GOLDEN.iterdir()} == set(SAMPLES)
