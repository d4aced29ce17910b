"""Tours of what is used beside the steps: the device's own test, photos, the colour reading, true size, records."""

import re
from collections.abc import Iterator

from playwright.sync_api import expect

from tests.browser.conftest import DESK, Launch
from tests.browser.person import Person, photo
from tests.browser.shop import Shop
from tests.browser.test_colour_reading import pink_indicator
from tests.browser.test_selftest import SMALL, answer, choice, open_job, press, see_picture, wipe_touch

Stop = tuple[str, Person]


def selftest(launch: Launch, shop: Shop) -> Iterator[Stop]:
    """A device tests itself: each page that it shows, and what the technician sees of it meanwhile."""
    bench = Person(launch("bench", viewport=DESK), shop.server.url)
    bench.join(shop.link, "Bench")
    bench.sign_on(shop.badge("bench"), "Fennick")
    job = open_job(bench, shop)
    bench.open(f"self-test/{job}/intake")
    bench.reads("These tests are not open now")
    yield "selftest-not-open", bench
    bench.network(there=False)
    bench.open(f"self-test/{job}/final")
    bench.reads("The device's own test needs the network")
    yield "selftest-offline", bench
    bench.network(there=True)
    bench.press("Show a new address")
    bench.sees("Scan this with the device")
    yield "selftest-address", bench
    station = launch("device", viewport=SMALL, has_touch=True)
    station.context.grant_permissions(["camera", "microphone", "accelerometer", "gyroscope", "magnetometer"])
    device = Person(station, shop.server.url)
    device.page.goto(bench.page.locator(".selftest-address").inner_text())
    expect(device.page.get_by_role("button", name="Begin", exact=True)).to_be_visible()
    yield "device-start", device
    bench.sees("The device has the page")
    yield "selftest-opened", bench
    yield from _on_the_device(device)
    bench.sees("This is what the device found")
    yield "selftest-found", bench
    choice(bench.page, "Picture", "Works").check()
    bench.press(re.compile("^Write [0-9]+ readings$"))
    bench.sees(re.compile("^[0-9]+ readings written$"))
    yield "selftest-written", bench
    device.page.reload()
    expect(device.page.get_by_role("heading", name="This address is not good any more.")).to_be_visible()
    yield "device-over", device


def _on_the_device(device: Person) -> Iterator[Stop]:
    page = device.page
    press(page, "Begin")
    expect(page.get_by_role("heading", name="Touch")).to_be_visible()
    yield "device-touch", device
    wipe_touch(page)
    expect(page.get_by_role("heading", name="Picture")).to_be_visible()
    yield "device-picture", device
    see_picture(page)
    for title in ("Backlight", "Vibration", "Loudspeaker"):
        expect(page.get_by_role("heading", name=title)).to_be_visible()
        yield f"device-{title.lower()}", device
        answer(page, title, "Skip")
    expect(page.get_by_role("heading", name="Microphone")).to_be_visible()
    yield "device-microphone", device
    press(page, "Record")
    expect(page.get_by_role("button", name="Play back")).to_be_visible()
    yield "device-microphone-recorded", device
    answer(page, "Microphone", "Skip")
    expect(page.get_by_role("heading", name="Front camera")).to_be_visible()
    press(page, "Show the picture")
    page.wait_for_function("() => (document.querySelector('video') || {}).videoWidth > 0")
    yield "device-camera", device
    answer(page, "Front camera", "Skip")
    answer(page, "Rear camera", "Skip")
    for title in ("Motion sensor", "Compass", "Buttons", "Network"):
        expect(page.get_by_role("heading", name=title)).to_be_visible()
        yield f"device-{title.partition(' ')[0].lower()}", device
        answer(page, title, "Skip")
    expect(page.get_by_role("heading", name="What was found")).to_be_visible()
    yield "device-found", device
    press(page, "Send to the shop")
    expect(page.get_by_role("heading", name="Sent", exact=True)).to_be_visible()
    yield "device-sent", device


def evidence(launch: Launch, shop: Shop) -> Iterator[Stop]:
    """Photos and the marks on them, the colour reading, true size, and records of jobs that ended in different ways."""
    hand = Person(launch("hand"), shop.server.url)
    hand.join(shop.link, "Bench and counter")
    hand.sign_on(shop.badge("bench"), "Fennick")
    job = open_job(hand, shop)
    hand.open(f"job/{job}/note")
    hand.sees("Add a note or photo")
    hand.photograph("Take a photo", photo("crack"))
    yield "photo-strip", hand
    hand.press("Take a photo")
    expect(hand.page.get_by_role("button", name="Take the photo")).to_be_enabled()
    yield "photo-finder", hand
    hand.press("Take the photo")
    expect(hand.page.get_by_role("button", name="Keep")).to_be_visible()
    yield "photo-taken", hand
    hand.page.keyboard.press("Escape")
    hand.page.locator(".photos img").first.click()
    expect(hand.page.get_by_role("button", name="Draw a mark")).to_be_visible()
    yield "photo", hand
    hand.press("Draw a mark")
    hand.sees("Press the place")
    yield "photo-draw", hand
    hand.press("Upper left")
    hand.fill("What is it?", "Crack from the corner down to the lower edge")
    yield "photo-circle", hand
    hand.choose("Arrow")
    hand.press("Up")
    yield "photo-arrow", hand
    hand.press("Keep the mark")
    hand.sees("Photo")
    yield "photo-marked", hand
    hand.open(f"photo/{'0' * 64}")
    hand.page.locator("main").wait_for()
    yield "photo-unknown", hand
    yield from _colour(hand)
    hand.open("calibrate")
    hand.sees("Lay a bank card on the drawing")
    yield "calibrate", hand
    hand.press("Wider")
    hand.press("The card fits")
    hand.reads("Kept for this station")
    yield "calibrated", hand
    for name, kind, caption in (("ready", "ticket", "Ready to be handed over"), ("bench", "ticket", "Half open")):
        hand.scan(shop.named(kind, caption))
        hand.page.wait_for_function("() => location.hash.startsWith('#/job/')")
        hand.open(f"job/{hand.path().split('/')[1]}/record")
        hand.sees(re.compile("^Repair record"))
        yield f"record-{name}", hand
        hand.page.emulate_media(media="print")
        yield f"record-{name}-on-paper", hand
        hand.page.emulate_media(media="screen")


def _colour(hand: Person) -> Iterator[Stop]:
    hand.open("queue")
    hand.sees("Queue")
    row = hand.page.locator("a.queue-row").filter(has_text="At: Look for liquid").first
    hand.open(f"bench/{(row.get_attribute('href') or '').rpartition('/')[2]}")
    hand.press(re.compile("^Take"))
    hand.sees("Look for liquid")
    hand.choose("Untouched: white all over")
    hand.photograph("Photo of the indicator, if it helps", pink_indicator())
    yield "colour-photo", hand
    hand.press("Read its colour from this photo")
    hand.reads("The reference is not white")
    yield "colour-cannot-tell", hand
    hand.press("Closer")
    hand.press("Put this reading on the record")
    hand.reads("This reading is on the record")
    yield "colour-kept", hand
