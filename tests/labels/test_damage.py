"""Labels as they come in daily use: blurred, turned, faint, dirty. A modest set; a bench is no laboratory."""

import random

import pytest
from PIL import Image, ImageDraw, ImageEnhance, ImageFilter

from tests.labels.samples import SAMPLES
from tests.labels.scanning import scan
from traymark_labels import Label, render


def photo(kind: str, dpi: int = 203) -> tuple[Image.Image, str]:
    """A label on a grey table with some room around it."""
    label = render(kind, SAMPLES[kind], dpi)
    assert isinstance(label, Label)
    table = Image.new("L", (label.raster.width + 200, label.raster.height + 200), 120)
    table.paste(label.image, (100, 100))
    return table, label.payload


@pytest.mark.parametrize("kind", SAMPLES)
@pytest.mark.parametrize("degrees", [3, 17, 45, 90, 133, 180, 271])
def test_a_turned_label_is_read(kind: str, degrees: int) -> None:
    image, payload = photo(kind)
    turned = image.rotate(degrees, Image.Resampling.BICUBIC, expand=True, fillcolor=120)
    assert scan(turned) == [payload]


@pytest.mark.parametrize("kind", SAMPLES)
def test_a_label_blurred_by_a_third_of_a_module_is_read(kind: str) -> None:
    image, payload = photo(kind)
    label = render(kind, SAMPLES[kind], 203)
    assert isinstance(label, Label)
    assert scan(image.filter(ImageFilter.GaussianBlur(label.symbol.module_dots / 3))) == [payload]


@pytest.mark.parametrize("kind", SAMPLES)
def test_a_faint_print_is_read(kind: str) -> None:
    image, payload = photo(kind)
    assert scan(ImageEnhance.Contrast(image).enhance(0.3)) == [payload]


@pytest.mark.parametrize("kind", SAMPLES)
def test_a_label_seen_small_is_read(kind: str) -> None:
    """About two camera pixels a module."""
    image, payload = photo(kind)
    label = render(kind, SAMPLES[kind], 203)
    assert isinstance(label, Label)
    scale = 2.2 / label.symbol.module_dots
    small = image.resize((round(image.width * scale), round(image.height * scale)), Image.Resampling.BOX)
    assert scan(small) == [payload]


@pytest.mark.parametrize("kind", [kind for kind in SAMPLES if kind != "ticket"])
def test_a_code_with_one_module_in_a_hundred_spoiled_is_read(kind: str) -> None:
    image, payload = photo(kind)
    label = render(kind, SAMPLES[kind], 203)
    assert isinstance(label, Label)
    symbol, dots = label.symbol, label.symbol.module_dots
    pen, draw = ImageDraw.Draw(image), random.Random(5)
    for _ in range(symbol.symbol.size**2 // 100):
        x, y = (draw.randrange(9, symbol.symbol.size - 9) for _ in range(2))
        left, top = 100 + symbol.left + x * dots, 100 + symbol.top + y * dots
        pen.rectangle((left, top, left + dots - 1, top + dots - 1), fill=draw.choice((0, 255)))
    assert scan(image) == [payload]


def test_a_label_with_its_finder_torn_off_is_not_read_as_something_else() -> None:
    image, _ = photo("tray")
    label = render("tray", SAMPLES["tray"], 203)
    assert isinstance(label, Label)
    dots = label.symbol.module_dots
    left, top = 100 + label.symbol.left, 100 + label.symbol.top
    image.paste(255, (left, top, left + 14 * dots, top + 14 * dots))
    assert scan(image) == []
