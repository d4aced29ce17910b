"""A record's sheet on A4 (ISO 216). Drawn with fpdf2, in the fonts of the labels, embedded in the file."""

from collections.abc import Callable
from importlib.resources import as_file, files
from typing import NamedTuple, cast

from fpdf import FPDF
from fpdf.enums import XPos, YPos

from traymark.views.record_sheet import Drawn, Part, Photo, Row, Sheet
from traymark.views.record_words import heading, result_word, words


class PaperPhoto(NamedTuple):
    """A photo for the paper: a JPEG, upright, with its size."""

    data: bytes
    width: int
    height: int


PhotoOf = Callable[[str], PaperPhoto | None]

_MARGIN_MM = 18.0
_WIDTH_MM = 210 - 2 * _MARGIN_MM
_FACT_MM = 38.0
_GAP_MM = 4.0
_PHOTO_COLUMNS = 3
_PHOTO_MM = (_WIDTH_MM - (_PHOTO_COLUMNS - 1) * _GAP_MM) / _PHOTO_COLUMNS
_PHOTO_HIGH_MM = 60.0
_INK, _SOFT, _LINE, _DEEP, _STOP, _WASH = (
    (23, 33, 31), (74, 83, 80), (196, 190, 176), (13, 75, 71), (140, 29, 24), (241, 238, 230),
)  # fmt: skip
_SIGN_COLOURS = {"done": _DEEP, "warn": _INK, "stop": _STOP, "under_way": _INK}
_FONTS = {
    "": ("fontpkg_atkinson_hyperlegible", "AtkinsonHyperlegible-Regular.ttf"),
    "B": ("fontpkg_atkinson_hyperlegible", "AtkinsonHyperlegible-Bold.ttf"),
}
# Parts with more facts than this are set small.
_MANY_FACTS = 40
_COLUMNS_MM = (40.0, 17.0, 20.0, 20.0, _WIDTH_MM - 97.0)


def _test_head() -> tuple[str, str, str, str, str]:
    """The columns of names and verdicts need no heading on paper."""
    names = words("columns")
    return "", names["intake"], names["prefit"], names["final"], ""


def record_pdf(sheet: Sheet, photo_of: PhotoOf, made: str) -> bytes:
    """The whole document. A photo that has not arrived is named, not left out."""
    paper = _Paper(sheet, made)
    paper.head()
    paper.facts(sheet.facts)
    for text in sheet.cautions:
        paper.caution(text)
    for part in sheet.parts:
        paper.part(part)
    paper.tests(sheet.rows, sheet.alike)
    if sheet.rounds is not None:
        paper.part(sheet.rounds)
    paper.photos(sheet.photos, photo_of)
    for part in sheet.long:
        paper.part(part)
    return bytes(paper.pdf.output())


class _Document(FPDF):
    """Pages with a footer."""

    foot = ""

    def footer(self) -> None:
        self.set_y(-13)
        self.set_font("letters", "", 8.5)
        self.set_text_color(*_SOFT)
        self.cell(_WIDTH_MM / 2, 5, self.foot)
        self.cell(_WIDTH_MM / 2, 5, f"Page {self.page_no()} of {{nb}}", align="R")


