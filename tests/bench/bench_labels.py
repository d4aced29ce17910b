"""How many more labels a second than a plain drawing of the same label with qrcode and Pillow.

    python tests/bench/bench_labels.py [labels on a sheet]

The plain drawing is what one would write first: a white picture, the library's QR code pasted, each text drawn with
its font, which is loaded once, and saved. It gets the text's places and sizes for nothing; ours has to fit the text.
The careful one does the same on a picture of one bit a dot, as label printers want it. Every label has another code.
The ways take turns, sheet by sheet; what counts is the time of the processor. Ratios are those of as many labels of
each kind, and of the kind that gains least. Nothing is asserted.
"""

import io
import json
import sys
import time
from collections.abc import Callable, Mapping
from functools import cache
from importlib.resources import as_file, files
from pathlib import Path

import qrcode
from PIL import Image, ImageDraw, ImageFont

sys.path[:0] = [str(Path(__file__).resolve().parents[2]), str(Path(__file__).resolve().parents[2] / "labels")]

from tests.labels.samples import SAMPLES, with_counter
from traymark_labels import Label, render
from traymark_labels.draw import FACES, letter_widths
from traymark_labels.fields import Wording, read_fields
from traymark_labels.kinds import dots_per_um, label_kinds
from traymark_labels.layout import Layout, items_to_dots, lay_out

LABELS = 8
"""On a sheet, all of one kind."""
SHEETS = 2
LEVELS = {
    "L": qrcode.ERROR_CORRECT_L,
    "M": qrcode.ERROR_CORRECT_M,
    "Q": qrcode.ERROR_CORRECT_Q,
    "H": qrcode.ERROR_CORRECT_H,
}
Fields = Mapping[str, str | int]
Known = tuple[Label, Layout]
"""What the plain drawing need not find out: the payload, the symbol's place, the text's places and sizes."""


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else LABELS
    ratios: dict[str, float] = {}
    for dpi in dots_per_um():
        took = {kind: seconds_of(kind, dpi, count) for kind in SAMPLES}
        for name, ours, theirs in (
            ("PNG", "png", "plain png"),
            ("PDF", "pdf", "plain pdf"),
            ("PNG, the careful way", "png", "careful png"),
        ):
            whole = sum(t[theirs] for t in took.values()) / sum(t[ours] for t in took.values())
            least, kind = min((t[theirs] / t[ours], kind) for kind, t in took.items())
            print(f"  {dpi} dpi, {name}: {whole:.1f} times as many, least for {kind}: {least:.1f}")
            ratios[f"labels a second over drawn plainly, {dpi} dpi {name}"] = round(whole, 1)
    print(json.dumps({"bench": "labels", "ratios": ratios}))


def seconds_of(kind: str, dpi: int, count: int) -> dict[str, float]:
    """Of the processor, for all labels of a kind, by each way."""
    took = dict.fromkeys(("png", "pdf", "plain png", "plain pdf", "careful png"), 0.0)
    for sheet in range(1 + SHEETS):
        first = sheet * count
        numbers = range(first, first + count)
        fields = [with_counter(kind, n) for n in numbers]
        known = [(drawn(kind, each, dpi), layout_of(kind, each, dpi)) for each in fields]
        # Those were just drawn: ours draws some with other codes.
        others = [with_counter(kind, n + 10_000) for n in numbers]
        ways: dict[str, Callable[[], object]] = {
            "png": lambda others=others: [drawn(kind, each, dpi).png() for each in others],
            "plain png": lambda known=known: [saved(plain_image(each, "RGB"), "PNG", dpi) for each in known],
            "pdf": lambda others=others: [drawn(kind, each, dpi).pdf() for each in others],
            "plain pdf": lambda known=known: [saved(plain_image(each, "RGB"), "PDF", dpi) for each in known],
            "careful png": lambda known=known: [saved(plain_image(each, "1"), "PNG", dpi) for each in known],
        }
        for name, way in ways.items():
            started = time.thread_time()
            way()
            if sheet > 0:  # the first warms up
                took[name] += time.thread_time() - started
    return took


def drawn(kind: str, fields: Fields, dpi: int) -> Label:
    label = render(kind, fields, dpi)
    assert isinstance(label, Label)
    return label


def layout_of(kind: str, fields: Fields, dpi: int) -> Layout:
    row = label_kinds()[kind]
    wording = read_fields(row, fields)
    assert isinstance(wording, Wording)
    return lay_out(items_to_dots(row.items, dots_per_um()[dpi]), wording.words, letter_widths)


def plain_image(known: Known, mode: str) -> Image.Image:
    label, layout = known
    image = Image.new(mode, (label.raster.width, label.raster.height), "white")
    pen = ImageDraw.Draw(image)
    for left, top, width, height in layout.rules:
        pen.rectangle((left, top, left + width - 1, top + height - 1), fill="black")
    for line in layout.lines:
        font = font_of(line.weight, line.size)
        fill = "white" if line.white else "black"
        pen.text((line.pens[0], line.baseline), line.text, fill=fill, font=font, anchor="ls")
    symbol = label.symbol
    code = qrcode.QRCode(error_correction=LEVELS[symbol.level], box_size=symbol.module_dots, border=4)
    code.add_data(label.payload)
    code.make(fit=True)
    quiet = 4 * symbol.module_dots
    image.paste(code.make_image().get_image(), (symbol.left - quiet, symbol.top - quiet))
    return image


def saved(image: Image.Image, form: str, dpi: int) -> bytes:
    file = io.BytesIO()
    image.save(file, form, dpi=(dpi, dpi), resolution=dpi)
    return file.getvalue()


@cache
def font_of(weight: str, size: int) -> ImageFont.FreeTypeFont:
    package, name, _ = FACES[weight, 0]
    with as_file(files(package) / "files" / name) as path:
        return ImageFont.truetype(path, size)


if __name__ == "__main__":
    main()
