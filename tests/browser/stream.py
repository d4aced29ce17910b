"""A camera made of a file: what a station's fake camera sees is what was last shown to it.

Chromium reads the file anew each time the page asks for the camera, so a label shown while the camera runs is seen
after the page stops it and starts it again. On a busy machine the camera may not have stopped by then, and goes on
with the old file. So each picture has a number in its corner, by which `Person.scan` knows what the camera sees.
"""

import io
import random
from functools import cache
from pathlib import Path

from PIL import Image, ImageDraw, ImageFilter

WIDTH_PX, HEIGHT_PX = 1280, 720
"""Even, both: of an odd size Chromium makes a picture of 2 x 2 without complaint."""

NUMBER_BITS, BIT_PX = 8, 16
"""The number of a picture: a row of squares in its upper left corner, the lowest bit first, a light one for 1."""

Picture = bytes | Image.Image


class Camera:
    """One station's camera. `file` is for Chromium's --use-file-for-fake-video-capture."""

    def __init__(self, folder: Path, name: str = "camera") -> None:
        self.file = folder / f"{name}.mjpeg"
        self.number = 0
        """Of the picture shown last."""
        self.show_nothing()

    def show(self, label: Picture, *, height_px: int = 420, turn_deg: float = 0, blur_px: float = 0) -> None:
        """Lay a label on the bench in the middle of the picture."""
        self._write(bench_with(label, height_px=height_px, turn_deg=turn_deg, blur_px=blur_px))

    def show_nothing(self) -> None:
        """The empty bench."""
        self._write(_bench().copy())

    def _write(self, frame: Image.Image) -> None:
        self.number = (self.number + 1) % 2**NUMBER_BITS
        _write_number(frame, self.number)
        packed = io.BytesIO()
        frame.save(packed, "JPEG", quality=92)
        # A stream that is being read keeps the old file; the next one opens the new.
        fresh = self.file.with_suffix(".new")
        fresh.write_bytes(packed.getvalue())
        fresh.replace(self.file)


def _write_number(frame: Image.Image, number: int) -> None:
    pen = ImageDraw.Draw(frame)
    for bit in range(NUMBER_BITS):
        grey = 170 if number >> bit & 1 else 60
        pen.rectangle([bit * BIT_PX, 0, (bit + 1) * BIT_PX - 1, BIT_PX - 1], fill=(grey, grey, grey))


def bench_with(label: Picture, *, height_px: int, turn_deg: float = 0, blur_px: float = 0) -> Image.Image:
    """One frame of the bench with the label on it, as the camera would see it."""
    picture = Image.open(io.BytesIO(label)) if isinstance(label, bytes) else label
    width_px = round(picture.width * height_px / picture.height)
    laid = picture.convert("RGBA").resize((width_px, height_px), Image.Resampling.LANCZOS)
    laid = laid.rotate(turn_deg, Image.Resampling.BICUBIC, expand=True)
    if laid.width > WIDTH_PX or laid.height > HEIGHT_PX:
        raise ValueError(f"the label is larger than the picture: {laid.size}")
    frame = _bench().copy()
    frame.paste(laid, ((WIDTH_PX - laid.width) // 2, (HEIGHT_PX - laid.height) // 2), laid)
    return frame.filter(ImageFilter.GaussianBlur(blur_px)) if blur_px else frame


@cache
def _bench() -> Image.Image:
    """A grey-green mat with its grid, lit from one side, with a little noise. The same on every machine."""
    grain = random.Random(1)  # noise, no secret
    frame = Image.new("RGB", (WIDTH_PX, HEIGHT_PX), (96, 112, 104))
    pen = ImageDraw.Draw(frame)
    for x in range(0, WIDTH_PX, 80):
        pen.line([(x, 0), (x, HEIGHT_PX)], fill=(112, 128, 120), width=2)
    for y in range(0, HEIGHT_PX, 80):
        pen.line([(0, y), (WIDTH_PX, y)], fill=(112, 128, 120), width=2)
    light = Image.linear_gradient("L").rotate(90).resize((WIDTH_PX, HEIGHT_PX)).point(lambda v: 30 + v // 6)
    frame = Image.blend(frame, Image.merge("RGB", (light, light, light)), 0.25)
    specks = Image.frombytes("L", (160, 90), grain.randbytes(160 * 90)).resize((WIDTH_PX, HEIGHT_PX))
    return Image.blend(frame, Image.merge("RGB", (specks, specks, specks)), 0.06)
