"""Stations as people have them: each a browser of its own with its own storage and its own camera."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from shutil import copytree

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Playwright, expect, sync_playwright

from tests.browser.shop import Shop, open_shop
from tests.browser.stream import Camera
from tests.node import ensure_packages

_ARGUMENTS = [
    "--no-sandbox",  # as root, in a container
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-quic",
    "--no-first-run",
    "--use-fake-ui-for-media-stream",
    "--use-fake-device-for-media-stream",
]

PATIENCE_S = 60
"""How long a test waits for what is to be seen. A quiet machine shows it at once; a busy one fails nothing."""
expect.set_options(timeout=PATIENCE_S * 1000)

PHONE = {"width": 412, "height": 915}
DESK = {"width": 1280, "height": 800}


@dataclass(frozen=True)
class Station:
    """A browser with one page, and what its camera sees."""

    browser: Browser
    context: BrowserContext
    page: Page
    camera: Camera
    errors: list[str]
    """What the page threw and what it wrote to the console as an error."""


Launch = Callable[..., Station]


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Every test in this folder needs a browser, whether its author wrote so or not."""
    here = Path(__file__).parent
    for item in items:
        if here in item.path.parents:
            item.add_marker("browser")


@pytest.fixture(scope="session")
def axe_source(repository: Path) -> str:
    """The accessibility checker, for `page.evaluate(axe_source + ";0")`; the server's policy refuses script tags."""
    ensure_packages(repository / "pwa")
    return (repository / "pwa" / "node_modules" / "axe-core" / "axe.min.js").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def playwright() -> Iterator[Playwright]:
    # For a module and not for the whole run: while it is open, asyncio.run() is refused in this thread.
    with sync_playwright() as opened:
        yield opened


@pytest.fixture
def launch(playwright: Playwright, chromium_path: Path, tmp_path: Path) -> Iterator[Launch]:
    """`launch(name, viewport=PHONE)` starts a station. All are closed at the end of the test."""
    browsers: list[Browser] = []
    stations: dict[str, Station] = {}

    def start(name: str = "station", *, viewport: dict[str, int] | None = None, **context: object) -> Station:
        camera = Camera(tmp_path, f"{name}-{len(browsers)}")
        browser = playwright.chromium.launch(
            executable_path=chromium_path,
            args=[*_ARGUMENTS, f"--use-file-for-fake-video-capture={camera.file}"],
            timeout=PATIENCE_S * 1000,
        )
        browsers.append(browser)
        opened = browser.new_context(viewport=viewport or PHONE, permissions=["camera"], **context)
        opened.set_default_timeout(PATIENCE_S * 1000)
        page = opened.new_page()
        errors: list[str] = []
        page.on("pageerror", lambda error: errors.append(str(error)))
        page.on("console", lambda said: errors.append(said.text) if said.type == "error" else None)
        stations[camera.file.stem] = Station(browser, opened, page, camera, errors)
        return stations[camera.file.stem]

    yield start
    # What each station showed at the end lies beside the test's files: the first thing to look at after a failure.
    for name, station in stations.items():
        if not station.page.is_closed():
            station.page.screenshot(path=tmp_path / f"{name}.png")
    for browser in browsers:
        browser.close()


@pytest.fixture
def shop(built_app: Path, filled_demo: Path, tmp_path: Path) -> Iterator[Shop]:
    """A copy of the invented shop, served on a free port, with its label files."""
    opened = open_shop(copytree(filled_demo, tmp_path / "data"))
    yield opened
    opened.server.stop()
