"""The product's server as a process of its own, with the command that a person gives."""

import os
import socket
import time
import urllib.error
import urllib.request
from collections.abc import Sequence
from multiprocessing.process import BaseProcess
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import NamedTuple

from tests import warm

_REPOSITORY = Path(__file__).resolve().parents[1]
DEMO = ("demo", "--data", "{data}", "--port", "{port}")
"""The command that serves the invented shop."""

# Far more than a quiet machine needs: a busy one fails nothing.
_START_WITHIN_S = 180.0
_STOP_WITHIN_S = 60.0
_ASK_EVERY_S = 0.05


class Ran(NamedTuple):
    """A command that has ended, and what it printed."""

    returncode: int | None
    stdout: str
    stderr: str


class ServerProcess:
    """`traymark serve` on a folder and a free port of localhost. `stop` and `start` again keep folder and port.

    Another command names folder and port as `{data}` and `{port}`.
    """

    loads_anew = False
    """Whether its modules are those of another checkout, named by its `environment`."""

    def __init__(self, data_dir: Path, command: tuple[str, ...] = ("serve",)) -> None:
        self.data_dir = data_dir
        self.port = _free_port()
        self.url = f"http://localhost:{self.port}"
        self.log_file = data_dir.with_name(f"{data_dir.name}.log")
        self.use(command)
        self._process: BaseProcess | None = None

    def use(self, command: tuple[str, ...]) -> None:
        """Start with another command from now on."""
        self._command = tuple(word.format(data=self.data_dir, port=self.port) for word in command)

    def start(self) -> None:
        self._process = self._begin(self._command, self.log_file, self.log_file)
        self._wait_until_healthy(self._process)

    def stop(self) -> None:
        if self._process is None:
            return
        self._process.terminate()
        self._process.join(_STOP_WITHIN_S)
        if self._process.is_alive():
            self.kill()
            raise AssertionError(f"the server did not stop within {_STOP_WITHIN_S} s\n{self.log()}")
        self._process = None

    def kill(self) -> None:
        """End it as a power cut does."""
        if self._process is not None:
            self._process.kill()
            self._process.join()
            self._process = None

    @property
    def pid(self) -> int:
        """Process id of the running server."""
        assert self._process is not None and self._process.pid is not None, "the server does not run"
        return self._process.pid

    def log(self) -> str:
        return self.log_file.read_text(encoding="utf-8", errors="replace")

    def run(self, *arguments: str, timeout_s: float = 180) -> Ran:
        """Another `traymark` command on the same folder."""
        with TemporaryDirectory() as folder:
            said, warned = Path(folder) / "out", Path(folder) / "err"
            process = self._begin(arguments, said, warned)
            process.join(timeout_s)
            assert not process.is_alive(), f"traymark {' '.join(arguments)} did not end"
            return Ran(process.exitcode, said.read_text("utf-8"), warned.read_text("utf-8"))

    def environment(self) -> dict[str, str]:
        """This process's environment without its TRAYMARK_* names: a test must not depend on who runs it."""
        kept = {name: value for name, value in os.environ.items() if not name.startswith("TRAYMARK_")}
        source = os.pathsep.join(str(_REPOSITORY / part) for part in ("server", "labels"))
        settings = {"DATA_DIR": str(self.data_dir), "HOST": "127.0.0.1", "PORT": str(self.port)}
        return {
            **kept,
            "PYTHONPATH": source,
            "PYTHONUNBUFFERED": "1",
            **{f"TRAYMARK_{name}": value for name, value in settings.items()},
        }

    def _begin(self, arguments: Sequence[str], said: Path, warned: Path) -> BaseProcess:
        command = warm.Command(arguments, self.environment(), self.data_dir.parent, said, warned)
        return warm.start(command, loads_anew=self.loads_anew)

    def _wait_until_healthy(self, process: BaseProcess) -> None:
        give_up_at = time.monotonic() + _START_WITHIN_S
        while time.monotonic() < give_up_at:
            if not process.is_alive():
                raise AssertionError(f"the server ended with {process.exitcode}\n{self.log()}")
            try:
                with urllib.request.urlopen(f"{self.url}/api/health", timeout=30):
                    return
            except urllib.error.HTTPError as error:
                raise AssertionError(f"/api/health answered {error.code}\n{self.log()}") from error
            except OSError:
                time.sleep(_ASK_EVERY_S)
        self.kill()
        raise AssertionError(f"the server was not up within {_START_WITHIN_S} s\n{self.log()}")


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]
