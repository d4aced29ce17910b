"""A copy of the built app on a plain file server, so that a test can put a newer version in its place."""

import hashlib
import re
import shutil
import threading
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import ClassVar


class AppCopy:
    """Serves `folder` on localhost until `close`."""

    def __init__(self, built: Path, folder: Path) -> None:
        self.folder = shutil.copytree(built, folder)
        self._server = ThreadingHTTPServer(("127.0.0.1", 0), partial(_Files, directory=str(folder)))
        self.url = f"http://localhost:{self._server.server_port}"
        threading.Thread(target=self._server.serve_forever, daemon=True).start()

    def publish_newer_version(self, marker: str) -> None:
        """Change the title of the page, and the service worker's list with it, as a build of a changed app does."""
        page = self.folder / "index.html"
        changed = re.sub("<title>.*</title>", f"<title>{marker}</title>", page.read_text(encoding="utf-8"))
        page.write_text(changed, encoding="utf-8")
        revision = hashlib.md5(changed.encode(), usedforsecurity=False).hexdigest()
        worker = self.folder / "sw.js"
        text, places = re.subn(
            r'"revision":"[0-9a-f]{32}","url":"index\.html"',
            f'"revision":"{revision}","url":"index.html"',
            worker.read_text(encoding="utf-8"),
        )
        if places != 1:
            raise AssertionError(f"index.html stands {places} times in the service worker's list")
        worker.write_text(text, encoding="utf-8")

    def close(self) -> None:
        self._server.shutdown()
        self._server.server_close()


class _Files(SimpleHTTPRequestHandler):
    extensions_map: ClassVar[dict[str, str]] = {
        **SimpleHTTPRequestHandler.extensions_map,
        ".js": "text/javascript",
        ".wasm": "application/wasm",
        ".webmanifest": "application/manifest+json",
    }

    def end_headers(self) -> None:
        self.send_header("Cache-Control", "no-cache")
        super().end_headers()

    def log_message(self, format: str, *args: object) -> None:
        pass
