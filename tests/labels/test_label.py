"""Finished labels: readable from every file, with their quiet zone, true to size, and nothing overlapping."""

import io
import os
import re
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from itertools import combinations
from pathlib import Path

import pytest
from PIL import Image, ImageChops

from tests.labels.samples import DPI, SAMPLES, longest, with_counter
from tests.labels.scanning import pdf_on_paper, picture_in_pdf, scan
from traymark_labels import Code, Label, Rejected, Ticket, parse_payload, pdf_of, render, render_batch
from traymark_labels.draw import draw_layout, letter_widths
from traymark_labels.fields import Wording, read_fields
from traymark_labels.kinds import Box, TextItem, dots_per_um, label_kinds
from traymark_labels.layout import Layout, items_to_dots, lay_out
from traymark_labels.raster import Sheet

EVERY = [pytest.param(kind, dpi, id=f"{kind}-{dpi}") for kind in SAMPLES for dpi in DPI]
STRANGE = {
    "greek and cyrillic": "Οδός Ηλίου · Мастерская «Ключ»",
    "vietnamese": "Sửa điện thoại Ễ Ẫ",
    "letters of no font here": "修理屋 ซ่อม إصلاح 📱",
    "combining": "Me\u0301lange A\u030angstro\u0308m",
    "line feeds": "one\ntwo\tthree",
    "one long word": "W" * 30,
}


def drawn(kind: str, dpi: int, fields: dict[str, str | int] | None = None) -> Label:
    label = render(kind, fields or SAMPLES[kind], dpi)
    assert isinstance(label, Label)
    return label


@pytest.mark.parametrize(("kind", "dpi"), EVERY)
def test_symbol_is_read_back_from_the_png(kind: str, dpi: int) -> None:
    label = drawn(kind, dpi)
    with Image.open(io.BytesIO(label.png())) as image:
        assert scan(image) == [label.payload]


@pytest.mark.parametrize(("kind", "dpi"), EVERY)
def test_symbol_is_read_back_from_the_picture_in_the_pdf(kind: str, dpi: int) -> None:
    label = drawn(kind, dpi)
    image = picture_in_pdf(label.pdf())
    assert scan(image) == [label.payload]
    assert ImageChops.difference(image.convert("L"), label.image.convert("L")).getbbox() is None


@pytest.mark.parametrize(("kind", "dpi"), EVERY)
def test_a_pdf_program_puts_every_dot_where_it_belongs(kind: str, dpi: int, tmp_path: Path) -> None:
    label = drawn(kind, dpi)
    # 8 dots per millimetre are 203.2 dpi, and this program takes whole numbers only: 5 times that is one.
    paper = pdf_on_paper(label.pdf(), 1016 if dpi == 203 else dpi, tmp_path)
    if paper is None:
        if os.environ.get("CI") == "true":
            pytest.fail("no pdftoppm")
        pytest.skip("no pdftoppm")
    assert scan(paper) == [label.payload]
    if dpi != 203:
        shown = paper.crop((0, 0, label.raster.width, label.raster.height)).convert("1", dither=Image.Dither.NONE)
        assert ImageChops.difference(shown.convert("L"), label.image.convert("L")).getbbox() is None


@pytest.mark.parametrize("kind", SAMPLES)
def test_what_is_read_back_is_what_the_fields_say(kind: str) -> None:
    (text,) = scan(drawn(kind, 203).image)
    read = parse_payload(text)
    if kind == "ticket":
        assert read == Ticket("HTTPS://BENCH.LOCAL:8443", str(SAMPLES["ticket"]["url"])[-26:])
    else:
        assert read == Code(str(SAMPLES[kind]["code"]), str(SAMPLES[kind]["code"])[0])


@pytest.mark.parametrize(("kind", "dpi"), EVERY)
def test_quiet_zone_of_four_modules_is_white_even_with_the_longest_texts(kind: str, dpi: int) -> None:
    label = drawn(kind, dpi, longest(kind))
    symbol = label.symbol
    side, quiet = symbol.symbol.size * symbol.module_dots, 4 * symbol.module_dots
    around = (symbol.left - quiet, symbol.top - quiet, symbol.left + side + quiet, symbol.top + side + quiet)
    assert min(around[:2]) >= 0
    assert around[2] <= label.raster.width
    assert around[3] <= label.raster.height
    ink = ImageChops.invert(label.image.convert("L").crop(around))
    # The finder patterns touch three sides of a symbol, so its ink begins exactly where the quiet zone ends.
    left, top, right, bottom = ink.getbbox() or (0, 0, 0, 0)
    assert (left, top) == (quiet, quiet)
    assert right == quiet + side
    assert bottom == quiet + side


