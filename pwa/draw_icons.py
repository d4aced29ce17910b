"""Draws the app's icons: one list of shapes, written as SVG and as PNG, so that the two cannot differ.

    python pwa/draw_icons.py [folder]

The picture is a tray with six pockets, one of them holding something: a tick.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass
from pathlib import Path

from PIL import Image, ImageDraw

INK = "#15302f"
TRAY = "#f5f2ea"
POCKET = "#c9c5b6"
MARK = "#d9622b"
SIDE = 512
"""The shapes are laid out on a square of this many units."""
OVERSAMPLE = 4
"""PNGs are drawn this many times larger and then averaged, for smooth edges."""


@dataclass(frozen=True)
class Block:
    left: int
    top: int
    right: int
    bottom: int
    radius: int
    fill: str


@dataclass(frozen=True)
class Stroke:
    points: tuple[tuple[int, int], ...]
    width: int
    fill: str


def shapes(corner: int) -> list[Block | Stroke]:
    """`corner` rounds the background; 0 fills the square, as maskable icons require.

    Everything but the background stays within the middle 80 %, which no launcher's mask cuts
    (Web Application Manifest, "safe zone").
    """
    drawn: list[Block | Stroke] = [
        Block(0, 0, SIDE, SIDE, corner, INK),
        Block(96, 136, 416, 376, 36, TRAY),
    ]
    for row in range(2):
        for column in range(3):
            left, top = 124 + column * 92, 164 + row * 96
            drawn.append(Block(left, top, left + 80, top + 88, 18, POCKET))
    drawn.append(Block(308, 260, 388, 348, 18, MARK))
    drawn.append(Stroke(((328, 306), (343, 322), (370, 288)), 14, TRAY))
    return drawn


def as_svg(drawn: list[Block | Stroke]) -> str:
    lines = [f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {SIDE} {SIDE}">', "  <title>Traymark</title>"]
    for shape in drawn:
        if isinstance(shape, Block):
            lines.append(
                f'  <rect x="{shape.left}" y="{shape.top}" width="{shape.right - shape.left}" '
                f'height="{shape.bottom - shape.top}" rx="{shape.radius}" fill="{shape.fill}"/>'
            )
        else:
            points = " ".join(f"{x},{y}" for x, y in shape.points)
            lines.append(
                f'  <polyline points="{points}" fill="none" stroke="{shape.fill}" '
                f'stroke-width="{shape.width}" stroke-linecap="round" stroke-linejoin="round"/>'
            )
    return "\n".join([*lines, "</svg>", ""])


def as_image(drawn: list[Block | Stroke], pixels: int) -> Image.Image:
    large = pixels * OVERSAMPLE
    image = Image.new("RGBA", (large, large), (0, 0, 0, 0))
    pen = ImageDraw.Draw(image)

    def scale(units: int) -> float:
        return units * large / SIDE

    for shape in drawn:
        if isinstance(shape, Block):
            corners = (scale(shape.left), scale(shape.top), scale(shape.right) - 1, scale(shape.bottom) - 1)
            pen.rounded_rectangle(corners, scale(shape.radius), fill=shape.fill)
        else:
            line = [(scale(x), scale(y)) for x, y in shape.points]
            pen.line(line, fill=shape.fill, width=round(scale(shape.width)))
            half = scale(shape.width) / 2
            for x, y in line:
                pen.ellipse((x - half, y - half, x + half, y + half), fill=shape.fill)
    return image.resize((pixels, pixels), Image.Resampling.BOX)


def write_icons(folder: Path) -> None:
    rounded, square = shapes(corner=96), shapes(corner=0)
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "icon.svg").write_text(as_svg(rounded), encoding="utf-8")
    as_image(rounded, 192).save(folder / "icon-192.png", optimize=True)
    as_image(rounded, 512).save(folder / "icon-512.png", optimize=True)
    as_image(square, 512).save(folder / "icon-maskable-512.png", optimize=True)


if __name__ == "__main__":
    write_icons(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent / "public")
