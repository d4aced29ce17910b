"""Evidence photos: taken in the app, without a trace of where, sent on after a cut, marked beside and never inside."""

import re
from hashlib import sha256
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from PIL import ExifTags, Image
from playwright.sync_api import Locator, expect

from tests.browser.conftest import Launch
from tests.browser.person import Person, photo
from tests.browser.shop import Shop

PIECE_BYTES = 262_144
LONG_SIDE_PX = 2048
IS_DRAWN = "(image) => image.complete && image.naturalWidth > 0"


@pytest.fixture
def hand(launch: Launch, shop: Shop) -> Person:
    """Somebody from the counter with a station of their own."""
    return at_counter(launch, shop, shop.link, "one")


def at_counter(launch: Launch, shop: Shop, link: str, name: str) -> Person:
    person = Person(launch(name), shop.server.url)
    person.join(link, name)
    person.sign_on(shop.badge("counter"), "Dapple")
    return person


def open_note(person: Person) -> str:
    """The screen on which a photo can be added to a job; the job's code."""
    person.open("queue")
    link = person.page.locator("a[href^='#/job/']").first
    link.wait_for()
    code = str(link.get_attribute("href")).split("/")[2]
    person.open(f"job/{code}/note")
    person.sees("Add a note or photo")
    return code


def strip(person: Person) -> Locator:
    return person.page.locator(".photos img")


def arrived(shop: Shop, person: Person, count: int = 1) -> list[bytes]:
    """The photos that this test brought to the server."""
    folder = shop.server.data_dir / "blobs"
    before: set[str] = shop.__dict__.setdefault("seen", set())
    person.synced()
    fresh = [p for p in sorted(folder.rglob("*")) if p.is_file() and p.name not in before]
    assert len(fresh) == count, fresh
    for path in fresh:
        assert sha256(path.read_bytes()).hexdigest() == path.name
    return [path.read_bytes() for path in fresh]


def remember(shop: Shop) -> None:
    """What the invented shop has already."""
    names = {p.name for p in (shop.server.data_dir / "blobs").rglob("*") if p.is_file()}
    shop.__dict__["seen"] = names


def with_place(size: tuple[int, int]) -> bytes:
    """A photo as a telephone writes it: turned by a tag, and with the place where it was taken (EXIF, CIPA DC-008)."""
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = 6
    exif[ExifTags.Base.Make] = "Somebody"
    place = exif.get_ifd(ExifTags.IFD.GPSInfo)
    place[ExifTags.GPS.GPSLatitudeRef], place[ExifTags.GPS.GPSLatitude] = "N", (52.0, 30.0, 0.0)
    out = BytesIO()
    Image.linear_gradient("L").resize(size).save(out, "JPEG", exif=exif, comment="at home")
    assert Image.open(BytesIO(out.getvalue())).getexif().get_ifd(ExifTags.IFD.GPSInfo) != {}
    return out.getvalue()


def noise(size: tuple[int, int] = (2000, 1500)) -> bytes:
    """A photo that stays large when it is drawn anew."""
    out = BytesIO()
    Image.effect_noise(size, 90).save(out, "JPEG", quality=95)
    return out.getvalue()


def test_a_photo_is_taken_in_the_app(hand: Person, shop: Shop) -> None:
    remember(shop)
    hand.station.camera.show(Image.open(BytesIO(photo("what the camera sees"))))
    open_note(hand)
    hand.press("Take a photo")
    finder = hand.page.get_by_role("dialog", name="Take a photo")
    finder.get_by_role("button", name="Take the photo").click()
    expect(finder.get_by_role("img", name="What was just taken")).to_be_visible()
    finder.get_by_role("button", name="Again").click()
    finder.get_by_role("button", name="Take the photo").click()
    finder.get_by_role("button", name="Keep").click()
    expect(finder).to_be_hidden()
    expect(strip(hand)).to_have_count(1)
    [kept] = arrived(shop, hand)
    shown = Image.open(BytesIO(kept))
    assert shown.format == "JPEG"
    assert shown.size == (1280, 720)
    # The middle of the camera's picture is the light sheet, and no black frame of a camera that was not ready.
    middle = shown.convert("L").getpixel((640, 420))
    assert isinstance(middle, int) and middle > 150


def test_a_photo_is_kept_while_the_page_finds_no_quiet_moment(hand: Person, shop: Shop) -> None:
    """On the page a canvas is encoded only in a quiet moment; here none ever comes."""
    open_note(hand)
    hand.page.evaluate("() => { HTMLCanvasElement.prototype.toBlob = () => undefined }")
    hand.station.camera.show(Image.open(BytesIO(photo("what the camera sees"))))
    hand.press("Take a photo")
    hand.page.get_by_role("button", name="Take the photo").click()
    hand.press("Keep")
    expect(strip(hand)).to_have_count(1)
    hand.photograph("Take a photo: from a file or the camera app", photo("from the camera app"))
    expect(strip(hand)).to_have_count(2)


