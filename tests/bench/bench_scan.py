"""How many more frames a second zxing-cpp takes with settings for labels than with its defaults, and what it reads.

Frames are made like a camera's: 1280 by 720 dots, a label on a table, turned, lit unevenly, a little blurred and
noisy; and as many again without any label, which is what a scanner sees most of the time. Two settings: QR codes
only, and the formats that the app asks its reader for (pwa/src/device/scanner.ts); both without a search for
light-on-dark codes and without a second look at a smaller picture.
Prints ratios of processor time in one run on one machine; nothing is asserted.
"""

import json
import random
import sys
import time
from collections.abc import Callable
from pathlib import Path

import zxingcpp
from PIL import Image, ImageChops, ImageFilter

sys.path[:0] = [str(Path(__file__).resolve().parents[2]), str(Path(__file__).resolve().parents[2] / "labels")]

from tests.labels.samples import SAMPLES, with_counter
from traymark_labels import Label, render

FRAMES = 60
EMPTY_FRAMES = 60
SIZE = (1280, 720)
SEED = 20

Read = Callable[[Image.Image], set[str]]


def by_default(frame: Image.Image) -> set[str]:
    return {code.text for code in zxingcpp.read_barcodes(frame)}


def qr_only(frame: Image.Image) -> set[str]:
    found = zxingcpp.read_barcodes(frame, formats=zxingcpp.BarcodeFormat.QRCode, try_invert=False, try_downscale=False)
    return {code.text for code in found}


def formats_of_app(frame: Image.Image) -> set[str]:
    """Labels, and the bar codes that devices and suppliers' parts carry."""
    formats = [
        zxingcpp.BarcodeFormat.QRCode,
        zxingcpp.BarcodeFormat.Code128,
        zxingcpp.BarcodeFormat.Code39,
        zxingcpp.BarcodeFormat.EAN13,
        zxingcpp.BarcodeFormat.DataMatrix,
    ]
    found = zxingcpp.read_barcodes(frame, formats=formats, try_invert=False, try_downscale=False)
    return {code.text for code in found}


def main() -> None:
    draw = random.Random(SEED)
    frames = [frame_of(draw, n) for n in range(FRAMES)]
    empty = [(table(draw), "") for _ in range(EMPTY_FRAMES)]
    measured = {
        read.__name__: (measure(read, frames), measure(read, empty)) for read in (by_default, qr_only, formats_of_app)
    }
    (default_s, default_read), (default_empty_s, _) = measured["by_default"]
    ratios = {
        name: {
            "labels": round(default_s / seconds, 1),
            "empty": round(default_empty_s / empty_seconds, 1),
            "read": f"{read} of {FRAMES} (default {default_read})",
        }
        for name, ((seconds, read), (empty_seconds, _)) in measured.items()
        if name != "by_default"
    }
    print(json.dumps({"bench": "scan", "times as many frames a second as default": ratios}))


def measure(read: Read, frames: list[tuple[Image.Image, str]]) -> tuple[float, int]:
    for frame, _ in frames[:5]:
        read(frame)
    started = time.process_time()
    found = [read(frame) for frame, _ in frames]
    seconds = time.process_time() - started
    return seconds, sum(payload in texts for texts, (_, payload) in zip(found, frames, strict=True) if payload)


def frame_of(draw: random.Random, number: int) -> tuple[Image.Image, str]:
    """A label as a telephone sees it from a hand's to an arm's length."""
    kind = list(SAMPLES)[number % len(SAMPLES)]
    label = render(kind, with_counter(kind, number), 203)
    assert isinstance(label, Label)
    paper = label.image.convert("L").point([40] * 128 + [215] * 128)
    # From 2.5 to 6 camera dots a module.
    scale = draw.uniform(2.5, 6) / label.symbol.module_dots
    paper = paper.resize((round(paper.width * scale), round(paper.height * scale)), Image.Resampling.BOX)
    degrees = draw.uniform(-40, 40)
    turned = paper.rotate(degrees, Image.Resampling.BICUBIC, expand=True)
    mask = Image.new("L", paper.size, 255).rotate(degrees, expand=True)
    frame = table(draw)
    place = [max(0, (room - taken) // 2 + draw.randint(-60, 60)) for room, taken in zip(SIZE, turned.size, strict=True)]
    frame.paste(turned, (place[0], place[1]), mask)
    frame = frame.filter(ImageFilter.GaussianBlur(draw.uniform(0.3, 1.2)))
    return noisy(draw, frame), label.payload


def table(draw: random.Random) -> Image.Image:
    """A bench mat with light from one side and some clutter."""
    light = Image.linear_gradient("L").rotate(draw.choice((0, 90, 180, 270))).resize(SIZE)
    frame = light.point([90 + value // 4 for value in range(256)])
    for _ in range(12):
        left, top = draw.randrange(SIZE[0]), draw.randrange(SIZE[1])
        frame.paste(draw.randrange(60, 200), (left, top, left + draw.randrange(10, 160), top + draw.randrange(4, 60)))
    return noisy(draw, frame)


def noisy(draw: random.Random, frame: Image.Image) -> Image.Image:
    """Sensor noise of some grey levels, the same on every run."""
    noise = Image.frombytes("L", (320, 180), draw.randbytes(320 * 180)).resize(SIZE, Image.Resampling.NEAREST)
    return ImageChops.add(frame, noise.point([value // 16 for value in range(256)]), offset=-8)


if __name__ == "__main__":
    main()
