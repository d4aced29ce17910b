"""A browser that trusts the shop's authority has all that a station needs; one that does not has nothing."""

import os
import shutil
import socket
import ssl
import subprocess
import threading
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Error, Playwright, expect

from tests.browser.stream import Camera
from tests.server.command import LINK, Command
from tests.server.test_tls import host, reissued
from tests.server_process import ServerProcess
from traymark.tls.authority import make_authority, make_leaf

_ARGUMENTS = [
    "--no-sandbox",  # as root, in a container
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-quic",
    "--no-first-run",
    "--use-fake-ui-for-media-stream",
    "--use-fake-device-for-media-stream",
]

Open = Callable[..., Browser]


@pytest.fixture
def open_browser(playwright: Playwright, chromium_path: Path, tmp_path: Path) -> Iterator[Open]:
    """`open_browser(authority)` starts a browser with a home of its own, which trusts that authority or none."""
    opened: list[Browser] = []

    def start(authority: Path | None, *more: str) -> Browser:
        home = tmp_path / f"home-{len(opened)}"
        if authority is not None:
            trust(home, authority)
        home.mkdir(exist_ok=True)
        camera = Camera(tmp_path, f"camera-{len(opened)}")
        browser = playwright.chromium.launch(
            executable_path=chromium_path,
            args=[*_ARGUMENTS, f"--use-file-for-fake-video-capture={camera.file}", *more],
            env={**os.environ, "HOME": str(home)},
        )
        opened.append(browser)
        return browser

    yield start
    for browser in opened:
        browser.close()


@pytest.fixture
def served(built_app: Path, tmp_path: Path) -> Iterator[tuple[str, str, Path]]:
    """A shop served with HTTPS: its port, its join code, its authority."""
    assert (built_app / "index.html").is_file()
    port = str(ServerProcess(tmp_path / "unused").port)
    server = Command("serve", "--data", "shop", "--port", port, cwd=tmp_path)
    try:
        link = LINK.search(server.until("Stop with Ctrl-C"))
        assert link is not None
        yield port, link[2], tmp_path / "shop" / "tls" / "authority.crt"
        assert server.stop() == 0
    finally:
        server.process.kill()


def trust(home: Path, authority: Path) -> None:
    """Put the authority into the certificate store that Chromium reads on Linux."""
    certutil = shutil.which("certutil")
    if certutil is None:
        reason = "certutil (libnss3-tools) is not installed, so no browser can be made to trust an authority"
        if os.environ.get("CI") == "true":
            pytest.fail(reason)
        pytest.skip(reason)
    store = home / ".pki" / "nssdb"
    store.mkdir(parents=True)
    for arguments in (["-N", "--empty-password"], ["-A", "-t", "C,,", "-n", "shop", "-i", str(authority)]):
        subprocess.run([certutil, "-d", f"sql:{store}", *arguments], check=True, capture_output=True, timeout=60)


def test_a_browser_that_does_not_trust_the_authority_is_stopped(
    served: tuple[str, str, Path], open_browser: Open
) -> None:
    port, _, _ = served
    page = open_browser(None).new_page()
    with pytest.raises(Error, match="ERR_CERT_AUTHORITY_INVALID"):
        page.goto(f"https://localhost:{port}/")


@pytest.mark.parametrize("name", ["localhost", "127.0.0.1", "this machine's name"])
def test_a_browser_that_trusts_it_has_page_service_worker_and_camera(
    served: tuple[str, str, Path], open_browser: Open, name: str
) -> None:
    port, _, authority = served
    own = socket.gethostname().lower()
    browser = open_browser(authority, f"--host-resolver-rules=MAP {own} 127.0.0.1")
    page = browser.new_context(permissions=["camera"]).new_page()
    address = own if name == "this machine's name" else name
    answer = page.goto(f"https://{address}:{port}/")
    assert answer is not None and answer.status == 200
    assert page.evaluate("() => window.isSecureContext")
    assert page.evaluate("() => navigator.serviceWorker.ready.then(r => r.active !== null)")
    assert page.evaluate(
        """async () => {
            const stream = await navigator.mediaDevices.getUserMedia({ video: true });
            const [track] = stream.getVideoTracks();
            const state = track.readyState;
            track.stop();
            return state;
        }"""
    ) == "live"  # fmt: skip


def test_the_printed_link_joins_and_the_cookie_is_kept_from_scripts(
    served: tuple[str, str, Path], open_browser: Open
) -> None:
    port, code, authority = served
    context = open_browser(authority).new_context()
    page = context.new_page()
    page.goto(f"https://localhost:{port}/#/join/{code}")
    page.get_by_role("button", name="Join").click()
    expect(page.get_by_role("button", name="Join")).to_have_count(0)
    [cookie] = context.cookies()
    assert (cookie["name"], cookie["secure"], cookie["httpOnly"]) == ("__Host-traymark", True, True)
    assert cookie["sameSite"] == "Strict"
    assert page.evaluate("() => document.cookie") == ""


def test_the_browser_itself_refuses_a_name_the_authority_may_not_vouch_for(tmp_path: Path, open_browser: Open) -> None:
    """A stolen authority key is good for this server's names only. Both are made alike but for the name."""
    now = datetime.now(UTC)
    own, wide = make_authority(host(), now), make_authority(host(name="elsewhere.test"), now)
    forged = reissued(make_leaf(wide, host(name="elsewhere.test"), now), own)
    good = reissued(make_leaf(own, host(), now), own)
    (tmp_path / "own.crt").write_bytes(own.certificate_pem())
    for name, pair in (("forged", forged), ("good", good)):
        (tmp_path / f"{name}.pem").write_bytes(pair.key_pem() + pair.certificate_pem())
    browser = open_browser(tmp_path / "own.crt", "--host-resolver-rules=MAP elsewhere.test 127.0.0.1")
    with one_page_server(tmp_path / "good.pem") as port:
        assert browser.new_page().goto(f"https://localhost:{port}/") is not None
    with one_page_server(tmp_path / "forged.pem") as port, pytest.raises(Error, match="ERR_CERT_INVALID"):
        browser.new_page().goto(f"https://elsewhere.test:{port}/")


class one_page_server:  # used like a function
    """A TLS server that answers every connection with one small page."""

    def __init__(self, pair: Path) -> None:
        self._context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        self._context.load_cert_chain(pair)
        self._listener = socket.create_server(("127.0.0.1", 0))

    def __enter__(self) -> int:
        threading.Thread(target=self._serve, daemon=True).start()
        return self._listener.getsockname()[1]

    def __exit__(self, *_: object) -> None:
        self._listener.close()

    def _serve(self) -> None:
        while True:
            try:
                connection, _ = self._listener.accept()
            except OSError:
                return
            connection.settimeout(10)
            try:
                with self._context.wrap_socket(connection, server_side=True) as secured:
                    secured.recv(4096)
                    secured.sendall(b"HTTP/1.1 200 OK\r\nContent-Length: 2\r\nConnection: close\r\n\r\nok")
            except OSError:
                connection.close()
