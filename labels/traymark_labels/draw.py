"""Draws lines of text, rules and modules onto a sheet. The only file that imports Pillow.

The font is Atkinson Hyperlegible (made so that no two letters are mistaken for each other; its zero has a stroke), and
Noto Sans for letters it lacks, as in Greek, Cyrillic and Vietnamese. Both come as packages under the SIL Open Font
License 1.1. A letter that neither has is drawn as a crossed box, so a reader sees that something is missing. Letters
are drawn one by one: scripts that join letters or run from right to left are not set properly. Pillow draws each
letter once per size; after that, placing it is arithmetic (raster.py).
"""

from dataclasses import dataclass
from functools import cache, lru_cache
from importlib.resources import as_file, files
from math import ceil, floor

from PIL import Image, ImageDraw, ImageFont

from traymark_labels.layout import EM_UNITS, Layout, Line
from traymark_labels.raster import Block, Raster, Sheet, block_bits, block_of
from traymark_labels.symbol import Symbol

Picture = Image.Image

FACES = {
    ("regular", 0): ("fontpkg_atkinson_hyperlegible", "AtkinsonHyperlegible-Regular.ttf", None),
    ("bold", 0): ("fontpkg_atkinson_hyperlegible", "AtkinsonHyperlegible-Bold.ttf", None),
    ("regular", 1): ("fontpkg_noto_sans", "NotoSans[wdth,wght].ttf", [400.0, 100.0]),
    ("bold", 1): ("fontpkg_noto_sans", "NotoSans[wdth,wght].ttf", [700.0, 100.0]),
}
_FALLBACKS = (0, 1)
# Noto Sans has a larger x-height for the same em, and taller stacked accents.
_PERCENT = (100, 90)
_MISSING_WIDTH = 620
_NO_LETTER = "\U0010ffff"


def draw_layout(sheet: Sheet, layout: Layout) -> None:
    """Rules first, since white text is drawn over them."""
    for rule in layout.rules:
        sheet.fill(*rule)
    for line in layout.lines:
        _draw_line(sheet, line)


