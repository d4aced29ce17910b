"""Rasters as a PDF file at true size (ISO 32000-1): a page is as large as its label, and each dot is a printer dot.

The image starts at the upper left corner and is as large as its dots, not stretched to the page: where a label is not a
whole number of dots wide, stretching would make the printer resample every module. (The repair record is drawn with
fpdf2, which cannot promise that.)
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from traymark_labels.png import deflate
from traymark_labels.raster import Raster

_POINTS_PER_MM = Fraction(72 * 10, 254)
_INSET_DOTS = Fraction(1, 100)
"""PDF programs paint every dot that an image touches. One that ends exactly on a dot's edge touches the next, and
poppler then stretches it by a dot and blurs every module; ending a hundredth of a dot earlier avoids that."""


@dataclass(frozen=True)
class Page:
    """A raster, its resolution, and the size of the label in millimetres."""

    raster: Raster
    dots_per_um: Fraction
    width_mm: int
    height_mm: int


def pdf_bytes(pages: Sequence[Page]) -> bytes:
    """The whole file, one label per page. No dates and no names: the same labels give the same bytes."""
    first_page = 3
    kids = " ".join(f"{first_page + 3 * n} 0 R" for n in range(len(pages)))
    objects = [
        b"<< /Type /Catalog /Pages 2 0 R /ViewerPreferences << /PrintScaling /None >> >>",
        f"<< /Type /Pages /Kids [{kids}] /Count {len(pages)} >>".encode(),
    ]
    for n, page in enumerate(pages):
        objects += _page_objects(page, first_page + 3 * n)
    return _file(objects)


def _page_objects(page: Page, number: int) -> list[bytes]:
    raster = page.raster
    media_box, drawing = _frame(raster.width, raster.height, page.dots_per_um, page.width_mm, page.height_mm)
    picture = deflate(raster)
    return [
        (
            f"<< /Type /Page /Parent 2 0 R /MediaBox {media_box}"
            f" /Resources << /XObject << /Label {number + 2} 0 R >> >> /Contents {number + 1} 0 R >>"
        ).encode(),
        b"<< /Length %d >>\nstream\n%b\nendstream" % (len(drawing), drawing),
        (
            f"<< /Type /XObject /Subtype /Image /Width {raster.width} /Height {raster.height}"
            f" /ColorSpace /DeviceGray /BitsPerComponent 1 /Filter /FlateDecode"
            f" /DecodeParms << /Predictor 15 /Colors 1 /BitsPerComponent 1 /Columns {raster.width} >>"
            f" /Length {len(picture)} >>\nstream\n"
        ).encode()
        + picture
        + b"\nendstream",
    ]


@lru_cache(maxsize=64)
def _frame(dots_wide: int, dots_high: int, dots_per_um: Fraction, width_mm: int, height_mm: int) -> tuple[str, bytes]:
    """The page's box, and the placement of its image in it."""
    width, height = width_mm * _POINTS_PER_MM, height_mm * _POINTS_PER_MM
    points_per_dot = _POINTS_PER_MM / 1000 / dots_per_um
    inset = _INSET_DOTS * points_per_dot
    wide, high = dots_wide * points_per_dot, dots_high * points_per_dot
    matrix = (wide - 2 * inset, Fraction(0), Fraction(0), high - 2 * inset, inset, height - high + inset)
    return f"[0 0 {_number(width)} {_number(height)}]", f"{' '.join(map(_number, matrix))} cm /Label Do".encode()


def _file(objects: list[bytes]) -> bytes:
    out = bytearray(b"%PDF-1.4\n%\xe2\xe3\xcf\xd3\n")
    places: list[int] = []
    for n, body in enumerate(objects):
        places.append(len(out))
        out += b"%d 0 obj\n%b\nendobj\n" % (n + 1, body)
    table = len(out)
    out += b"xref\n0 %d\n0000000000 65535 f \n" % (len(objects) + 1)
    out += b"".join(b"%010d 00000 n \n" % place for place in places)
    out += b"trailer\n<< /Size %d /Root 1 0 R >>\nstartxref\n%d\n%%%%EOF\n" % (len(objects) + 1, table)
    return bytes(out)


def _number(value: Fraction) -> str:
    """Five decimals, which is a hundredth of a micrometre."""
    whole = round(value * 100_000)
    sign, whole = ("-", -whole) if whole < 0 else ("", whole)
    return f"{sign}{whole // 100_000}.{whole % 100_000:05}"
