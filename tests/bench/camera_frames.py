"""Frames as a telephone's camera gives them, with and without a code: a mat with clutter, lit from one side, noisy.

Invented, and the same on every run.
"""

import random
from dataclasses import dataclass

import zxingcpp
from PIL import Image, ImageChops, ImageFilter

from tests.labels.samples import SAMPLES, with_counter
from traymark_labels import Label, render

SIZE = (1280, 720)
BARS = {
    "IMEI": (zxingcpp.BarcodeFormat.Code128, "004403000000014"),
    "Code 39": (zxingcpp.BarcodeFormat.Code39, "BR-0931"),
    "EAN-13": (zxingcpp.BarcodeFormat.EAN13, "2000000000015"),
    "Data Matrix": (zxingcpp.BarcodeFormat.DataMatrix, "HM-7714-00231"),
}
"""What devices and suppliers' parts carry, with made-up numbers."""


@dataclass(frozen=True)
class Held:
    """How a code is held before the camera. `module_px`: camera dots a module, or a narrow bar."""

    module_px: float
    turn_deg: float = 0.0
    tilt: float = 0.0
    """By what share the far edge is shorter."""
    blur_px: float = 0.4


@dataclass(frozen=True)
class Frame:
    """A picture and what is to be read in it; no text when there is no code."""

    picture: Image.Image
    text: str = ""


def label_frame(draw: random.Random, number: int, held: Held) -> Frame:
    """A label of ours, each with another code."""
    kind = list(SAMPLES)[number % len(SAMPLES)]
    label = render(kind, with_counter(kind, number), 203)
    assert isinstance(label, Label)
    return Frame(_laid(draw, label.image, label.symbol.module_dots, held), label.payload)


def bar_frame(draw: random.Random, name: str, held: Held) -> Frame:
    """A code that was not printed by us, on its white sticker."""
    form, text = BARS[name]
    # Modules of two dots: so that they can be made smaller, too.
    drawn = zxingcpp.create_barcode(text, form).to_image(scale=2)
    code = Image.frombytes("L", (drawn.shape[1], drawn.shape[0]), bytes(drawn))
    sticker = Image.new("L", (code.width + 60, code.height + 60), 255)
    sticker.paste(code, (30, 30))
    return Frame(_laid(draw, sticker, 2, held), text)


def empty_frame(draw: random.Random) -> Frame:
    """No code anywhere."""
    return Frame(_noisy(draw, _mat(draw)))


def _laid(draw: random.Random, paper: Image.Image, module_dots: int, held: Held) -> Image.Image:
    """Ink is not quite black and paper not quite white."""
    scale = held.module_px / module_dots
    size = (round(paper.width * scale), round(paper.height * scale))
    inked = paper.convert("L").resize(size, Image.Resampling.BOX if scale < 1 else Image.Resampling.BICUBIC)
    inked = inked.point([40 + v * 175 // 255 for v in range(256)])
    shape = Image.new("L", size, 255)
    if held.tilt:
        inked, shape = _tilted(inked, held.tilt), _tilted(shape, held.tilt)
    turned = inked.rotate(held.turn_deg, Image.Resampling.BICUBIC, expand=True)
    mask = shape.rotate(held.turn_deg, Image.Resampling.BICUBIC, expand=True)
    frame = _mat(draw)
    at = [(room - taken) // 2 + draw.randint(-60, 60) for room, taken in zip(SIZE, turned.size, strict=True)]
    frame.paste(turned, (at[0], at[1]), mask)
    return _noisy(draw, frame.filter(ImageFilter.GaussianBlur(held.blur_px)))


def _tilted(picture: Image.Image, tilt: float) -> Image.Image:
    """As seen from below: the upper edge is further away."""
    width, height = picture.size
    inset = width * tilt / 2
    corners = (-inset, 0, 0, height, width, height, width + inset, 0)
    return picture.transform(picture.size, Image.Transform.QUAD, corners, Image.Resampling.BICUBIC)


def _mat(draw: random.Random) -> Image.Image:
    light = Image.linear_gradient("L").rotate(draw.choice((0, 90, 180, 270))).resize(SIZE)
    frame = light.point([90 + value // 4 for value in range(256)])
    for _ in range(12):
        left, top = draw.randrange(SIZE[0]), draw.randrange(SIZE[1])
        frame.paste(draw.randrange(60, 200), (left, top, left + draw.randrange(10, 160), top + draw.randrange(4, 60)))
    return frame


def _noisy(draw: random.Random, frame: Image.Image) -> Image.Image:
    """Sensor noise of some grey levels."""
    noise = Image.frombytes("L", (320, 180), draw.randbytes(320 * 180)).resize(SIZE, Image.Resampling.NEAREST)
    return ImageChops.add(frame, noise.point([value // 16 for value in range(256)]), offset=-8)