@pytest.mark.parametrize(("kind", "dpi"), EVERY)
def test_every_module_is_a_plain_square_of_whole_dots(kind: str, dpi: int) -> None:
    label = drawn(kind, dpi)
    symbol, dots = label.symbol, label.symbol.module_dots
    image = label.image
    for y, row in enumerate(symbol.symbol.rows):
        for x in range(symbol.symbol.size):
            left, top = symbol.left + x * dots, symbol.top + y * dots
            white, black = 255, 0
            wanted = black if row >> (symbol.symbol.size - 1 - x) & 1 else white
            module = image.crop((left, top, left + dots, top + dots))
            assert module.getextrema() == (wanted, wanted)


@pytest.mark.parametrize(("kind", "dpi"), EVERY)
def test_module_is_at_least_as_large_as_the_table_asks(kind: str, dpi: int) -> None:
    label = drawn(kind, dpi)
    assert label.symbol.module_dots / dots_per_um()[dpi] >= label.kind.symbol.least_module_um


@pytest.mark.parametrize("text", STRANGE.values(), ids=STRANGE.keys())
@pytest.mark.parametrize("kind", SAMPLES)
def test_strange_text_is_drawn_and_leaves_the_symbol_alone(kind: str, text: str) -> None:
    texts = {name: text[: field.most] for name, field in label_kinds()[kind].fields.items() if field.type == "text"}
    label = drawn(kind, 300, {**SAMPLES[kind], **texts})
    assert scan(label.image) == [label.payload]
    if texts:
        assert label.raster != drawn(kind, 300).raster


@pytest.mark.parametrize("text", STRANGE.values(), ids=STRANGE.keys())
@pytest.mark.parametrize(("kind", "dpi"), EVERY)
def test_no_ink_of_one_text_falls_on_another(kind: str, dpi: int, text: str) -> None:
    """Each item is drawn on a sheet of its own: no two blacken the same dot, and none is cut at its box."""
    row = label_kinds()[kind]
    texts = {name: text[: field.most] for name, field in row.fields.items() if field.type == "text"}
    wording = read_fields(row, {**SAMPLES[kind], **texts})
    assert isinstance(wording, Wording)
    layout = lay_out(items_to_dots(row.items, dots_per_um()[dpi]), wording.words, letter_widths)
    size = drawn(kind, dpi).image.size
    inks = [ink_of(Layout((), (line,)), size) for line in layout.lines if not line.white]
    inks += [ink_of(Layout((rule,), ()), size) for rule in layout.rules]
    assert len(inks) > 2
    boxes = [ink.getbbox() for ink in inks]
    for (a, one), (b, other) in combinations(zip(inks, boxes, strict=True), 2):
        if one and other and one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]:
            assert ImageChops.darker(a, b).getbbox() is None


def ink_of(layout: Layout, size: tuple[int, int]) -> Image.Image:
    sheet = Sheet(*size)
    draw_layout(sheet, layout)
    raster = sheet.raster()
    step = raster.line_bytes
    rows = b"".join(raster.scan_lines[n + 1 : n + step] for n in range(0, len(raster.scan_lines), step))
    return ImageChops.invert(Image.frombytes("1", size, rows).convert("L"))


@pytest.mark.parametrize(("kind", "dpi"), EVERY)
def test_no_letter_is_cut_at_the_edge_of_its_line(kind: str, dpi: int) -> None:
    """Lines drawn again in larger boxes give the same ink."""
    row = label_kinds()[kind]
    wording = read_fields(row, {**SAMPLES[kind], **accents(kind)})
    assert isinstance(wording, Wording)
    layout = lay_out(items_to_dots(row.items, dots_per_um()[dpi]), wording.words, letter_widths)
    for line in layout.lines:
        if line.white:
            continue
        spare = line.size
        left, top, width, height = line.box
        roomy = Box(left + spare, top, width + 2 * spare, height + 2 * spare)
        pens = tuple(pen + 2 * spare for pen in line.pens)
        moved = replace(line, pens=pens, baseline=line.baseline + spare, box=roomy)
        size = (left + width + 5 * spare, top + height + 3 * spare)
        near, far = ink_of(Layout((), (line,)), size).getbbox(), ink_of(Layout((), (moved,)), size).getbbox()
        assert near is not None
        assert far is not None
        assert (far[0] - near[0], far[1] - near[1]) == (2 * spare, spare)
        assert (far[2] - far[0], far[3] - far[1]) == (near[2] - near[0], near[3] - near[1])