def test_a_browser_without_such_a_worker_draws_on_the_page(launch: Launch, shop: Shop) -> None:
    hand = at_counter(launch, shop, shop.link, "old")
    hand.page.add_init_script("delete globalThis.OffscreenCanvas")
    hand.page.reload()
    hand.synced()
    open_note(hand)
    hand.photograph("Take a photo: from a file or the camera app", photo("from the camera app"))
    expect(strip(hand)).to_have_count(1)


def test_nothing_is_kept_of_a_photo_that_was_not_wanted(hand: Person, shop: Shop) -> None:
    code = open_note(hand)
    before = shop.job(code)["photos"]
    hand.press("Take a photo")
    hand.page.get_by_role("button", name="Take the photo").click()
    hand.page.keyboard.press("Escape")
    expect(hand.page.get_by_role("dialog")).to_be_hidden()
    expect(strip(hand)).to_have_count(0)
    hand.synced()
    assert shop.job(code)["photos"] == before


def test_a_camera_that_may_not_be_used_leaves_the_file(launch: Launch, shop: Shop) -> None:
    hand = at_counter(launch, shop, shop.link, "one")
    open_note(hand)
    hand.page.evaluate(
        "() => { navigator.mediaDevices.getUserMedia ="
        " () => Promise.reject(new DOMException('no', 'NotAllowedError')) }"
    )
    hand.press("Take a photo")
    hand.reads("The browser may not use the camera for a photo")
    hand.press("Close")
    hand.photograph("Take a photo", photo("from a file"))


def test_no_place_is_left_in_what_is_kept(hand: Person, shop: Shop) -> None:
    remember(shop)
    open_note(hand)
    hand.photograph("Take a photo", with_place((4000, 3000)))
    [kept] = arrived(shop, hand)
    shown = Image.open(BytesIO(kept))
    assert shown.size == (1536, LONG_SIDE_PX), "upright, and the long side at most 2048"
    assert dict(shown.getexif()) == {}
    for trace in (b"Exif", b"GPS", b"Somebody", b"at home", b"http://ns.adobe.com"):
        assert trace not in kept


def test_sending_goes_on_after_a_cut_where_it_was(hand: Person, shop: Shop) -> None:
    remember(shop)
    offsets: list[int] = []

    def note(request: Any) -> None:
        found = re.search(r"/part\?offset=(\d+)", request.url)
        if found:
            offsets.append(int(found[1]))

    hand.page.on("request", note)
    open_note(hand)
    slow = hand.station.context.new_cdp_session(hand.page)
    slow.send("Network.enable")
    slow.send(
        "Network.emulateNetworkConditions",
        {"offline": False, "latency": 0, "downloadThroughput": -1, "uploadThroughput": 2 * PIECE_BYTES},
    )
    hand.photograph("Take a photo", noise())
    hand.wait(lambda: held(shop) >= 2 * PIECE_BYTES, "two pieces")
    shop.server.kill()
    before = held(shop)
    assert before >= 2 * PIECE_BYTES
    shop.server.start()
    slow.send(
        "Network.emulateNetworkConditions",
        {"offline": False, "latency": 0, "downloadThroughput": -1, "uploadThroughput": -1},
    )
    [kept] = arrived(shop, hand)
    assert len(kept) > before
    # What the server has is not sent again; what the browser still held back when the server fell goes to the next one.
    assert [o for o in offsets if o < before] == list(range(0, before, PIECE_BYTES))
    assert sorted(set(offsets)) == list(range(0, len(kept), PIECE_BYTES))
    assert offsets == sorted(offsets)
    assert held(shop) == 0
    shop.verify()


def held(shop: Shop) -> int:
    """How much of a photo lies half sent on the server."""
    return sum(p.stat().st_size for p in (shop.server.data_dir / "parts").glob("*"))


