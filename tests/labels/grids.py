"""Symbols as text that a person can read: `#` dark, `.` light, one line per row, with what it says above it."""

from pathlib import Path

from PIL import Image

from traymark_labels import Label

GOLDEN = Path(__file__).parent / "golden"


def grid_of(label: Label) -> str:
    symbol = label.symbol.symbol
    head = f"{label.payload}\nversion {symbol.version} level {symbol.level} mask {symbol.mask}\n\n"
    rows = [f"{row:0{symbol.size}b}".translate({48: ".", 49: "#"}) for row in symbol.rows]
    return head + "\n".join(rows) + "\n"


def picture_of(grid: str, module_dots: int = 6, quiet_modules: int = 4) -> Image.Image:
    """The picture of a grid, drawn the slow way, square by square."""
    rows = grid.split("\n\n", 1)[1].splitlines()
    side = (len(rows) + 2 * quiet_modules) * module_dots
    image = Image.new("1", (side, side), 1)
    for y, row in enumerate(rows):
        for x, module in enumerate(row):
            if module == "#":
                left, top = (x + quiet_modules) * module_dots, (y + quiet_modules) * module_dots
                image.paste(0, (left, top, left + module_dots, top + module_dots))
    return image


def write_golden() -> None:
    """Write all grids again. Read the diff before you keep it."""
    from tests.labels.samples import SAMPLES
    from traymark_labels import render

    for kind, fields in SAMPLES.items():
        label = render(kind, fields, 300)
        assert isinstance(label, Label)
        (GOLDEN / f"{kind}.txt").write_text(grid_of(label), encoding="ascii")


if __name__ == "__main__":
    write_golden()
