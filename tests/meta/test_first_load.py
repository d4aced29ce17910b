"""What a telephone downloads before it shows anything is small; the bar code reader comes only when needed."""

import gzip
import json
from html.parser import HTMLParser
from pathlib import Path

LIMIT_BYTES = 50 * 1024
"""Compressed JavaScript and styles of the first screen. Our own budget: under half a second at 1 Mbit/s."""


class Loaded(HTMLParser):
    """Collects the addresses of scripts, styles and preloads that a page names."""

    def __init__(self) -> None:
        super().__init__()
        self.paths: list[str] = []
        self.description = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        named = dict(attrs)
        if tag == "script" and named.get("src"):
            self.paths.append(named["src"] or "")
        if tag == "link" and named.get("rel") in ("stylesheet", "modulepreload", "preload"):
            self.paths.append(named["href"] or "")
        if tag == "meta" and named.get("name") == "description":
            self.description = named["content"] or ""


def first_page(built_app: Path) -> Loaded:
    page = Loaded()
    page.feed((built_app / "index.html").read_text(encoding="utf-8"))
    return page


def first_files(built_app: Path) -> list[Path]:
    return [built_app / path.lstrip("/") for path in first_page(built_app).paths]


def packed(path: Path) -> int:
    return len(gzip.compress(path.read_bytes(), 9))


def test_first_screen_is_within_its_budget(built_app: Path) -> None:
    files = first_files(built_app)
    # One of each: every further file is another round trip.
    assert sorted(path.suffix for path in files) == [".css", ".js"]
    sizes = {path.name: packed(path) for path in files}
    assert sum(sizes.values()) < LIMIT_BYTES, sizes


def test_bar_code_reader_is_not_among_the_first_files(built_app: Path) -> None:
    # The name of its program as the reader's code spells it; in our chunks that name has a hash in it.
    reader = [path for path in built_app.rglob("*.js") if "zxing_reader.wasm" in path.read_text(encoding="utf-8")]
    assert reader != []
    assert set(reader) & set(first_files(built_app)) == set()


def test_page_says_what_it_is_as_the_installed_app_does(built_app: Path) -> None:
    manifest = json.loads((built_app / "manifest.webmanifest").read_text(encoding="utf-8"))
    assert first_page(built_app).description == manifest["description"] != ""


def test_page_runs_no_code_of_its_own(built_app: Path) -> None:
    """The server's content security policy would refuse it, and the app would stay blank."""
    text = (built_app / "index.html").read_text(encoding="utf-8")
    assert "<style" not in text
    assert text.count("<script") == text.count('<script type="module" crossorigin src=')
