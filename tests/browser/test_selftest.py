"""A device tests itself on the shop's page: what it found is a proposal until the technician confirms it."""

import math
import re
from typing import Any

from playwright.sync_api import Page, expect

from tests.browser.conftest import DESK, Launch
from tests.browser.person import Person
from tests.browser.shop import Shop

SMALL = {"width": 320, "height": 568}
"""The smallest glass that is still met; a cell of the grid is then 40 px, 8 by 14 of them."""

COLUMNS, ROWS = 8, 14
DEAD = {(6, 12), (7, 12), (6, 13), (7, 13)}

WCAG = """() => axe.run(document, {
    runOnly: { type: "tag", values: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"] },
    rules: { "target-size": { enabled: true } },
})"""


def test_a_device_with_a_dead_corner_is_tested_and_the_technician_confirms(
    launch: Launch, shop: Shop, axe_source: str
) -> None:
    bench = Person(launch("bench", viewport=DESK), shop.server.url)
    bench.join(shop.link, "Bench")
    bench.sign_on(shop.badge("bench"), "Fennick")
    job = open_job(bench, shop)
    before = shop.job(job)["tests"]
    bench.open(f"self-test/{job}/final")
    bench.sees("Scan this with the device")
    accessible(bench.page, axe_source)
    address = bench.page.locator(".selftest-address").inner_text()
    assert re.fullmatch(rf"{shop.server.url}/S/[0-9A-HJKMNP-TV-Z]{{26}}", address)

    station = launch("device", viewport=SMALL, has_touch=True)
    station.context.grant_permissions(["camera", "microphone", "accelerometer", "gyroscope", "magnetometer"])
    device = station.page
    device.goto(address)
    bench.sees("The device has the page")
    accessible(device, axe_source)
    press(device, "Begin")
    wipe_touch(device)
    see_picture(device)
    answer(device, "Backlight", "Even")
    answer(device, "Vibration", "It does")
    for side in ("left side", "right side", "rises"):
        expect(device.get_by_text(side)).to_be_visible()
        answer(device, "Loudspeaker", "Clear")
    expect(device.get_by_role("heading", name="Microphone")).to_be_visible()
    press(device, "Record")
    expect(device.get_by_role("button", name="Play back")).to_be_visible()
    press(device, "Play back")
    answer(device, "Microphone", "Clear")
    for camera in ("Front camera", "Rear camera"):
        expect(device.get_by_role("heading", name=camera)).to_be_visible()
        press(device, "Show the picture")
        device.wait_for_function("() => (document.querySelector('video') || {}).videoWidth > 0")
        answer(device, camera, "Sharp")
    tilt(device)
    answer(device, "Motion sensor", "It follows")
    turn_around(device)
    answer(device, "Compass", "North stays")
    expect(device.get_by_role("heading", name="Buttons")).to_be_visible()
    device.evaluate("() => document.dispatchEvent(new KeyboardEvent('keydown', { key: 'AudioVolumeUp' }))")
    expect(device.get_by_text("Volume up: 1")).to_be_visible()
    press(device, "Next")
    expect(device.get_by_text("10 of 10 answered")).to_be_visible()
    press(device, "Next")
    expect(device.get_by_role("heading", name="What was found")).to_be_visible()
    accessible(device, axe_source)
    press(device, "Send to the shop")
    expect(device.get_by_role("heading", name="Sent", exact=True)).to_be_visible()
    assert station.context.cookies() == []
    assert station.errors == []
    assert job not in device.content()

    bench.sees("This is what the device found")
    accessible(bench.page, axe_source)
    bench.reads("measured: 96 % of the glass answers; 4 of 112 cells dead, lower right")
    expect(bench.page.get_by_role("img", name="96 % answers, dead cells lower right")).to_be_visible()
    bench.reads("measured: 2 fingers at once")
    bench.reads("something on a plain colour, 1 place shown")
    # Over which network the page came the browser does not say, so that is left to the technician.
    expect(choice(bench.page, "Wireless network", "Leave out")).to_be_checked()
    expect(choice(bench.page, "Touch", "Fails")).to_be_checked()
    assert shop.job(job)["tests"] == before

    # The spot was dust: the technician looks and says so.
    choice(bench.page, "Picture", "Works").check()
    choice(bench.page, "Vibration", "Leave out").check()
    bench.press(re.compile("^Write [0-9]+ readings$"))
    bench.sees(re.compile("^[0-9]+ readings written$"))
    bench.synced()
    record = shop.job(job)
    read = {point: record["tests"][f"final/{point}"] for point in ("touch", "multi_touch", "display_image")}
    assert (read["touch"]["result"], read["multi_touch"]["result"]) == ("fail", "pass")
    assert read["display_image"]["result"] == "pass"
    assert shop.said(read["display_image"]["why"]).startswith("judged by hand; the device said: ")
    assert "final/vibration" not in record["tests"] and "final/wifi" not in record["tests"]
    assert "final/volume_buttons" not in record["tests"], "one of the two was never seen"
    note = shop.said(record["notes"][-1]["note"])
    assert "Touch fails (measured: 96 % of the glass answers" in note
    assert read["touch"]["staff"] == record["notes"][-1]["staff"] is not None

    # Used up, and forgotten by the server.
    device.goto(address)
    expect(device.get_by_role("heading", name="This address is not good any more.")).to_be_visible()
    shop.verify()


