"""A person with a station in the hand: what they scan, press and read, in the words of the screens."""

import base64
import io
import re
import time
from collections.abc import Callable
from typing import Any

import zxingcpp
from PIL import Image, ImageDraw
from playwright.sync_api import Page, Response, expect

from tests.browser.conftest import PATIENCE_S, Station

DRAW_AGAIN = """async (body) => {
    const headers = { "Content-Type": "application/json" };
    const answer = await fetch("/api/labels", { method: "POST", headers, body });
    const bytes = new Uint8Array(await answer.arrayBuffer());
    return btoa(Array.from(bytes, (b) => String.fromCharCode(b)).join(""));
}"""


SEES_ANOTHER = """async (number) => {
    const place = location.hash;
    const video = () => document.querySelector("video");
    for (const end = Date.now() + 20_000; !(video()?.readyState >= 2); ) {
        if (location.hash !== place || Date.now() > end) return false;
        await new Promise((done) => setTimeout(done, 10));
    }
    const pen = new OffscreenCanvas(128, 16).getContext("2d");
    pen.drawImage(video(), 0, 0);
    const { data } = pen.getImageData(0, 8, 128, 1);
    const bits = [0, 1, 2, 3, 4, 5, 6, 7].map((bit) => (data[4 * (16 * bit + 8) + 1] > 115 ? 2 ** bit : 0));
    return bits.reduce((sum, bit) => sum + bit) !== number;
}"""
"""Whether the camera of the screen, once it runs, sees another picture than the one with this number (stream.py)."""


class Person:
    """One station and whoever holds it."""

    def __init__(self, station: Station, url: str) -> None:
        self.station = station
        self.url = url
        self.page: Page = station.page
        self._drawn: list[Response] = []
        self.page.on("response", lambda r: self._drawn.append(r) if r.url.endswith("/api/labels") else None)

    # Moving about

    def join(self, link: str, name: str) -> None:
        self.page.goto(link)
        self.page.get_by_label("Name of this station").fill(name)
        self.press("Join")
        self.sees("Scan")
        self.page.wait_for_function("() => navigator.serviceWorker.controller !== null")
        self.synced()

    def sign_on(self, badge: bytes, name: str) -> None:
        self.scan(badge)
        expect(self.page.locator(".head-name")).to_have_text(name)
        self.sees("Scan")

    def open(self, path: str) -> None:
        """Follow a link inside the app. Always a change of screen, so that a camera there starts anew."""
        self._leave()
        self._go(path)

    def path(self) -> str:
        """Where the app is, as `open` takes it."""
        return self.page.url.partition("#/")[2]

    def scan(self, label: bytes | Image.Image, *, at: str = "scan", **held: Any) -> None:
        """Hold a label before the camera of a screen; the screen at hand does not see it."""
        self._leave()
        self.station.camera.show(label, **held)
        self._go(at)
        while self.page.evaluate(SEES_ANOTHER, self.station.camera.number):
            self._leave()
            self._go(at)

    def _leave(self) -> None:
        """To a screen without a camera."""
        self._go("more")
        self.sees("More")

    def _go(self, path: str) -> None:
        self.page.evaluate("(path) => { location.hash = path }", f"#/{path}")

    def sees(self, heading: str | re.Pattern[str]) -> None:
        expect(self.page.get_by_role("heading", level=1, name=heading)).to_be_visible()

    def reads(self, text: str | re.Pattern[str]) -> None:
        expect(self.page.get_by_text(text).first).to_be_visible()

    def press(self, name: str | re.Pattern[str], *, exact: bool = True) -> None:
        self.page.get_by_role("button", name=name, exact=exact).first.click()

    def choose(self, name: str, *, within: str | None = None) -> None:
        scope = self.page if within is None else self.page.get_by_role("group", name=within)
        scope.get_by_label(name, exact=True).first.check()

    def fill(self, label: str, value: str) -> None:
        self.page.get_by_label(label, exact=True).fill(value)

    def photograph(self, button: str, picture: bytes) -> None:
        """Take a photo with the phone's camera app, which hands over a file."""
        before = self.page.locator(".photos img").count()
        self.page.get_by_label(button).set_input_files(
            {"name": "photo.jpg", "mimeType": "image/jpeg", "buffer": picture}
        )
        expect(self.page.locator(".photos img")).to_have_count(before + 1)

    def label_printed_by(self, button: str) -> bytes:
        """Press a print button; the label that the server drew for it."""
        count = len(self._drawn)
        self.press(button)
        self.wait(lambda: len(self._drawn) > count, f"a label from {button}")
        answer = self._drawn[-1]
        assert answer.ok, answer.text()
        # The browser hands out no bytes of this answer, so the same label is asked for once more.
        drawn = self.page.evaluate(DRAW_AGAIN, answer.request.post_data)
        return base64.b64decode(drawn)

    # Network

    def network(self, *, there: bool) -> None:
        self.station.context.set_offline(not there)

    def synced(self) -> None:
        expect(self.page.locator(".sync-mark")).to_contain_text("On the server")

    def check_number(self) -> str:
        """The first half of the state hash as the Sync screen shows it, in hex."""
        self.open("sync")
        line = self.page.locator(".hash")
        expect(line).not_to_be_empty()
        return line.inner_text().replace(" ", "").replace("\n", "")

    def wait(self, holds: Callable[[], bool], what: str) -> None:
        end = time.monotonic() + PATIENCE_S
        while not holds():
            if time.monotonic() > end:
                raise AssertionError(f"waited in vain for {what}")
            self.page.wait_for_timeout(20)


def read_code(picture: bytes) -> str:
    """What stands in the symbol of a label."""
    found = zxingcpp.read_barcodes(Image.open(io.BytesIO(picture)))
    assert len(found) == 1, found
    return found[0].text


def photo(text: str) -> bytes:
    """A drawn photo, 1600 x 1200, unlike any other text's."""
    image = Image.new("RGB", (1600, 1200), (92, 104, 98))
    pen = ImageDraw.Draw(image)
    pen.rectangle([200, 150, 1400, 1050], fill=(220, 216, 205))
    pen.text((260, 560), text, fill=(20, 30, 30), font_size=72)
    packed = io.BytesIO()
    image.save(packed, "JPEG", quality=85)
    return packed.getvalue()
