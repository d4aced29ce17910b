"""A raster as a PNG file with one bit per dot and its true size (W3C PNG: IHDR, pHYs, IDAT, IEND)."""

import struct
import zlib
from fractions import Fraction
from functools import lru_cache

from traymark_labels.layout import to_dots
from traymark_labels.raster import Raster

_SIGNATURE = b"\x89PNG\r\n\x1a\n"
_UM_PER_METRE = 1_000_000


def deflate(raster: Raster) -> bytes:
    """The compressed scan lines; PDF takes the same bytes. The fastest level is enough: most dots are white."""
    return zlib.compress(raster.scan_lines, 1)


def png_bytes(raster: Raster, dots_per_um: Fraction) -> bytes:
    """The whole file."""
    return _before(raster.width, raster.height, dots_per_um) + _chunk(b"IDAT", deflate(raster)) + _chunk(b"IEND", b"")


@lru_cache(maxsize=64)
def _before(width: int, height: int, dots_per_um: Fraction) -> bytes:
    """Everything before the dots."""
    per_metre = to_dots(_UM_PER_METRE, dots_per_um)
    header = struct.pack(">IIBBBBB", width, height, 1, 0, 0, 0, 0)
    size = struct.pack(">IIB", per_metre, per_metre, 1)
    return _SIGNATURE + _chunk(b"IHDR", header) + _chunk(b"pHYs", size)


def _chunk(name: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))
