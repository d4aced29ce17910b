"""README's pictures: a step at the bench, and a sheet of labels, taken from the demo as it runs.

python -m tests.browser.draw_pictures   (with server/ and labels/ on the path, or installed)
"""

import io
import tempfile
from pathlib import Path

from PIL import Image
from playwright.sync_api import Browser, expect, sync_playwright

from tests.browser.conftest import Station
from tests.browser.person import Person
from tests.browser.robust import sign_on
from tests.browser.shop import Shop, open_shop
from tests.browser.stream import Camera
from tests.chromium import find_chromium
from tests.node import ensure_built

REPOSITORY = Path(__file__).resolve().parents[2]
FOLDER = REPOSITORY / "pwa" / "pictures"
MOST_BYTES = 40_000

PHONE = {"width": 390, "height": 844}
SHEET = {"width": 640, "height": 800}
ON_THE_SHEET = ("ticket", "device", "tray", "part", "core")
"""Kinds of labels; the first of each on the demo's sheet is shown."""

KEEP_SOME = """(kinds) => {
    const sheet = document.createElement("main");
    sheet.style.cssText = "columns: 2; padding: 4mm";
    sheet.append(...kinds.map((kind) => document.querySelector(`img[src^="${kind}-"]`).closest("figure")));
    for (const figure of sheet.children) figure.style.marginBottom = "6mm";
    document.body.replaceChildren(sheet);
}"""


def main() -> None:
    ensure_built(REPOSITORY / "pwa")
    chromium = find_chromium()
    if chromium is None:
        raise SystemExit("no Chromium on the PATH, in TRAYMARK_CHROMIUM or of Playwright's own")
    FOLDER.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        shop = open_shop(Path(folder) / "data")
        browser = playwright.chromium.launch(executable_path=chromium.path, args=["--no-sandbox"])
        keep("bench.webp", bench_step(browser, shop, Path(folder)))
        keep("labels.webp", label_sheet(browser, shop))
        browser.close()
        shop.server.stop()


def bench_step(browser: Browser, shop: Shop, folder: Path) -> bytes:
    """The half-open display job of the demo at its next step."""
    context = browser.new_context(viewport=PHONE, color_scheme="light")
    page = context.new_page()
    person = Person(Station(browser, context, page, Camera(folder), []), shop.server.url)
    person.join(shop.join_link("Bench 1", "bench"), "Bench 1")
    sign_on(person, shop.badge("bench"), "Fennick")
    person.open("queue")
    person.sees("Queue")
    row = page.locator("a.counter-row").filter(has_text="At: Unplug the three upper cables").first
    person.open(f"bench/{(row.get_attribute('href') or '').rpartition('/')[2]}")
    person.sees("Unplug the three upper cables")
    for item, enter in (
        ("Wrist strap, measured", "Enter the reading"),
        ("Mat to ground, measured", "Enter the mat's reading"),
    ):
        person.press(enter)
        person.fill(item, "24")
        person.press(enter)
        expect(page.get_by_label(item)).to_have_count(0)
    expect(page.get_by_text("is due")).to_have_count(0)
    person.synced()
    return page.screenshot(animations="disabled")


def label_sheet(browser: Browser, shop: Shop) -> bytes:
    page = browser.new_page(viewport=SHEET, color_scheme="light")
    page.goto((shop.server.data_dir / "labels" / "sheet.html").as_uri())
    page.evaluate(KEEP_SOME, list(ON_THE_SHEET))
    page.wait_for_function("() => [...document.images].every((image) => image.complete)")
    return page.locator("main").screenshot()


def keep(name: str, png: bytes) -> None:
    path = FOLDER / name
    Image.open(io.BytesIO(png)).convert("RGB").save(path, "WEBP", quality=80, method=6)
    size = path.stat().st_size
    print(f"{path.relative_to(REPOSITORY)}: {size} bytes")
    if size > MOST_BYTES:
        raise SystemExit(f"{name} is larger than {MOST_BYTES} bytes")


if __name__ == "__main__":
    main()
