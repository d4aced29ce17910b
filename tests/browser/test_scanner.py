"""The camera reads what people hold before it: turned, far away, blurred; our labels, and codes that others printed.

By the app's own way from the camera to the screen. A round of looks is eight frames; what is held still is read within
two of them, however the looks fall.
"""

from typing import Any

import pytest
import zxingcpp
from PIL import Image
from playwright.sync_api import expect

from tests.browser.conftest import Launch
from tests.browser.person import Person
from tests.browser.shop import Shop
from traymark.tables import problems
from traymark_labels import imei_check_digit

COUNT_LOOKS = """
globalThis.looks = 0;
const { getImageData } = CanvasRenderingContext2D.prototype;
CanvasRenderingContext2D.prototype.getImageData = function (...place) {
    globalThis.looks += 1;
    return getImageData.apply(this, place);
};
"""
MOST_LOOKS = 16
LABELS: list[tuple[str, str, dict[str, Any]]] = [
    ("device", "try this one", {"height_px": 300, "turn_deg": 37}),
    ("tray", "A free tray", {"height_px": 320, "turn_deg": 180}),
    ("part", "not taken yet", {"height_px": 260, "turn_deg": 104}),
    ("device", "On the shelf, battery", {"height_px": 90}),
    ("box", "1 in it, open", {"height_px": 240, "turn_deg": -12}),
    ("device", "Half open on bench one", {"height_px": 330, "turn_deg": 8, "blur_px": 1.8}),
]
IMEIS: list[dict[str, Any]] = [
    {"height_px": 190},
    {"height_px": 190, "turn_deg": 90},
    {"height_px": 230, "turn_deg": -9},
    {"height_px": 260, "turn_deg": 4, "blur_px": 1.0},
]
TITLE_OF_UNREADABLE = str(problems()["code-unreadable"]["title"])


@pytest.fixture
def hand(launch: Launch, shop: Shop) -> Person:
    station = launch("phone")
    station.page.add_init_script(COUNT_LOOKS)
    person = Person(station, shop.server.url)
    person.join(shop.link, "Counter")
    person.sign_on(shop.badge("counter"), "Dapple")
    return person


def test_labels_are_read_at_any_angle_far_away_and_blurred(hand: Person, shop: Shop) -> None:
    for kind, caption, held in LABELS:
        hold(hand, shop.named(kind, caption), **held)
        hand.wait(lambda: hand.path() != "scan", f"{kind} {held}")
        assert 0 < looks(hand) <= MOST_LOOKS, (kind, held)


def test_imei_is_read_from_its_bar_code_however_it_is_turned(hand: Person) -> None:
    for number, held in enumerate(IMEIS):
        # No device of the demo. TACs that begin with 00 are for test devices (GSMA TS.06, from memory).
        digits = f"0044039999{number:04}"
        imei = digits + imei_check_digit(digits)
        hold(hand, sticker(imei, zxingcpp.BarcodeFormat.Code128), **held)
        hand.wait(lambda imei=imei: hand.path() == f"book/imei/{imei}", f"the IMEI {held}")
        assert 0 < looks(hand) <= MOST_LOOKS, held


@pytest.mark.parametrize(
    ("text", "form", "turn_deg"),
    [
        ("BR-0931", zxingcpp.BarcodeFormat.Code39, 0),
        ("2000000000015", zxingcpp.BarcodeFormat.EAN13, 93),
        ("HM-7714-00231", zxingcpp.BarcodeFormat.DataMatrix, 20),
    ],
)
def test_code_of_a_supplier_is_read_and_said_to_be_none_of_ours(
    hand: Person, text: str, form: zxingcpp.BarcodeFormat, turn_deg: float
) -> None:
    hold(hand, sticker(text, form), height_px=240, turn_deg=turn_deg)
    expect(hand.page.get_by_text(TITLE_OF_UNREADABLE).first).to_be_visible(timeout=20_000)
    assert 0 < looks(hand) <= MOST_LOOKS


def hold(hand: Person, picture: bytes | Image.Image, **held: Any) -> None:
    """Before the camera of the Scan screen; the looks are counted from here."""
    hand.open("more")
    hand.page.evaluate("() => { globalThis.looks = 0 }")
    hand.scan(picture, **held)


def looks(hand: Person) -> int:
    return int(hand.page.evaluate("() => globalThis.looks"))


def sticker(text: str, form: zxingcpp.BarcodeFormat) -> Image.Image:
    """A code on white paper."""
    drawn = zxingcpp.create_barcode(text, form).to_image(scale=4)
    code = Image.frombytes("L", (drawn.shape[1], drawn.shape[0]), bytes(drawn))
    paper = Image.new("L", (code.width + 80, code.height + 80), 255)
    paper.paste(code, (40, 40))
    return paper