def test_marks_are_beside_the_photo_and_never_in_it(hand: Person, shop: Shop) -> None:
    remember(shop)
    code = open_note(hand)
    hand.photograph("Take a photo", photo("crack"))
    [kept] = arrived(shop, hand)
    name = sha256(kept).hexdigest()
    strip(hand).first.click()
    hand.sees("Photo")

    hand.press("Draw a mark")
    hand.sees("Press the place")
    frame = hand.page.locator(".photo-frame")
    box = frame.bounding_box()
    assert box is not None
    frame.click(position={"x": box["width"] / 4, "y": box["height"] / 2})
    hand.press("Larger")
    hand.fill("What is it?", "Crack")
    hand.press("Keep the mark")
    hand.sees("Photo")
    hand.press("Draw a mark")
    hand.choose("Arrow")
    # Without pointing at anything: the zone's button, by keyboard.
    hand.page.get_by_role("button", name="Lower right").press("Enter")
    hand.press("Up")
    hand.press("Keep the mark")
    hand.sees("Photo")
    expect(hand.page.locator(".photo-marks g")).to_have_count(2)
    hand.synced()
    marks = {key.partition("/")[0]: 0 for key in shop.job(code)["photo_marks"]}
    assert marks == {name: 0}
    circle, arrow = sorted(shop.job(code)["photo_marks"].values(), key=lambda m: m["at_ms"])
    assert (circle["shape"], shop.said(circle["note"])) == ("circle", "Crack")
    assert abs(circle["x_pm"] - 250) <= 3 and abs(circle["y_pm"] - 500) <= 3
    assert (arrow["shape"], arrow["to_x_pm"], arrow["to_y_pm"]) == ("arrow", 830, 810)
    assert arrow["x_pm"] < 830 and arrow["y_pm"] < 810, "the shaft comes from the middle"

    hand.press("Take away mark 1")
    expect(hand.page.locator(".photo-marks g")).to_have_count(1)
    hand.synced()
    assert [m["shape"] for m in shop.job(code)["photo_marks"].values()] == ["arrow"]
    assert arrived(shop, hand) == [kept]
    hand.press("Back")
    hand.sees("Add a note or photo")


def test_photos_of_others_are_seen_offline_when_they_were_seen_before(launch: Launch, shop: Shop) -> None:
    hand = at_counter(launch, shop, shop.link, "one")
    code = open_note(hand)
    hand.photograph("Take a photo", photo("first"))
    hand.synced()
    other = at_counter(launch, shop, shop.join_link("two", "counter"), "two")
    other.open(f"job/{code}")
    shown = look_at_all(other)
    other.open("queue")

    hand.open(f"job/{code}/note")
    hand.photograph("Take a photo", photo("second"))
    hand.synced()
    # The entry arrives, and then the network goes before the new photo was looked at.
    other.synced()
    name = next(h for h in shop.job(code)["photos"] if not is_cached(other, h))
    other.network(there=False)
    other.open(f"job/{code}")
    expect(other.page.locator(".photos li")).to_have_count(shown + 1)
    assert look_at_all(other) == shown
    other.reads("Not on this station")
    other.open(f"photo/{name}")
    other.reads("This photo is shown once the server is reached")
    other.network(there=True)
    other.page.evaluate("() => dispatchEvent(new Event('online'))")
    expect(other.page.locator(".photo-away")).to_have_count(0)
    other.wait(lambda: other.page.locator(".photo-frame img").evaluate(IS_DRAWN), "the whole photo")


def look_at_all(person: Person) -> int:
    """Scroll along the photos, which are loaded when they come into view; how many there are to be seen."""
    person.page.locator(".photos li").first.wait_for()
    for each in person.page.locator(".photos li").all():
        each.scroll_into_view_if_needed()
        image = each.locator("img")
        person.wait(
            lambda each=each, image=image: each.locator(".photo-away").count() == 1 or image.evaluate(IS_DRAWN),
            "the small picture or the word for it",
        )
    return strip(person).count()


def is_cached(person: Person, name: str) -> bool:
    """Whether the browser has the small picture without asking anybody."""
    return bool(
        person.page.evaluate(
            "async (path) => { try { return (await fetch(path, { cache: 'only-if-cached', mode: 'same-origin' })).ok }"
            " catch { return false } }",
            f"/api/blobs/{name}?size=thumb",
        )
    )


def test_the_photo_screens_are_clean_for_everybody(hand: Person, shop: Shop, axe_source: str, tmp_path: Path) -> None:
    open_note(hand)
    hand.photograph("Take a photo", photo("crack"))
    hand.page.evaluate(axe_source + ";0")
    for step in ("note", "finder", "taken", "photo", "draw", "placed"):
        match step:
            case "finder":
                hand.press("Take a photo")
                expect(hand.page.get_by_role("button", name="Take the photo")).to_be_enabled()
            case "taken":
                hand.press("Take the photo")
                expect(hand.page.get_by_role("button", name="Keep")).to_be_visible()
            case "photo":
                hand.page.keyboard.press("Escape")
                strip(hand).first.click()
                expect(hand.page.get_by_role("button", name="Draw a mark")).to_be_visible()
            case "draw":
                hand.press("Draw a mark")
            case "placed":
                hand.choose("Arrow")
                hand.press("Upper left")
        for look in ("light", "dark"):
            hand.page.emulate_media(color_scheme=look, reduced_motion="reduce")
            found = hand.page.evaluate("async () => (await axe.run()).violations.map((v) => [v.id, v.nodes[0].html])")
            assert found == [], (step, look)
            hand.page.screenshot(path=tmp_path / f"{step}-{look}.png")
