"""A label's dots as integers and bytes: what draw.py composes, and png.py and pdf.py write.

A raster is stored as PNG scan lines (W3C PNG, filter type 0): a zero byte, then the row's dots, eight per byte, the
leftmost in the highest bit, 1 being white. PNG and PDF both take these bytes unchanged.

Text is composed as one integer for all rows of its box: placing a letter takes one shift and one operation, however
many dots it has. Only then are the rows laid into the sheet.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Raster:
    """Width and height in dots, and the scan lines."""

    width: int
    height: int
    scan_lines: bytes

    @property
    def line_bytes(self) -> int:
        return line_bytes(self.width)


def line_bytes(width: int) -> int:
    """Bytes of one scan line with the filter byte before it."""
    return 1 + (width + 7) // 8


@dataclass(frozen=True)
class Block:
    """Dots to be laid into a sheet: `rows` rows of whole bytes, starting at the sheet's byte `first_byte`.

    A block is black ink on white, or white ink on black. In its first and last byte only the ink is laid, so the dots
    beside it are kept; under the bytes in between the sheet must be blank.
    """

    first_byte: int
    top: int
    row_bytes: int
    rows: int
    dots: bytes
    is_white: bool


def block_of(left: int, top: int, width: int, rows: int, ink: bytes, *, is_white: bool = False) -> Block:
    """A block from ink (1 for ink) in rows of `block_bits(left, width)` bits, where dots beside the box are 0."""
    dots = ink if is_white else ink.translate(_NEGATIVE)
    return Block(1 + left // 8, top, block_bits(left, width) // 8, rows, dots, is_white)


def block_bits(left: int, width: int) -> int:
    """Number of bits in the whole bytes that these dots of a row lie in."""
    return 8 * ((left + width + 7) // 8 - left // 8)


class Sheet:
    """A raster that is being drawn."""

    def __init__(self, width: int, height: int, scan_lines: bytes | None = None) -> None:
        self._width, self._height = width, height
        self._line = line_bytes(width)
        white = b"\0" + b"\xff" * (self._line - 1)
        self._lines = bytearray(white * height if scan_lines is None else scan_lines)

    def fill(self, left: int, top: int, width: int, height: int) -> None:
        """Blacken a rectangle."""
        bits = block_bits(left, width)
        row = (1 << width) - 1 << bits - left % 8 - width
        self.lay(block_of(left, top, width, height, row.to_bytes(bits // 8, "big") * height))

    def lay(self, block: Block) -> None:
        """Lay a block into the sheet."""
        size, step, lines, dots = block.row_bytes, self._line, self._lines, block.dots
        start = block.top * step + block.first_byte
        end = start + (block.rows - 1) * step + size
        # Column by column of bytes: there are fewer columns than rows, and each is one operation.
        for column in {0, size - 1}:
            where = slice(start + column, end, step)
            lines[where] = _both(dots[column::size], lines[where], is_white=block.is_white)
        for column in range(1, size - 1):
            lines[start + column : end : step] = dots[column::size]

    def raster(self) -> Raster:
        return Raster(self._width, self._height, bytes(self._lines))


def _both(dots: bytes, under: bytearray, *, is_white: bool) -> bytes:
    mine, before = int.from_bytes(dots, "big"), int.from_bytes(under, "big")
    return (mine | before if is_white else mine & before).to_bytes(len(dots), "big")


_NEGATIVE = bytes(range(255, -1, -1))
