"""Turns text into the modules of a QR code (ISO/IEC 18004). The only file that imports the QR library.

A QR code is linear: for a given version, level and mask, every module is the exclusive or of some data bits and a
fixed pattern. So the library is asked once per version and level (where it places bits, which error correction each
codeword gets, what each mask looks like); after that a symbol is the exclusive or of a few dozen integers, one bit per
module. The mask is chosen by the library's own scores, so symbols equal the library's, module for module; anything
else (other letters, versions above 9) the library draws itself.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Literal

from qrcode import constants
from qrcode.base import RSBlock, gexp, glog, rs_blocks
from qrcode.exceptions import DataOverflowError
from qrcode.main import QRCode
from qrcode.util import BIT_LIMIT_TABLE, BitBuffer, QRData, create_bytes

from traymark_labels.kinds import Level

_LETTERS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:"
_VALUE = {letter: value for value, letter in enumerate(_LETTERS)}
_LEVELS: dict[Level, int] = {
    "L": constants.ERROR_CORRECT_L,
    "M": constants.ERROR_CORRECT_M,
    "Q": constants.ERROR_CORRECT_Q,
    "H": constants.ERROR_CORRECT_H,
}
_ALPHANUMERIC: Literal[2] = 2
_BYTES: Literal[4] = 4
"""Mode indicators (ISO/IEC 18004)."""
_RISING: tuple[Level, ...] = ("L", "M", "Q", "H")
_LAST_QUICK_VERSION = 9
"""Above this the character count has more bits, and no label needs so large a symbol."""


@dataclass(frozen=True)
class Symbol:
    """Modules without quiet zone: `rows` from top to bottom, the leftmost module in the highest bit, 1 being dark."""

    version: int
    level: Level
    mask: int
    size: int
    rows: tuple[int, ...]


def make_symbol(
    text: str, level: Level, versions: tuple[int, int] = (1, 40), *, raise_level: bool = False
) -> Symbol | None:
    """The smallest of these versions that holds a text at a level, or None when none does.

    With `raise_level` the level becomes the highest that still fits the same version.
    """
    is_quick = all(letter in _VALUE for letter in text)
    bits = _bits_needed(len(text)) if is_quick else _bits_needed_as_bytes(text)
    for version in range(versions[0], versions[1] + 1):
        if not is_quick or version > _LAST_QUICK_VERSION:
            symbol = _ask_library(text, version, level)
            if symbol is not None:
                return symbol
        elif bits <= _capacity(version, level):
            if raise_level:
                level = next(best for best in reversed(_RISING) if bits <= _capacity(version, best))
            return _maker(version, level).make(text)
    return None


def _bits_needed(letters: int) -> int:
    """Mode, count, 11 bits per pair and 6 for an odd letter (ISO/IEC 18004, alphanumeric mode), versions 1 to 9."""
    return 4 + 9 + letters // 2 * 11 + letters % 2 * 6


def _bits_needed_as_bytes(text: str) -> int:
    return 4 + 8 + 8 * len(text.encode())


def _capacity(version: int, level: Level) -> int:
    return BIT_LIMIT_TABLE[_LEVELS[level]][version]


@cache
def _maker(version: int, level: Level) -> "_Maker":
    return _Maker(version, level)


class _Maker:
    """What all symbols of one version and level have in common."""

    def __init__(self, version: int, level: Level) -> None:
        self._version = version
        self._level: Level = level
        self._size = 4 * version + 17
        blocks = rs_blocks(version, _LEVELS[level])
        self._codewords = sum(block.data_count for block in blocks)
        nothing = [0] * sum(block.total_count for block in blocks)
        self._blanks = [self._drawn(nothing, mask, is_trial=False) for mask in range(8)]
        self._trials = [self._drawn(nothing, mask, is_trial=True) for mask in range(8)]
        self._by_nibble = list(self._nibble_tables(self._module_of_each_bit(len(nothing))))
        self._score = _Score(self._size)

    def make(self, text: str) -> Symbol:
        """The symbol of a text that is known to fit."""
        data = self._data_codewords(text)
        modules = 0
        for table, nibble in zip(self._by_nibble, f"{data:0{2 * self._codewords}x}", strict=True):
            modules ^= table[nibble]
        scores = [self._score.of(modules ^ trial) for trial in self._trials]
        mask = scores.index(min(scores))
        return Symbol(self._version, self._level, mask, self._size, self._rows(modules ^ self._blanks[mask]))

    def _data_codewords(self, text: str) -> int:
        """The bits of the data codewords as one number (ISO/IEC 18004: mode, count, letters, terminator, padding)."""
        bits = _ALPHANUMERIC << 9 | len(text)
        for i in range(0, len(text) - 1, 2):
            bits = bits << 11 | _VALUE[text[i]] * 45 + _VALUE[text[i + 1]]
        if len(text) % 2:
            bits = bits << 6 | _VALUE[text[-1]]
        used = _bits_needed(len(text))
        room = 8 * self._codewords
        end = min(used + 4, room)
        end += -end % 8
        bits <<= end - used
        for n in range((room - end) // 8):
            bits = bits << 8 | (0x11 if n % 2 else 0xEC)
        return bits

    def _rows(self, modules: int) -> tuple[int, ...]:
        size, row = self._size, (1 << self._size) - 1
        return tuple(modules >> size * (size - 1 - n) & row for n in range(size))

    def _drawn(self, codewords: list[int], mask: int, *, is_trial: bool) -> int:
        """The library's drawing of these codewords: one bit per module, row by row."""
        library = QRCode(version=self._version, error_correction=_LEVELS[self._level])
        library.data_cache = codewords
        library.makeImpl(is_trial, mask)
        return _as_number(library.modules)

    def _module_of_each_bit(self, codewords: int) -> list[int]:
        """For each bit of the final codewords the module that shows it, as an integer with one bit set.

        The index of every bit is written into the codewords themselves, one binary digit at a time, and read back from
        the modules that change.
        """
        bits = 8 * codewords
        places = [0] * self._size**2
        for digit in range((bits + 1).bit_length()):
            flags = [n + 1 >> digit & 1 for n in range(bits)]  # counted from 1: modules that show no bit stay 0
            drawn = self._drawn([_byte(flags[n : n + 8]) for n in range(0, bits, 8)], 0, is_trial=False)
            changed = drawn ^ self._blanks[0]
            for module in range(len(places)):
                places[module] |= (changed >> module & 1) << digit
        module_of = {place: module for module, place in enumerate(places) if place}
        return [1 << module_of[n + 1] for n in range(bits)]

    def _nibble_tables(self, module_of_bit: list[int]) -> Iterator[dict[str, int]]:
        """For each half of each data codeword, the modules that each of its 16 values flips."""
        blocks = rs_blocks(self._version, _LEVELS[self._level])
        everywhere = _with_correction([1] * self._codewords, blocks)
        for n in range(self._codewords):
            # The library cannot divide a block of zeros, so a bit is cleared instead of set.
            without = _with_correction([int(n != other) for other in range(self._codewords)], blocks)
            ones = [with_it ^ other for with_it, other in zip(everywhere, without, strict=True)]
            # Error correction is linear over GF(256): doubling a data codeword doubles its contribution everywhere.
            by_bit = [_turned(ones, doublings, module_of_bit) for doublings in range(8)]
            for bits in (by_bit[4:], by_bit[:4]):
                yield {
                    f"{value:x}": (bits[0] * (value & 1))
                    ^ (bits[1] * (value >> 1 & 1))
                    ^ (bits[2] * (value >> 2 & 1))
                    ^ (bits[3] * (value >> 3))
                    for value in range(16)
                }