def test_without_https_the_page_says_what_it_cannot_test_and_so_does_the_technicians_screen(
    launch: Launch, shop: Shop
) -> None:
    bench = Person(launch("bench"), shop.server.url)
    bench.join(shop.link, "Bench")
    bench.sign_on(shop.badge("bench"), "Fennick")
    job = open_job(bench, shop)
    bench.open(f"self-test/{job}/final")
    bench.sees("Scan this with the device")
    device = launch("device", viewport=SMALL, has_touch=True).page
    # Localhost counts as secure without https; any other address would say this by itself.
    device.add_init_script("Object.defineProperty(window, 'isSecureContext', { value: false })")
    device.goto(bench.page.locator(".selftest-address").inner_text())
    expect(device.get_by_text("came without a secured connection")).to_be_visible()
    press(device, "Begin")
    for title in ("Touch", "Picture", "Backlight", "Vibration", "Loudspeaker"):
        answer(device, title, "Skip")
    for title in ("Microphone", "Front camera", "Rear camera"):
        expect(device.get_by_role("heading", name=title)).to_be_visible()
        expect(device.get_by_text("browsers then keep this from a page")).to_be_visible()
        press(device, "Next")
    for title in ("Motion sensor", "Compass", "Buttons", "Network"):
        answer(device, title, "Skip")
    press(device, "Send to the shop")
    bench.sees("This is what the device found")
    bench.reads("Microphone: the page came without https")
    bench.reads("Nothing for these tests")
    events = shop.job(job)
    bench.press("Write nothing")
    bench.sees("Nothing was written")
    bench.synced()
    assert shop.job(job) == events
    # Turned down: forgotten too.
    device.reload()
    expect(device.get_by_role("heading", name="This address is not good any more.")).to_be_visible()


def test_without_a_network_the_screen_says_so_and_goes_on_when_it_is_back(launch: Launch, shop: Shop) -> None:
    bench = Person(launch("bench", viewport=DESK), shop.server.url)
    bench.join(shop.link, "Bench")
    bench.sign_on(shop.badge("bench"), "Fennick")
    job = open_job(bench, shop)
    bench.network(there=False)
    bench.open(f"self-test/{job}/final")
    bench.reads("The device's own test needs the network")
    bench.network(there=True)
    bench.press("Show a new address")
    bench.sees("Scan this with the device")
    address = bench.page.locator(".selftest-address").inner_text()
    # A screen that is left goes on with the same test.
    bench.open(f"self-test/{job}/final")
    bench.sees("Scan this with the device")
    assert bench.page.locator(".selftest-address").inner_text() == address
    bench.press("Show a new address")
    expect(bench.page.locator(".selftest-address")).not_to_have_text(address)


def test_intake_is_not_tested_again_once_the_bench_has_the_device(launch: Launch, shop: Shop) -> None:
    bench = Person(launch("bench"), shop.server.url)
    bench.join(shop.link, "Bench")
    bench.sign_on(shop.badge("bench"), "Fennick")
    bench.open(f"self-test/{open_job(bench, shop)}/intake")
    bench.reads("These tests are not open now")


