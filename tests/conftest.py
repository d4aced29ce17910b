"""What every test may lean on: a Chromium, the built app, the invented shop, and the product's own server as a process.

A test that needs a browser is marked `browser`. A Chromium is taken from, in this order: TRAYMARK_CHROMIUM, the
PATH, Playwright's own store; then one is installed. Where none can be had the browser tests are skipped and say so;
with CI=true they fail instead.

The whole suite runs in a few processes, a file at a time, the files of browser tests first since they last longest.
What is made for the whole run is made by the process that first asks for it; the others wait and take it.
"""

import os
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from filelock import FileLock

from tests.chromium import Chromium, find_chromium, install_chromium
from tests.node import ensure_built
from tests.server_process import DEMO, ServerProcess

REPOSITORY = Path(__file__).resolve().parents[1]
MOST_PROCESSES = 4
"""Each may have two browsers and a server of its own."""

_found: dict[str, Chromium] = {}
"""The Chromium of this run, once there is one."""


def pytest_xdist_auto_num_workers(config: pytest.Config) -> int:
    """How many processes. Tests that are named run in this one: they begin sooner, and a debugger reaches them."""
    if config.args_source is not pytest.Config.ArgsSource.TESTPATHS:
        return 0
    return min(os.cpu_count() or 1, MOST_PROCESSES)


def pytest_report_header() -> str:
    chromium = _look_for_chromium()
    return f"chromium: {chromium or 'none yet; the first browser test tries to install one'}"


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    if "chromium" not in _found and (chromium := _look_for_chromium()) is not None:
        terminalreporter.write_line(f"chromium: {chromium}, installed by this run")


@pytest.fixture(scope="session")
def repository() -> Path:
    return REPOSITORY


@pytest.fixture(scope="session")
def chromium_path() -> Path:
    with FileLock(Path(tempfile.gettempdir()) / "traymark-chromium.lock"):
        chromium = _look_for_chromium() or install_chromium()
    if isinstance(chromium, str):
        reason = f"no Chromium: {chromium}"
        if os.environ.get("CI") == "true":
            pytest.fail(reason)
        pytest.skip(reason)
    return chromium.path


@pytest.fixture(scope="session")
def built_app() -> Path:
    """The folder of the built app, built now if it is missing or older than its source."""
    return ensure_built(REPOSITORY / "pwa")


@pytest.fixture(scope="session")
def folder_of_run(tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> Path:
    """The temporary folder that all processes of this run share."""
    own = tmp_path_factory.getbasetemp()
    return own if worker_id == "master" else own.parent


@pytest.fixture(scope="session")
def filled_demo(folder_of_run: Path) -> Path:
    """The folder of the invented shop, as `traymark demo` fills it. Tests work in copies of it."""
    folder = folder_of_run / "filled-demo"
    with FileLock(folder_of_run / "filled-demo.lock"):
        if not folder.exists():
            demo = ServerProcess(folder_of_run / "demo-being-filled", command=DEMO)
            demo.start()
            demo.stop()
            demo.data_dir.rename(folder)
    return folder


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