def draw_symbol(sheet: Sheet, symbol: Symbol, left: int, top: int, module_dots: int) -> None:
    """Every module as a square of whole dots."""
    spread = _spread_bytes(module_dots)
    row_bytes = (symbol.size + 7) // 8
    padding = 8 * row_bytes - symbol.size
    width = symbol.size * module_dots
    bits = block_bits(left, width)
    shift = bits - left % 8 - width - padding * module_dots
    ink: list[bytes] = []
    for modules in symbol.rows:
        parts = (modules << padding).to_bytes(row_bytes, "big")
        row = int.from_bytes(b"".join([spread[part] for part in parts]), "big")
        row = row << shift if shift >= 0 else row >> -shift
        ink.append(row.to_bytes(bits // 8, "big") * module_dots)
    sheet.lay(block_of(left, top, width, width, b"".join(ink)))


@lru_cache(maxsize=1024)
def letter_widths(text: str, weight: str) -> tuple[int, ...]:
    """Advance widths in thousandths of an em, the same at every resolution."""
    return tuple([_width(letter, weight) for letter in text])


def to_image(raster: Raster) -> Picture:
    """A Pillow image of mode "1", for callers that want to look at it or draw on it."""
    size = (raster.width, raster.height)
    return Image.frombytes("1", size, raster.scan_lines[1:] + b"\0", "raw", "1", raster.line_bytes, 1)


def _draw_line(sheet: Sheet, line: Line) -> None:
    # Codes differ from label to label; the words of a shop repeat.
    sheet.lay(_block_of(line) if line.is_code else _kept_block_of(line))


@lru_cache(maxsize=128)
def _kept_block_of(line: Line) -> Block:
    return _block_of(line)


def _block_of(line: Line) -> Block:
    """The ink of a line of text, clipped to its box."""
    left, top, width, height = line.box
    bits = block_bits(left, width)
    right = left - left % 8 + bits
    ink = 0
    for letter, pen in zip(line.text, line.pens, strict=True):
        glyph = _glyph(letter, line.weight, line.size, bits)
        if glyph is not None:
            shift = (top + height - line.baseline - glyph.below) * bits + right - pen - glyph.right
            ink |= glyph.ink << shift if shift >= 0 else glyph.ink >> -shift
    ink &= _inside(bits, bits - left % 8 - width, width, height)
    return block_of(left, top, width, height, ink.to_bytes(bits // 8 * height, "big"), is_white=line.white)


@lru_cache(maxsize=64)
def _inside(bits: int, beside: int, width: int, height: int) -> int:
    """All dots of a box that has `beside` more bits of the row to its right."""
    row = (1 << width) - 1 << beside
    return int.from_bytes(row.to_bytes(bits // 8, "big") * height, "big")


@dataclass(frozen=True)
class _Glyph:
    """A letter's ink, rows equally many bits apart. Its last row is `below` the origin, its last column `right`."""

    ink: int
    right: int
    below: int


@cache
def _spread_bytes(times: int) -> tuple[bytes, ...]:
    """For each byte of modules, its bits widened to module size."""
    bits = [(1 << times) - 1 << times * n for n in range(8)]
    return tuple(sum(bits[n] for n in range(8) if byte >> n & 1).to_bytes(times, "big") for byte in range(256))


# A busy shop prints on a few kinds of stock; what falls out of the cache is simply drawn again.
@lru_cache(maxsize=4096)
def _glyph(letter: str, weight: str, size: int, row_bits: int) -> _Glyph | None:
    """A letter as drawn; None when it leaves no ink."""
    fallback = _fallback_of(letter, weight)
    if fallback is None:
        return _missing(size, row_bits)
    picture, left, top = _picture_of(letter, _font(weight, fallback, size))
    inked = picture.getbbox()
    if inked is None:
        return None
    width, height = inked[2] - inked[0], inked[3] - inked[1]
    rows = Image.new("1", (row_bits, height))
    rows.paste(picture.crop(inked), (row_bits - width, 0))
    return _Glyph(int.from_bytes(rows.tobytes(), "big"), left + inked[2], top + inked[3])


def _missing(size: int, row_bits: int) -> _Glyph:
    """A crossed box as high as a capital."""
    width, height = _MISSING_WIDTH * size // EM_UNITS - max(2, size // 10), 2 * size // 3
    pen = max(1, size // 16)
    ink = 0
    for y in range(height):
        row = (1 << width) - 1 if y < pen or y >= height - pen else (1 << pen) - 1 | (1 << pen) - 1 << width - pen
        for x in (y * (width - pen) // height, (height - 1 - y) * (width - pen) // height):
            row |= (1 << pen) - 1 << x
        ink = ink << row_bits | row
    return _Glyph(ink, max(1, size // 20) + width, 0)


@lru_cache(maxsize=16384)
def _width(letter: str, weight: str) -> int:
    fallback = _fallback_of(letter, weight)
    if fallback is None:
        return _MISSING_WIDTH
    return round(_font(weight, fallback, EM_UNITS).getlength(letter))


@lru_cache(maxsize=16384)
def _fallback_of(letter: str, weight: str) -> int | None:
    """The first font that has a letter. A font draws one and the same glyph for every letter it lacks."""
    for fallback in _FALLBACKS:
        font = _font(weight, fallback, 64)
        if _picture_of(letter, font)[0].tobytes() != _picture_of(_NO_LETTER, font)[0].tobytes():
            return fallback
    return None


def _picture_of(letter: str, font: ImageFont.FreeTypeFont) -> tuple[Image.Image, int, int]:
    """A letter in black and white, 1 being ink, and how far its left and top are from the origin."""
    left, top, right, bottom = font.getbbox(letter, mode="1", anchor="ls")
    # One spare dot all round, since the bounding box is rounded.
    left, top, right, bottom = floor(left) - 1, floor(top) - 1, ceil(right) + 1, ceil(bottom) + 1
    picture = Image.new("1", (right - left, bottom - top))
    pen = ImageDraw.Draw(picture)
    pen.fontmode = "1"
    pen.text((-left, -top), letter, fill=1, font=font, anchor="ls")
    return picture, left, top


@lru_cache(maxsize=256)
def _font(weight: str, fallback: int, size: int) -> ImageFont.FreeTypeFont:
    package, name, axes = FACES[weight, fallback]
    pixels = size * _PERCENT[fallback] / 100
    with as_file(files(package) / "files" / name) as path:
        # The basic layout engine is in every build of Pillow, so labels look the same wherever they are drawn.
        font = ImageFont.truetype(path, pixels, layout_engine=ImageFont.Layout.BASIC)
    if axes is not None:
        font.set_variation_by_axes(axes)
    return font
