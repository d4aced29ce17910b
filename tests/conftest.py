"""What every test may lean on: a Chromium, the built app, and the product's own server as a process.

A test that needs a browser is marked `browser`. A Chromium is taken from, in this order: TRAYMARK_CHROMIUM, the
PATH, Playwright's own store; then one is installed. Where none can be had the browser tests are skipped and say so;
with CI=true they fail instead.
"""

import os
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.chromium import Chromium, find_chromium, install_chromium
from tests.node import ensure_built
from tests.server_process import ServerProcess

REPOSITORY = Path(__file__).resolve().parents[1]

_found: dict[str, Chromium] = {}
"""The Chromium of this run, once there is one."""


def pytest_report_header() -> str:
    chromium = _look_for_chromium()
    return f"chromium: {chromium or 'none yet; the first browser test tries to install one'}"


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    chromium = _found.get("chromium")
    if chromium is not None and chromium.installed_now:
        terminalreporter.write_line(f"chromium: {chromium}")


@pytest.fixture(scope="session")
def repository() -> Path:
    return REPOSITORY


@pytest.fixture(scope="session")
def chromium_path() -> Path:
    chromium = _look_for_chromium() or install_chromium()
    if isinstance(chromium, str):
        reason = f"no Chromium: {chromium}"
        if os.environ.get("CI") == "true":
            pytest.fail(reason)
        pytest.skip(reason)
    _found["chromium"] = chromium
    return chromium.path


@pytest.fixture(scope="session")
def built_app() -> Path:
    """The folder of the built app, built now if it is missing or older than its source."""
    return ensure_built(REPOSITORY / "pwa")


@pytest.fixture
def server(built_app: Path, tmp_path: Path) -> Iterator[ServerProcess]:
    """A server of its own for this test: empty folder, free port, plain HTTP on localhost."""
    process = ServerProcess(tmp_path / "data")
    process.start()
    yield process
    process.stop()


def _look_for_chromium() -> Chromium | None:
    if "chromium" not in _found and (chromium := find_chromium()) is not None:
        _found["chromium"] = chromium
    return _found.get("chromium")
