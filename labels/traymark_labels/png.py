"""A raster as a PNG file of one bit a dot, with its true size (W3C PNG: IHDR, pHYs, IDAT, IEND)."""

import struct
import zlib
from fractions import Fraction

from traymark_labels.layout import to_dots
from traymark_labels.raster import Raster

_SIGNATURE = b"\x89PNG\r\n\x1a\n"
_UM_PER_METRE = 1_000_000


def deflate(raster: Raster) -> bytes:
    """The scan lines compressed; PDF takes the same bytes. The quickest level is enough: most dots are white."""
    return zlib.compress(raster.scan_lines, 1)


def png_bytes(raster: Raster, dots_per_um: Fraction) -> bytes:
    """The whole file."""
    per_metre = to_dots(_UM_PER_METRE, dots_per_um)
    header = struct.pack(">IIBBBBB", raster.width, raster.height, 1, 0, 0, 0, 0)
    size = struct.pack(">IIB", per_metre, per_metre, 1)
    return _SIGNATURE + b"".join(
        _chunk(name, body)
        for name, body in ((b"IHDR", header), (b"pHYs", size), (b"IDAT", deflate(raster)), (b"IEND", b""))
    )


def _chunk(name: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))