def accents(kind: str) -> dict[str, str | int]:
    most = {name: field.most for name, field in label_kinds()[kind].fields.items() if field.type == "text"}
    return {name: "ÅÄÉQgjþ"[:length] for name, length in most.items()}


@pytest.mark.parametrize(("kind", "dpi"), EVERY)
def test_png_says_its_true_size(kind: str, dpi: int) -> None:
    label = drawn(kind, dpi)
    file = label.png()
    at = file.index(b"pHYs")
    per_metre = int.from_bytes(file[at + 4 : at + 8], "big")
    assert file[at + 12] == 1
    assert per_metre == {203: 8000, 300: 11811, 600: 23622}[dpi]
    with Image.open(io.BytesIO(file)) as image:
        assert image.mode == "1"
        assert abs(image.width / per_metre * 1000 - label.kind.width_mm) < 0.07  # half a dot, at 8 dots per millimetre
        assert abs(image.height / per_metre * 1000 - label.kind.height_mm) < 0.07


@pytest.mark.parametrize(("kind", "dpi"), EVERY)
def test_pdf_page_and_its_dots_are_true_to_size(kind: str, dpi: int) -> None:
    label = drawn(kind, dpi)
    file = label.pdf()
    box = re.search(rb"/MediaBox \[0 0 ([0-9.]+) ([0-9.]+)\]", file)
    placed = re.search(rb"([0-9.]+) 0.00000 0.00000 ([0-9.]+) ([0-9.]+) (-?[0-9.]+) cm", file)
    assert box is not None
    assert placed is not None
    width, height = (float(number) for number in box.groups())
    assert width == pytest.approx(label.kind.width_mm / 25.4 * 72, abs=1e-4)
    assert height == pytest.approx(label.kind.height_mm / 25.4 * 72, abs=1e-4)
    wide, high, right, up = (float(number) for number in placed.groups())
    per_inch = Fraction(2032, 10) if dpi == 203 else Fraction(dpi)
    dot = float(72 / per_inch)
    # The picture is a hundredth of a dot inside its place all round (pdf.py says why).
    assert wide + dot / 50 == pytest.approx(label.raster.width * dot, abs=1e-4)
    assert high + dot / 50 == pytest.approx(label.raster.height * dot, abs=1e-4)
    assert right == pytest.approx(dot / 100, abs=1e-4)
    assert up + high + dot / 100 == pytest.approx(height, abs=1e-4)


def test_pdf_cross_references_point_at_their_objects() -> None:
    file = pdf_of([drawn("tray", 203), drawn("box", 600), drawn("badge", 300)])
    start = int(file.rsplit(b"startxref\n", 1)[1].split()[0])
    assert file[start:].startswith(b"xref\n0 ")
    rows = file[start:].splitlines()[2:]
    places = [int(row.split()[0]) for row in rows if row.endswith(b" n ")]
    assert len(places) == 2 + 3 * 3
    assert [file[place:].split(b" ", 1)[0] for place in places] == [str(n + 1).encode() for n in range(len(places))]


def test_pdf_of_several_labels_has_a_page_of_its_own_size_for_each() -> None:
    file = pdf_of([drawn("tray", 203), drawn("box", 203)])
    sizes = re.findall(rb"/MediaBox \[0 0 ([0-9.]+) ([0-9.]+)\]", file)
    assert sizes == [(b"175.74803", b"82.20472"), (b"283.46457", b"425.19685")]


def test_203_dots_per_inch_are_8_per_millimetre() -> None:
    assert drawn("box", 203).image.size == (800, 1200)
    assert drawn("tray", 203).image.size == (496, 232)


def test_the_same_label_is_the_same_file_every_time() -> None:
    assert drawn("core", 300).png() == drawn("core", 300).png()
    assert drawn("core", 300).pdf() == drawn("core", 300).pdf()