class _Paper:
    def __init__(self, sheet: Sheet, made: str) -> None:
        self.sheet = sheet
        self.pdf = _Document(format="A4")
        self.pdf.foot = f"{sheet.foot} Printed {made}" if sheet.foot.endswith(".") else f"{sheet.foot}. Printed {made}"
        self.pdf.set_margins(_MARGIN_MM, 14, _MARGIN_MM)
        self.pdf.c_margin = 0  # letters begin where rules and photos begin
        self.pdf.set_auto_page_break(True, 15)
        self.pdf.set_title(sheet.title)
        self.pdf.set_lang("en")
        self.pdf.set_creator("Traymark")
        for style, (package, name) in _FONTS.items():
            with as_file(files(package) / "files" / name) as path:
                self.pdf.add_font("letters", style, path)
        with as_file(files("fontpkg_noto_sans") / "files" / "NotoSans[wdth,wght].ttf") as path:
            self.pdf.add_font("more", "", path)
        self.pdf.set_fallback_fonts(["more"], exact_match=False)
        self.pdf.add_page()

    def head(self) -> None:
        sheet, pdf = self.sheet, self.pdf
        self._font(10.5, bold=True)
        pdf.cell(_WIDTH_MM * 0.55, 5, sheet.shop)
        self._font(9.5, colour=_SOFT)
        pdf.cell(_WIDTH_MM * 0.45, 5, sheet.contact, align="R", new_x=XPos.LMARGIN, new_y=YPos.NEXT)
        self._rule(2, _INK, 0.5)
        pdf.ln(5)
        self._font(21, bold=True)
        self._text(9, sheet.title)
        pdf.ln(3)
        colour = _SIGN_COLOURS[sheet.sign]
        top = pdf.get_y()
        self._sign(_MARGIN_MM, top + 0.6, colour)
        pdf.set_x(_MARGIN_MM + 9)
        self._font(14, bold=True, colour=colour)
        pdf.multi_cell(_WIDTH_MM - 9, 7, sheet.outcome, new_x=XPos.LMARGIN, new_y=YPos.NEXT, align="L")
        if sheet.reason:
            pdf.ln(1)
            self._font(11)
            self._text(5.4, " ".join(sheet.reason))
        pdf.ln(4)

    def facts(self, facts: tuple[tuple[str, str], ...], *, is_list: bool = False) -> None:
        """Name and value side by side; a pair is never split across pages."""
        pdf = self.pdf
        name_mm, line_mm, size, gap_mm = (62.0, 4.2, 8.5, 0.4) if is_list else (_FACT_MM, 5.0, 10.5, 1.2)
        for name, value in facts:
            self._font(size)
            counts = [self._count(wide, text) for wide, text in ((name_mm - 2, name), (_WIDTH_MM - name_mm, value))]
            high = line_mm * max(counts)
            self._keep_together(high)
            top = pdf.get_y()
            self._font(size, colour=_SOFT)
            pdf.multi_cell(name_mm - 2, line_mm, name, align="L")
            pdf.set_xy(_MARGIN_MM + name_mm, top)
            self._font(size)
            pdf.multi_cell(_WIDTH_MM - name_mm, line_mm, value, align="L")
            pdf.set_xy(_MARGIN_MM, top + high + gap_mm)

    def caution(self, text: str) -> None:
        pdf = self.pdf
        pdf.ln(2)
        self._font(10.5)
        high = 5 * self._count(_WIDTH_MM - 15, text) + 5
        self._keep_together(high)
        top = pdf.get_y()
        pdf.set_fill_color(*_WASH)
        pdf.rect(_MARGIN_MM, top, _WIDTH_MM, high, style="F")
        pdf.set_fill_color(*_INK)
        left, middle = _MARGIN_MM + 4, top + high / 2
        pdf.polygon([(left, middle + 2.6), (left + 5.6, middle + 2.6), (left + 2.8, middle - 2.4)], style="F")
        pdf.set_xy(_MARGIN_MM + 13, top + 2.5)
        pdf.multi_cell(_WIDTH_MM - 15, 5, text, align="L")
        pdf.set_xy(_MARGIN_MM, top + high)

    def part(self, part: Part) -> None:
        self._heading(part.title)
        self.facts(part.facts, is_list=len(part.facts) > _MANY_FACTS)
        for line in part.lines:
            self._font(10.5)
            self._text(5.2, line)
            self.pdf.ln(1)

    def tests(self, rows: tuple[Row, ...], alike: tuple[tuple[str, str], ...]) -> None:
        if not rows and not alike:
            return
        self._heading(heading("tests"))
        if rows:
            self._test_line(_test_head(), head=True)
        for row in rows:
            self._test_line((row.name, *(result_word(result) for result in row.results), row.says), row=row)
        for says, names in alike:
            self.pdf.ln(2.5)
            self._font(10.5)
            self._keep_together(5.2 * (self._count(_WIDTH_MM, names) + 1))
            self._font(10.5, bold=True)
            self._text(5.2, says)
            self._font(10.5)
            self._text(5.2, names)

    def photos(self, photos: tuple[Photo, ...], photo_of: PhotoOf) -> None:
        if not photos:
            return
        self._heading(heading("photos"), needs_mm=0.75 * _PHOTO_MM + 18.5)
        for first in range(0, len(photos), _PHOTO_COLUMNS):
            pair = photos[first : first + _PHOTO_COLUMNS]
            sized = [(photo, photo_of(photo.sha256)) for photo in pair]
            high = max(_size_mm(found)[1] for _, found in sized)
            self._font(9)
            said = max(self._count(_PHOTO_MM, photo.caption) for photo in pair)
            self._keep_together(high + 4.4 * said + 2)
            top = self.pdf.get_y()
            for column, (photo, found) in enumerate(sized):
                left = _MARGIN_MM + column * (_PHOTO_MM + _GAP_MM)
                self._photo(photo, found, left, top)
                self.pdf.set_xy(left, top + high + 1.5)
                self._font(9, colour=_SOFT)
                self.pdf.multi_cell(_PHOTO_MM, 4.4, photo.caption, align="L")
            self.pdf.set_xy(_MARGIN_MM, top + high + 4.4 * said + 6)

    def _photo(self, photo: Photo, found: PaperPhoto | None, left: float, top: float) -> None:
        pdf = self.pdf
        wide, high = _size_mm(found)
        if found is None:
            pdf.set_draw_color(*_LINE)
            pdf.rect(left, top, wide, high)
            pdf.set_xy(left, top + high / 2 - 3)
            self._font(9.5, colour=_SOFT)
            pdf.multi_cell(wide, 5, "Not on the server yet", align="C")
            return
        pdf.image(found.data, left, top, wide, high, alt_text=photo.caption)
        for drawn in photo.marks:
            self._mark(drawn, left, top, wide, high)

    def _mark(self, drawn: Drawn, left: float, top: float, wide: float, high: float) -> None:
        pdf, m = self.pdf, drawn.mark
        x, y = left + m["x_pm"] * wide / 1000, top + m["y_pm"] * high / 1000
        r = (m["r_pm"] or 0) * max(wide, high) / 1000
        to_x, to_y = left + (m["to_x_pm"] or 0) * wide / 1000, top + (m["to_y_pm"] or 0) * high / 1000
        with pdf.rect_clip(left, top, wide, high):
            for colour, width in (((11, 15, 15), 1.1), ((255, 223, 92), 0.5)):
                pdf.set_draw_color(*colour)
                pdf.set_line_width(width)
                if m["shape"] == "circle":
                    pdf.ellipse(x - r, y - r, 2 * r, 2 * r)
                else:
                    self._arrow(x, y, to_x, to_y)
        at_x = x + 0.71 * r if m["shape"] == "circle" else x
        at_y = y - 0.71 * r if m["shape"] == "circle" else y
        at_x, at_y = min(max(at_x, left + 2.2), left + wide - 2.2), min(max(at_y, top + 2.2), top + high - 2.2)
        pdf.set_fill_color(11, 15, 15)
        pdf.set_line_width(0.3)
        pdf.ellipse(at_x - 2.2, at_y - 2.2, 4.4, 4.4, style="FD")
        self._font(8, bold=True, colour=(255, 255, 255))
        pdf.set_xy(at_x - 3, at_y - 2)
        pdf.cell(6, 4, str(drawn.number), align="C")

    def _arrow(self, x: float, y: float, to_x: float, to_y: float) -> None:
        length = ((to_x - x) ** 2 + (to_y - y) ** 2) ** 0.5 or 1
        along_x, along_y = (to_x - x) / length * 3, (to_y - y) / length * 3
        self.pdf.line(x, y, to_x, to_y)
        for side in (0.55, -0.55):
            self.pdf.line(to_x - along_x + side * along_y, to_y - along_y - side * along_x, to_x, to_y)

    def _test_line(self, cells: tuple[str, ...], *, head: bool = False, row: Row | None = None) -> None:
        pdf = self.pdf
        self._font(9.5, bold=head)
        counts = [self._count(wide - 2, text) for wide, text in zip(_COLUMNS_MM, cells, strict=True)]
        high = 4.6 * max(counts) + 2.4
        if pdf.will_page_break(high):
            pdf.add_page()
            if not head:
                self._test_line(_test_head(), head=True)
        top, left = pdf.get_y(), _MARGIN_MM
        for column, (wide, text) in enumerate(zip(_COLUMNS_MM, cells, strict=True)):
            slug = row.results[column - 1] if row is not None and 1 <= column <= 3 else ""
            colour = _SOFT if head or slug == "none" else _STOP if slug == "fail" else _INK
            self._font(
                9.5, bold=head or slug == "fail" or (column == 0 and row is not None and row.fails), colour=colour
            )
            pdf.set_xy(left, top + 1.2)
            pdf.multi_cell(wide - 2, 4.6, text, align="L")
            left += wide
        pdf.set_xy(_MARGIN_MM, top + high)
        self._rule(0, _LINE, 0.2)

    def _heading(self, text: str, needs_mm: float = 24) -> None:
        self._keep_together(needs_mm)
        self.pdf.ln(4)
        self._font(13, bold=True)
        self._text(6, text)
        self.pdf.ln(1.5)

    def _keep_together(self, high_mm: float) -> None:
        if self.pdf.will_page_break(high_mm):
            self.pdf.add_page()

    def _sign(self, left: float, top: float, colour: tuple[int, int, int]) -> None:
        """Square with tick, triangle, octagon with bar, or ring: as on the screens, told apart without colour."""
        pdf = self.pdf
        pdf.set_fill_color(*colour)
        pdf.set_draw_color(255, 255, 255)
        pdf.set_line_width(0.8)
        if self.sheet.sign == "under_way":
            pdf.ellipse(left, top, 5.8, 5.8, style="F")
            pdf.set_fill_color(255, 255, 255)
            pdf.ellipse(left + 1.6, top + 1.6, 2.6, 2.6, style="F")
        elif self.sheet.sign == "warn":
            pdf.polygon([(left, top + 5.6), (left + 5.8, top + 5.6), (left + 2.9, top + 0.4)], style="F")
        elif self.sheet.sign == "done":
            pdf.rect(left, top, 5.8, 5.8, style="F")
            pdf.line(left + 1.4, top + 3.1, left + 2.5, top + 4.2)
            pdf.line(left + 2.5, top + 4.2, left + 4.6, top + 1.8)
        else:
            corners = [(1.7, 0), (4.1, 0), (5.8, 1.7), (5.8, 4.1), (4.1, 5.8), (1.7, 5.8), (0, 4.1), (0, 1.7)]
            pdf.polygon([(left + x, top + y) for x, y in corners], style="F")
            pdf.line(left + 1.5, top + 2.9, left + 4.3, top + 2.9)

    def _rule(self, after_mm: float, colour: tuple[int, int, int], width_mm: float) -> None:
        y = self.pdf.get_y() + after_mm
        self.pdf.set_draw_color(*colour)
        self.pdf.set_line_width(width_mm)
        self.pdf.line(_MARGIN_MM, y, _MARGIN_MM + _WIDTH_MM, y)
        self.pdf.set_y(y)

    def _count(self, wide_mm: float, text: str) -> int:
        """How many lines a text takes in the current font."""
        return max(1, len(cast("list[str]", self.pdf.multi_cell(wide_mm, 5, text, dry_run=True, output="LINES"))))

    def _text(self, line_mm: float, text: str) -> None:
        self.pdf.multi_cell(_WIDTH_MM, line_mm, text, align="L", new_x=XPos.LMARGIN, new_y=YPos.NEXT)

    def _font(self, size: float, *, bold: bool = False, colour: tuple[int, int, int] = _INK) -> None:
        self.pdf.set_font("letters", "B" if bold else "", size)
        self.pdf.set_text_color(*colour)


def _size_mm(found: PaperPhoto | None) -> tuple[float, float]:
    if found is None:
        return _PHOTO_MM, _PHOTO_MM * 0.6
    scale = min(_PHOTO_MM / found.width, _PHOTO_HIGH_MM / found.height)
    return found.width * scale, found.height * scale