def _with_correction(data: list[int], blocks: list[RSBlock]) -> list[int]:
    """The final, interleaved codewords for these data codewords."""
    buffer = BitBuffer()
    buffer.buffer = data
    return create_bytes(buffer, blocks)


def _turned(codewords: list[int], doublings: int, module_of_bit: list[int]) -> int:
    modules = 0
    for n, codeword in enumerate(codewords):
        value = gexp(glog(codeword) + doublings) if codeword else 0
        for bit in range(8):
            if value >> (7 - bit) & 1:
                modules |= module_of_bit[8 * n + bit]
    return modules


def _byte(flags: list[int]) -> int:
    value = 0
    for flag in flags:
        value = value << 1 | flag
    return value


class _Score:
    """The four penalties of ISO/IEC 18004 (evaluation of masks) over a whole symbol at once, one bit per module.

    Counted as the library counts them, so that the same mask is chosen.
    """

    def __init__(self, size: int) -> None:
        def columns_from(first: int) -> int:
            row = (1 << size - first) - 1
            return sum(row << size * n for n in range(size))

        self._size = size
        self._all = (1 << size * size) - 1
        self._not_left = columns_from(1)
        self._not_top = self._all >> size
        self._windows = columns_from(10)

    def of(self, modules: int) -> int:
        """The total penalty: lower is better."""
        size, light = self._size, modules ^ self._all
        beside = ~(modules ^ modules >> 1) & self._not_left
        below = ~(modules ^ modules >> size) & self._not_top
        blocks = (beside & beside >> size & below).bit_count()
        finders = self._finders(modules, light, 1, self._windows) + self._finders(modules, light, size, self._all)
        dark = modules.bit_count() / size**2
        balance = int(abs(dark * 100 - 50) / 5)
        return _runs(beside, 1) + _runs(below, size) + 3 * blocks + 40 * finders + 10 * balance

    @staticmethod
    def _finders(modules: int, light: int, step: int, windows: int) -> int:
        """Runs that look like a finder pattern, 1011101, with four light modules before or after."""
        core = modules & light >> step & modules >> 2 * step & modules >> 3 * step
        core &= modules >> 4 * step & light >> 5 * step & modules >> 6 * step
        margin = light & light >> step
        margin &= margin >> 2 * step
        return ((core >> 4 * step & margin) & windows).bit_count() + ((core & margin >> 7 * step) & windows).bit_count()


def _runs(same: int, step: int) -> int:
    """Runs of five or more equal modules: 3, and 1 for each module after the fifth."""
    pairs = same & same >> step
    fives = pairs & pairs >> 2 * step
    return fives.bit_count() + 2 * (fives & ~(fives >> step)).bit_count()


def _ask_library(text: str, version: int, level: Level) -> Symbol | None:
    """A symbol drawn by the library itself."""
    library = QRCode(version=version, error_correction=_LEVELS[level])
    is_alphanumeric = all(letter in _VALUE for letter in text)
    library.add_data(QRData(text.encode(), mode=_ALPHANUMERIC if is_alphanumeric else _BYTES), optimize=0)
    try:
        mask = library.best_mask_pattern()
    except DataOverflowError:
        return None
    library.makeImpl(False, mask)
    size = 4 * version + 17
    modules = _as_number(library.modules)
    rows = tuple(modules >> size * (size - 1 - n) & (1 << size) - 1 for n in range(size))
    return Symbol(version, level, mask, size, rows)


def _as_number(modules: Sequence[Sequence[bool | None]]) -> int:
    return int("".join("1" if module else "0" for row in modules for module in row), 2)
