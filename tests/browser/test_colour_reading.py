"""The colour of an indicator is read from its photo by press, drag or buttons; it advises and decides nothing."""

import io

from PIL import Image, ImageDraw
from playwright.sync_api import expect

from tests.browser.conftest import Launch
from tests.browser.person import Person
from tests.browser.shop import Shop
from tests.browser.usable import faults
from tests.browser.walks import book_in, take_to_bench
from tests.colour_oracle import Disc, Reading, disc_pixels, read_indicator

SIZE = (1600, 1200)
INDICATOR_AT = (400, 600)
PAPER_AT = (1200, 600)


def pink_indicator() -> bytes:
    """A board with a pink indicator and white paper beside it, under a warm lamp."""
    image = Image.new("RGB", SIZE, (70, 88, 58))
    pen = ImageDraw.Draw(image)
    pen.rectangle(around(INDICATOR_AT, 80), fill=(225, 172, 136))
    pen.rectangle(around(PAPER_AT, 120), fill=(220, 194, 158))
    packed = io.BytesIO()
    image.save(packed, "JPEG", quality=90)
    return packed.getvalue()


def test_the_colour_reading_advises_and_the_person_decides(launch: Launch, shop: Shop, axe_source: str) -> None:
    hand = Person(launch("phone"), shop.server.url)
    hand.join(shop.link, "Bench and counter")
    hand.sign_on(shop.badge("counter"), "Dapple")
    job, _, device = book_in(hand)
    take_to_bench(hand, shop, device)
    hand.choose("Untouched: white all over")
    hand.photograph("Photo of the indicator, if it helps", pink_indicator())
    hand.press("Read its colour from this photo")

    # Both discs begin on the board, which is no white.
    verdict, advice = hand.page.locator(".colour-line"), hand.page.locator(".colour-advice")
    expect(verdict).to_have_text("Cannot tell")
    expect(advice).to_contain_text("The reference is not white")
    press_photo(hand, INDICATOR_AT)
    drag_disc(hand, "reference", PAPER_AT)
    expect(verdict).to_have_text("Looks tinged")
    expect(advice).to_contain_text("This advises; you decide.")
    assert faults(hand.page, axe_source) == []

    # The same without a drag or a precise press: away by buttons, and back.
    hand.choose("White reference")
    for _ in range(6):
        hand.press("Down")
    expect(verdict).to_have_text("Cannot tell")
    for _ in range(6):
        hand.press("Up")
    expect(verdict).to_have_text("Looks tinged")
    hand.press("Closer")
    hand.choose("Indicator", within="Disc to place")
    hand.press("Smaller")
    hand.press("Put this reading on the record")
    hand.reads("This reading is on the record")
    hand.synced()

    [reading] = shop.job(job)["readings"]
    assert reading["verdict"] == "tinged"
    assert reading["reason"] is None
    assert reading["r_pm"] == 16
    assert abs(reading["x_pm"] - 250) <= 3
    assert abs(reading["reference_x_pm"] - 750) <= 3
    # The server's copy of the photo, decoded by another program, reads the same but for the decoders' rounding.
    stored = hand.page.request.get(f"{shop.server.url}/api/blobs/{reading['photo']}").body()
    again = read_again(stored, reading)
    assert again.verdict == "tinged"
    assert again.de00_centi is not None
    assert abs(again.de00_centi - reading["de00_centi"]) <= 20

    # Nothing of the gate was decided by it: the person's own answer is, and here it is another one.
    assert shop.job(job)["liquid"] == []
    hand.press("Dry: go on")
    hand.sees("Take off the battery plate")
    hand.synced()
    record = shop.job(job)
    assert record["stop"] is None
    assert record["liquid"][0]["indicator"] == "untouched"
    hand.open(f"job/{job}")
    hand.reads("Indicator by photo: looks tinged")
    shop.verify()


def around(at: tuple[int, int], half: int) -> list[int]:
    return [at[0] - half, at[1] - half, at[0] + half, at[1] + half]


def press_photo(hand: Person, at: tuple[int, int]) -> None:
    # Clear of the dock, as a person would scroll.
    hand.page.locator(".colour-photo").evaluate("(photo) => photo.scrollIntoView({ block: 'center' })")
    x, y = on_screen(hand, at)
    hand.page.mouse.click(x, y)


def drag_disc(hand: Person, name: str, to: tuple[int, int]) -> None:
    hold = hand.page.locator(f"[data-disc={name}]")
    box = hold.bounding_box()
    assert box is not None
    assert min(box["width"], box["height"]) >= 48
    hand.page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    hand.page.mouse.down()
    x, y = on_screen(hand, to)
    hand.page.mouse.move(x - 9, y + 7, steps=4)
    hand.page.mouse.move(x, y)
    hand.page.mouse.up()


def on_screen(hand: Person, at: tuple[int, int]) -> tuple[float, float]:
    """Where a place of the photo is on the screen while all of it is shown."""
    box = hand.page.locator(".colour-photo").bounding_box()
    assert box is not None
    scale = min(box["width"] / SIZE[0], box["height"] / SIZE[1])
    return (
        box["x"] + box["width"] / 2 + (at[0] - SIZE[0] / 2) * scale,
        box["y"] + box["height"] / 2 + (at[1] - SIZE[1] / 2) * scale,
    )


def read_again(stored: bytes, reading: dict[str, int]) -> Reading:
    image = Image.open(io.BytesIO(stored)).convert("RGB")
    discs = (
        Disc(reading["x_pm"], reading["y_pm"], reading["r_pm"]),
        Disc(reading["reference_x_pm"], reading["reference_y_pm"], reading["reference_r_pm"]),
    )
    seen, white = ([image.getpixel(at) for at in disc_pixels(*image.size, disc)] for disc in discs)
    return read_indicator(seen, white)  # type: ignore[arg-type]
