"""A camera made of a file: what a station's fake camera sees is what was last shown to it.

Chromium maps the file into memory when the page asks for the camera. Each frame is therefore written into the same file
and has the same length, and a camera that runs already sees it too.
"""

import io
import random
from functools import cache
from pathlib import Path

from PIL import Image, ImageDraw, ImageFilter

WIDTH_PX, HEIGHT_PX = 1280, 720
"""Even, both: of an odd size Chromium makes a picture of 2 x 2 without complaint."""

FRAME_BYTES = 600_000
_LEAST_COMMENT, _MOST_COMMENT = 4, 2 + 0xFFFF
"""Bytes of a comment with its marker."""

Picture = bytes | Image.Image


class Camera:
    """One station's camera. `file` is for Chromium's --use-file-for-fake-video-capture."""

    def __init__(self, folder: Path, name: str = "camera") -> None:
        self.file = folder / f"{name}.mjpeg"
        self.show_nothing()

    def show(self, label: Picture, *, height_px: int = 420, turn_deg: float = 0, blur_px: float = 0) -> None:
        """Lay a label on the bench in the middle of the picture."""
        self._write(bench_with(label, height_px=height_px, turn_deg=turn_deg, blur_px=blur_px))

    def show_nothing(self) -> None:
        """The empty bench."""
        self._write(_bench().copy())

    def _write(self, frame: Image.Image) -> None:
        packed = io.BytesIO()
        frame.save(packed, "JPEG", quality=92)
        # Created once and then written over.
        with self.file.open("r+b" if self.file.exists() else "w+b") as file:
            file.write(_lengthened(packed.getvalue()))


def _lengthened(jpeg: bytes) -> bytes:
    """The same picture in FRAME_BYTES, filled up with comments (ISO/IEC 10918-1, B.2.4.5) after its first marker."""
    start, rest = jpeg[:2], jpeg[2:]
    left = FRAME_BYTES - len(jpeg)
    if left < _LEAST_COMMENT:
        raise ValueError(f"the frame has {len(jpeg)} bytes")
    comments = b""
    while left > 0:
        # What is left after this one has room for another.
        length = left if left <= _MOST_COMMENT else min(_MOST_COMMENT, left - _LEAST_COMMENT)
        comments += b"\xff\xfe" + (length - 2).to_bytes(2, "big") + bytes(length - 4)
        left -= length
    return start + comments + rest


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
