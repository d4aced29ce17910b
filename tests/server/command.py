"""The command `traymark` as a process, followed line by line."""

import json
import os
import re
import signal
import ssl
import subprocess
import sys
import threading
import urllib.request
from pathlib import Path
from queue import Empty, Queue

REPOSITORY = Path(__file__).resolve().parents[2]
LINK = re.compile(r"(https?://\S+)/#/join/([0-9A-Z]{5}-[0-9A-Z]{5})")
PATIENCE_S = 180
STOPS_WITHIN_S = 60


class Command:
    """A running command, read line by line."""

    def __init__(self, *arguments: str, cwd: Path, **environment: str) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-m", "traymark", *arguments],
            cwd=cwd, env=plain_environment() | environment, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
            encoding="utf-8",
        )  # fmt: skip
        self.said = ""
        self._lines: Queue[str | None] = Queue()
        threading.Thread(target=self._read, daemon=True).start()

    def until(self, word: str) -> str:
        """All output up to the line with this word."""
        while word not in self.said:
            try:
                line = self._lines.get(timeout=PATIENCE_S)
            except Empty:
                raise AssertionError(f"{word!r} was not said\n{self.said}") from None
            if line is None:
                raise AssertionError(f"ended before {word!r} was said\n{self.said}")
            self.said += line
        return self.said

    def stop(self, how: int = signal.SIGINT) -> int:
        """Send a signal; returns the exit code."""
        self.process.send_signal(how)
        return self.process.wait(STOPS_WITHIN_S)

    def _read(self) -> None:
        assert self.process.stdout is not None
        with self.process.stdout as output:
            for line in output:
                self._lines.put(line)
        self._lines.put(None)


def plain_environment() -> dict[str, str]:
    kept = {name: value for name, value in os.environ.items() if not name.startswith("TRAYMARK_")}
    source = os.pathsep.join(str(REPOSITORY / part) for part in ("server", "labels"))
    return kept | {"PYTHONPATH": source, "PYTHONUNBUFFERED": "1", "PYTHONUTF8": "1"}


def run(*arguments: str, cwd: Path, **environment: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "traymark", *arguments],
        cwd=cwd, env=plain_environment() | environment, capture_output=True, text=True, timeout=PATIENCE_S, check=False,
    )  # fmt: skip


def join(url: str, code: str, context: ssl.SSLContext | None = None) -> str:
    """Spend a code; the station's cookie."""
    request = urllib.request.Request(
        f"{url}/api/join", json.dumps({"code": code}).encode(), {"Content-Type": "application/json"}
    )
    with urllib.request.urlopen(request, timeout=10, context=context) as answer:
        return answer.headers["Set-Cookie"].split(";")[0]