def open_job(person: Person, shop: Shop) -> str:
    """Scan the ticket of the job that lies half open on the bench."""
    person.scan(shop.named("ticket", "Half open"))
    person.page.wait_for_function("() => location.hash.startsWith('#/job/')")
    return person.path().split("/")[1]


def press(device: Page, name: str) -> None:
    device.get_by_role("button", name=name, exact=True).tap()


def answer(device: Page, heading: str, name: str) -> None:
    expect(device.get_by_role("heading", name=heading)).to_be_visible()
    press(device, name)


def choice(page: Page, point: str, word: str) -> Any:
    return page.get_by_role("group", name=point, exact=True).get_by_label(word, exact=True)


def wipe_touch(device: Page) -> None:
    """A finger over the middle of every cell that is not dead, then two at once."""
    press(device, "Begin")
    canvas = device.locator(".glass canvas")
    expect(canvas).to_be_visible()
    device.wait_for_function("() => document.querySelector('.glass').clientWidth === 320")
    glass = device.context.new_cdp_session(device)

    def touch(kind: str, *points: tuple[float, float]) -> None:
        listed = [{"x": x, "y": y, "id": at} for at, (x, y) in enumerate(points)]
        glass.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": listed})

    def middle(column: int, row: int) -> tuple[float, float]:
        return (column + 0.5) * SMALL["width"] / COLUMNS, (row + 0.5) * SMALL["height"] / ROWS

    touch("touchStart", middle(0, 0))
    for row in range(ROWS):
        for column in range(COLUMNS):
            if (column, row) not in DEAD:
                touch("touchMove", middle(column, row))
    touch("touchEnd")
    touch("touchStart", middle(1, 1), middle(4, 6))
    touch("touchEnd")
    expect(device.get_by_text("96 % answers, 2 fingers at once")).to_be_visible()
    press(device, "That is all")
    expect(device.get_by_text("4 of 112 cells did not answer.")).to_be_visible()
    press(device, "Next")


def see_picture(device: Page) -> None:
    press(device, "Begin")
    for colour in ("white", "black", "red", "green", "blue", "grey"):
        device.locator(f".field.{colour}").tap()
    press(device, "Something is there")
    device.locator(".pointing").tap(position={"x": 100, "y": 200})
    expect(device.locator(".spot")).to_have_count(1)
    press(device, "That is all")


def tilt(device: Page) -> None:
    """The page waits for seconds only, so the sensor speaks before it listens."""
    expect(device.get_by_role("heading", name="Motion sensor")).to_be_visible()
    sensor = device.context.new_cdp_session(device)
    held = {"alpha": 1, "beta": 5, "gamma": 1}
    sensor.send("DeviceOrientation.setDeviceOrientationOverride", held)
    press(device, "Begin")
    for beta, tilted in ((5, 0), (40, 35)):
        sensor.send("DeviceOrientation.setDeviceOrientationOverride", held | {"beta": beta})
        expect(device.get_by_text(f"Tilted by {tilted} degrees")).to_be_visible()


def turn_around(device: Page) -> None:
    """Readings of a full circle, as a rotation about the upright axis; as above, the first before the page listens."""
    expect(device.get_by_role("heading", name="Compass")).to_be_visible()
    sensor = device.context.new_cdp_session(device)
    which = {"type": "absolute-orientation"}
    sensor.send("Emulation.setSensorOverrideEnabled", which | {"enabled": True, "metadata": {"available": True}})

    def point(eighth: int) -> None:
        half = math.radians(45 * eighth + 20) / 2
        turned = {"quaternion": {"x": 0, "y": 0, "z": math.sin(half), "w": math.cos(half)}}
        sensor.send("Emulation.setSensorOverrideReadings", which | {"reading": turned})

    point(0)
    press(device, "Begin")
    for eighth in range(8):
        point(eighth)
        expect(device.get_by_text(f"{eighth + 1} of 8 directions")).to_be_visible()


def accessible(page: Page, axe_source: str) -> None:
    """As a whole page: what the bar at the lower edge covers can be scrolled from under it."""
    size = page.viewport_size
    assert size is not None
    page.set_viewport_size({"width": size["width"], "height": 4000})
    page.evaluate(axe_source + ";0")
    found = page.evaluate(WCAG)
    page.set_viewport_size(size)
    assert [(v["id"], v["nodes"][0]["html"]) for v in found["violations"]] == []