def test_one_label_leaves_no_trace_in_the_next() -> None:
    bare = {"code": SAMPLES["core"]["code"]} | {
        name: SAMPLES["core"][name] for name in ("job", "part", "supplier", "condition", "purpose")
    }
    first = drawn("core", 203, bare).raster
    drawn("core", 203, longest("core"))
    assert drawn("core", 203, bare).raster == first


CAUTIONED = ["box", "core", "device", "part"]
EVERY_CAUTION = [
    (kind, value)
    for kind in CAUTIONED
    for value in label_kinds()[kind].fields["battery_caution"].words
    if value != "none"
]


@pytest.mark.parametrize("kind", CAUTIONED)
def test_caution_is_printed_only_where_a_battery_is_named(kind: str) -> None:
    def bottom(fields: dict[str, str | int]) -> Image.Image:
        image = drawn(kind, 300, fields).image
        return image.crop((image.width // 2, image.height * 7 // 8, image.width, image.height))

    without = {name: value for name, value in SAMPLES[kind].items() if name != "battery_caution"}
    assert bottom(without).getextrema() == (255, 255)
    assert bottom({**without, "battery_caution": "none"}).getextrema() == (255, 255)
    values = [value for of, value in EVERY_CAUTION if of == kind]
    printed = [bottom({**without, "battery_caution": value}) for value in values]
    assert all(strip.getextrema() == (0, 255) for strip in printed)
    assert len({strip.tobytes() for strip in printed}) == len(printed)


@pytest.mark.parametrize(("kind", "value"), EVERY_CAUTION)
def test_caution_is_never_cut(kind: str, value: str) -> None:
    row = label_kinds()[kind]
    text = row.fields["battery_caution"].words[value]
    for dpi in DPI:
        items = [i for i in items_to_dots(row.items, dots_per_um()[dpi]) if isinstance(i, TextItem) and i.white]
        lines = lay_out(items, {"battery_caution": text}, letter_widths).lines
        assert " ".join(line.text for line in lines) == text


@pytest.mark.parametrize(("kind", "value"), [row for row in EVERY_CAUTION if row[0] in ("box", "core")])
def test_caution_of_what_is_shipped_defers_to_rules_and_licensed_people(kind: str, value: str) -> None:
    text = label_kinds()[kind].fields["battery_caution"].words[value]
    assert "rules" in text
    assert "licensed shipper" in text
    assert "UN34" not in text, "a label asks nobody to take it for a classification"


def test_a_label_tells_loose_batteries_from_those_in_parts_and_from_unsafe_ones() -> None:
    def begins(kind: str) -> dict[str, str]:
        words = label_kinds()[kind].fields["battery_caution"].words
        return {value: text.partition(".")[0] for value, text in words.items() if text}

    single = {
        "battery_inside": "BATTERY IN THE PART",
        "battery_loose": "LOOSE BATTERIES",
        "battery_failed": "BATTERY FAILED: ASK THE SHIPPER",
        "battery_damaged": "BATTERY DAMAGED",
    }
    assert begins("core") == single
    assert begins("part") == {**single, "battery_failed": "BATTERY FAILED"}
    # What failed or is damaged is never in a box.
    assert begins("box") == {"battery_inside": "BATTERIES IN THE PARTS", "battery_loose": "LOOSE BATTERIES"}
    assert begins("device") == {"battery_unsafe": "BATTERY UNSAFE"}


@pytest.mark.parametrize("dpi", DPI)
def test_badge_shows_no_letter_of_its_secret(dpi: int) -> None:
    row = label_kinds()["badge"]
    wording = read_fields(row, SAMPLES["badge"])
    assert isinstance(wording, Wording)
    layout = lay_out(items_to_dots(row.items, dots_per_um()[dpi]), wording.words, letter_widths)
    printed = "".join(line.text for line in layout.lines)
    secret = str(SAMPLES["badge"]["code"])[4:19]
    assert "W00A" in printed
    assert not any(secret[n : n + 4] in printed for n in range(12))


def rejections() -> Iterator[tuple[str, dict[str, str | int], str]]:
    tray, ticket, core, box = (SAMPLES[kind] for kind in ("tray", "ticket", "core", "box"))
    yield "tray", {}, "/fields/code"
    yield "tray", {"code": ""}, "/fields/code"
    yield "tray", {**tray, "code": "T7K200002M"}, "/fields/code"
    yield "tray", {**tray, "code": SAMPLES["device"]["code"]}, "/fields/code"
    yield "tray", {**tray, "code": 7}, "/fields/code"
    yield "tray", {**tray, "name": "x" * 13}, "/fields/name"
    yield "tray", {**tray, "name": "bell\a"}, "/fields/name"
    yield "tray", {**tray, "name": "half \ud83d"}, "/fields/name"
    yield "tray", {**tray, "colour/~": "red"}, "/fields/colour~1~0"
    yield "badge", {**SAMPLES["badge"], "code": SAMPLES["tray"]["code"]}, "/fields/code"
    yield "ticket", {**ticket, "url": "https://bench.local/other"}, "/fields/url"
    yield "ticket", {**ticket, "url": SAMPLES["tray"]["code"]}, "/fields/url"
    yield "ticket", {**ticket, "url": f"https://{'a' * 60}.{'b' * 60}.example/T/{'0' * 26}"}, "/fields/url"
    yield "core", {**core, "purpose": "gift"}, "/fields/purpose"
    yield "core", {**core, "battery_caution": "yes"}, "/fields/battery_caution"
    yield "box", {**box, "battery_caution": "battery_damaged"}, "/fields/battery_caution"
    yield "box", {**box, "battery_caution": "battery_failed"}, "/fields/battery_caution"
    yield "box", {**box, "count": -1}, "/fields/count"
    yield "box", {**box, "count": "1.5"}, "/fields/count"
    yield "box", {**box, "count": "٣"}, "/fields/count"
    yield "box", {**box, "count": True}, "/fields/count"
    yield "box", {**box, "weight_g": 1_000_000}, "/fields/weight_g"


@pytest.mark.parametrize(("kind", "fields", "pointer"), list(rejections()))
def test_bad_field_is_refused_and_named(kind: str, fields: dict[str, str | int], pointer: str) -> None:
    refused = render(kind, fields, 203)
    assert isinstance(refused, Rejected)
    assert (refused.slug, refused.pointer) == ("label-field", pointer)
    assert refused.detail != ""


def test_unknown_kind_and_resolution_are_refused_and_named() -> None:
    for refused, pointer in ((render("poster", {}, 203), "/kind"), (render("tray", SAMPLES["tray"], 72), "/dpi")):
        assert isinstance(refused, Rejected)
        assert (refused.slug, refused.pointer) == ("label-field", pointer)


def test_grouped_and_lower_case_codes_are_printed_in_the_one_spelling() -> None:
    code = str(SAMPLES["tray"]["code"])
    assert (
        drawn("tray", 203, {"code": f"{code[:5]} {code[5:]}".lower()}).raster
        == drawn("tray", 203, {"code": code}).raster
    )


def test_longest_ticket_address_still_fits_at_the_level_asked_for() -> None:
    most = label_kinds()["ticket"].fields["url"].most
    host = "A" * 60 + "." + "B" * (most - len("HTTPS:///T/") - 26 - 61)
    url = f"HTTPS://{host}/T/{'0' * 26}"
    assert len(url) == most
    for dpi in DPI:
        label = drawn("ticket", dpi, {**SAMPLES["ticket"], "url": url})
        assert label.symbol.level == "M"
        assert scan(label.image) == [url]


def test_batch_keeps_the_order_and_continues_after_a_refusal() -> None:
    wanted = [with_counter("part", n)["code"] for n in range(6)]
    requests = [("part", {"code": code}) for code in wanted]
    requests.insert(3, ("part", {"code": "no code"}))
    labels = list(render_batch(requests, 203))
    assert isinstance(labels.pop(3), Rejected)
    assert [scan(label.image) for label in labels if isinstance(label, Label)] == [[code] for code in wanted]


def test_weight_is_printed_in_kilograms_to_ten_grams() -> None:
    for grams, shown in ((0, "0.00"), (4, "0.00"), (5, "0.01"), (995, "1.00"), (2_345, "2.35"), (12_000, "12.00")):
        wording = read_fields(label_kinds()["box"], {**SAMPLES["box"], "weight_g": grams})
        assert isinstance(wording, Wording)
        assert wording.words["weight_g"] == shown
