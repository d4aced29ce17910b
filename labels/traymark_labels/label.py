"""Labels: kind, fields and resolution in; image, PNG and PDF out."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache, cached_property

from traymark_labels.draw import Picture, draw_layout, draw_symbol, letter_widths, to_image
from traymark_labels.fields import Fields, read_fields
from traymark_labels.kinds import Item, LabelKind, SymbolPlace, dots_per_um, label_kinds
from traymark_labels.layout import is_static, items_to_dots, lay_out, module_dots, symbol_corner, to_dots
from traymark_labels.pdf import Page, pdf_bytes
from traymark_labels.png import png_bytes
from traymark_labels.raster import Raster, Sheet
from traymark_labels.rejected import Rejected
from traymark_labels.symbol import Symbol, make_symbol


@dataclass(frozen=True)
class PlacedSymbol:
    """A symbol on a label; left and top are those of the first module, in dots."""

    symbol: Symbol
    module_dots: int
    left: int
    top: int

    @property
    def version(self) -> int:
        return self.symbol.version

    @property
    def level(self) -> str:
        return self.symbol.level


@dataclass(frozen=True)
class Label:
    """A drawn label. Its files are made on demand."""

    kind: LabelKind
    dpi: int
    payload: str
    symbol: PlacedSymbol
    raster: Raster

    @cached_property
    def image(self) -> Picture:
        """The dots as a Pillow picture of mode "1"."""
        return to_image(self.raster)

    def png(self) -> bytes:
        """One bit a dot; the file says how large a dot is."""
        return png_bytes(self.raster, dots_per_um()[self.dpi])

    def pdf(self) -> bytes:
        """One page of the label's true size."""
        return pdf_of([self])


def render(kind: str, fields: Fields, dpi: int) -> Label | Rejected:
    """Draw one label. `label-field`, with a pointer to what is wrong."""
    label_kind = label_kinds().get(kind)
    if label_kind is None:
        return Rejected("label-field", f"kind: one of {', '.join(label_kinds())} was expected", "/kind")
    per_um = dots_per_um().get(dpi)
    if per_um is None:
        return Rejected("label-field", f"dpi: one of {', '.join(map(str, dots_per_um()))} was expected", "/dpi")
    wording = read_fields(label_kind, fields)
    if isinstance(wording, Rejected):
        return wording
    placed = _placed_symbol(label_kind, wording.payload, per_um)
    if isinstance(placed, Rejected):
        return placed
    statics, items = _prepared(kind, dpi)
    sheet = Sheet(statics.width, statics.height, statics.scan_lines)
    draw_symbol(sheet, placed.symbol, placed.left, placed.top, placed.module_dots)
    draw_layout(sheet, lay_out(items, wording.words, letter_widths))
    return Label(label_kind, dpi, wording.payload, placed, sheet.raster())


def render_batch(requests: Iterable[tuple[str, Fields]], dpi: int) -> Iterator[Label | Rejected]:
    """Draw labels in order; a rejected one does not stop the others."""
    for kind, fields in requests:
        yield render(kind, fields, dpi)


def pdf_of(labels: Sequence[Label]) -> bytes:
    """One PDF with one label per page; sizes may differ."""
    return pdf_bytes(
        [Page(label.raster, dots_per_um()[label.dpi], label.kind.width_mm, label.kind.height_mm) for label in labels]
    )


def _placed_symbol(kind: LabelKind, payload: str, per_um: Fraction) -> PlacedSymbol | Rejected:
    place = kind.symbol
    symbol = make_symbol(payload, place.level, place.versions, raise_level=not place.is_fixed)
    dots, left, top = (0, 0, 0) if symbol is None else _symbol_dots(place, symbol.size, per_um)
    if symbol is None or dots == 0:
        name = "url" if place.payload == "url" else "code"
        return Rejected("label-field", f"{name}: too long for a symbol that scans well", f"/fields/{name}")
    return PlacedSymbol(symbol, dots, left, top)


@cache
def _symbol_dots(place: SymbolPlace, modules: int, per_um: Fraction) -> tuple[int, int, int]:
    """Dots per module (0 when too small to scan), and the upper left dot of the first module."""
    dots = module_dots(place, modules, per_um)
    return dots, *symbol_corner(place, modules, dots, per_um)


@cache
def _prepared(kind: str, dpi: int) -> tuple[Raster, tuple[Item, ...]]:
    """What all labels of a kind share, already drawn (rules and fixed words), and the items that differ per label."""
    label_kind, per_um = label_kinds()[kind], dots_per_um()[dpi]
    items = items_to_dots(label_kind.items, per_um)
    sheet = Sheet(to_dots(label_kind.width_mm * 1000, per_um), to_dots(label_kind.height_mm * 1000, per_um))
    draw_layout(sheet, lay_out([item for item in items if is_static(item)], {}, letter_widths))
    return sheet.raster(), tuple(item for item in items if not is_static(item))
