"""How many more labels a second than a plain drawing of the same label with qrcode and Pillow.

The plain drawing is what one would write first: a QR picture by the library, pasted, and each text drawn with its
font, which is loaded once. It gets the text's places and sizes for nothing; ours has to fit the text. Every label has
another code. Prints ratios of processor time in one run on one machine; nothing is asserted.
"""

import io
import json
import sys
import time
from collections.abc import Callable, Mapping, Sequence
from functools import cache
from importlib.resources import as_file, files
from pathlib import Path
from typing import Any

import qrcode
from PIL import Image, ImageDraw, ImageFont
from qrcode.util import MODE_ALPHA_NUM, QRData

sys.path[:0] = [str(Path(__file__).resolve().parents[2]), str(Path(__file__).resolve().parents[2] / "labels")]

from tests.labels.samples import SAMPLES, with_counter
from traymark_labels import Label, render
from traymark_labels.draw import FACES, letter_widths
from traymark_labels.fields import Wording, read_fields
from traymark_labels.kinds import dots_per_um, label_kinds
from traymark_labels.layout import Layout, items_to_dots, lay_out

LABELS = 60
WARM_UP = 20
LEVELS = {
    "L": qrcode.ERROR_CORRECT_L,
    "M": qrcode.ERROR_CORRECT_M,
    "Q": qrcode.ERROR_CORRECT_Q,
    "H": qrcode.ERROR_CORRECT_H,
}
Fields = Mapping[str, str | int]


def main() -> None:
    ratios = {f"{kind} {dpi}": ratios_of(kind, dpi) for kind in SAMPLES for dpi in dots_per_um()}
    print(json.dumps({"bench": "labels", "times as many a second as plain": ratios}))


def ratios_of(kind: str, dpi: int) -> dict[str, float]:
    """To the finished file, and to the dots in memory."""
    fields = [with_counter(kind, n) for n in range(WARM_UP + LABELS)]
    # What the plain drawing need not find out: the payload, the symbol's place, the text's places and sizes.
    known = [(drawn(kind, each, dpi), layout_of(kind, each, dpi)) for each in fields]
    png = seconds(plain_png, known) / seconds(lambda each: drawn(kind, each, dpi).png(), fields)
    dots = seconds(plain_image, known) / seconds(lambda each: drawn(kind, each, dpi), fields)
    return {"png": round(png, 1), "dots": round(dots, 1)}


def seconds(work: Callable[[Any], object], inputs: Sequence[object]) -> float:
    for each in inputs[:WARM_UP]:
        work(each)
    started = time.process_time()
    for each in inputs[WARM_UP:]:
        work(each)
    return time.process_time() - started


def drawn(kind: str, fields: Fields, dpi: int) -> Label:
    label = render(kind, fields, dpi)
    assert isinstance(label, Label)
    return label


def layout_of(kind: str, fields: Fields, dpi: int) -> Layout:
    row = label_kinds()[kind]
    wording = read_fields(row, fields)
    assert isinstance(wording, Wording)
    return lay_out(items_to_dots(row.items, dots_per_um()[dpi]), wording.words, letter_widths)


def plain_image(known: tuple[Label, Layout]) -> Image.Image:
    label, layout = known
    image = Image.new("1", (label.raster.width, label.raster.height), 1)
    pen = ImageDraw.Draw(image)
    for left, top, width, height in layout.rules:
        pen.rectangle((left, top, left + width - 1, top + height - 1), fill=0)
    for line in layout.lines:
        font = font_of(line.weight, line.size)
        pen.text((line.pens[0], line.baseline), line.text, fill=int(line.white), font=font, anchor="ls")
    symbol = label.symbol
    code = qrcode.QRCode(
        version=symbol.version, error_correction=LEVELS[symbol.level], box_size=symbol.module_dots, border=4
    )
    code.add_data(QRData(label.payload.encode(), mode=MODE_ALPHA_NUM))
    code.make(fit=False)
    quiet = 4 * symbol.module_dots
    image.paste(code.make_image().get_image(), (symbol.left - quiet, symbol.top - quiet))
    return image


def plain_png(known: tuple[Label, Layout]) -> bytes:
    file = io.BytesIO()
    plain_image(known).save(file, "PNG", dpi=(known[0].dpi, known[0].dpi))
    return file.getvalue()


@cache
def font_of(weight: str, size: int) -> ImageFont.FreeTypeFont:
    package, name, _ = FACES[weight, 0]
    with as_file(files(package) / "files" / name) as path:
        return ImageFont.truetype(path, size)


if __name__ == "__main__":
    main()
