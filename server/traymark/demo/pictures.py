"""Pictures for the invented shop: drawings, each of which says so in the picture."""

import io
import random

from PIL import Image, ImageDraw, ImageFont

WIDTH, HEIGHT = 1200, 900
_MAT, _BODY, _GLASS, _LINE = (198, 206, 201), (52, 58, 62), (22, 27, 33), (228, 230, 232)


def cracked_front(seed: int) -> bytes:
    """A phone's front with a cracked corner."""
    picture, pen = _bench()
    _phone(pen)
    dice = random.Random(seed)  # noqa: S311  # where the cracks run; nothing secret
    x, y = dice.randint(470, 620), dice.randint(180, 300)
    for _ in range(11):
        points = [(x, y)]
        for _ in range(5):
            last_x, last_y = points[-1]
            points.append(
                (_within(last_x + dice.randint(-60, 70), 445, 755), _within(last_y + dice.randint(-30, 110), 140, 745))
            )
        pen.line(points, fill=_LINE, width=3)
    return _finished(picture, pen, "cracked glass")


def liquid_board() -> bytes:
    """A board with its contact indicator turned red and deposits at a connector."""
    picture, pen = _bench()
    pen.rounded_rectangle((250, 150, 950, 740), 28, fill=(28, 84, 66))
    for row in range(5):
        for column in range(7):
            left, top = 290 + column * 92, 190 + row * 105
            pen.rectangle((left, top, left + 60, top + 62), fill=(34, 36, 40))
    pen.ellipse((792, 560, 872, 640), fill=(202, 38, 52), outline=(250, 250, 250), width=6)
    dice = random.Random(7)  # noqa: S311  # where the deposits lie; nothing secret
    for _ in range(60):
        left, top, size = dice.randint(560, 740), dice.randint(470, 660), dice.randint(5, 19)
        pen.ellipse(
            (left, top, left + size, top + size), fill=dice.choice([(226, 236, 222), (120, 176, 148), (176, 122, 74)])
        )
    return _finished(picture, pen, "indicator red, deposits")


def swollen_battery() -> bytes:
    """A battery that bulges out of its frame."""
    picture, pen = _bench()
    pen.rounded_rectangle((330, 170, 870, 740), 30, fill=_BODY)
    pen.rectangle((390, 240, 810, 690), fill=(96, 100, 104))
    pen.ellipse((372, 290, 828, 640), fill=(126, 130, 134), outline=(214, 216, 218), width=4)
    return _finished(picture, pen, "battery swollen")


def _bench() -> tuple[Image.Image, ImageDraw.ImageDraw]:
    picture = Image.new("RGB", (WIDTH, HEIGHT), _MAT)
    pen = ImageDraw.Draw(picture)
    for x in range(0, WIDTH, 60):
        pen.line([(x, 0), (x, HEIGHT)], fill=(188, 197, 192))
    for y in range(0, HEIGHT, 60):
        pen.line([(0, y), (WIDTH, y)], fill=(188, 197, 192))
    return picture, pen


def _phone(pen: ImageDraw.ImageDraw) -> None:
    pen.rounded_rectangle((420, 80, 780, 810), 52, fill=_BODY)
    pen.rounded_rectangle((440, 135, 760, 750), 10, fill=_GLASS)
    pen.ellipse((584, 764, 616, 796), outline=(120, 124, 128), width=4)


def _within(value: int, low: int, high: int) -> int:
    return max(low, min(high, value))


def _finished(picture: Image.Image, pen: ImageDraw.ImageDraw, what: str) -> bytes:
    pen.rectangle((0, HEIGHT - 56, WIDTH, HEIGHT), fill=(244, 244, 240))
    pen.text(
        (24, HEIGHT - 46),
        f"Drawing for the demo, not a photo: {what}",
        fill=(20, 24, 26),
        font=ImageFont.load_default(30),
    )
    packed = io.BytesIO()
    picture.save(packed, "JPEG", quality=82)
    return packed.getvalue()
