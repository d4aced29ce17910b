"""Finds a Chromium for the browser tests, or installs one."""

import os
import shutil
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import pytest
from playwright.sync_api import Error, sync_playwright

_NAMES = ("chromium", "chromium-browser", "chrome")

_PATIENCE_S = 600
"""A download of some 200 MB over a slow line."""


@dataclass(frozen=True)
class Chromium:
    path: Path
    version: str
    origin: str

    def __str__(self) -> str:
        return f"{self.path} ({self.version}; {self.origin})"


def find_chromium() -> Chromium | None:
    """The first Chromium that starts. A TRAYMARK_CHROMIUM that doesn't is a mistake to be told, not passed over."""
    named = os.environ.get("TRAYMARK_CHROMIUM")
    if named:
        chromium = _tried(Path(named), "TRAYMARK_CHROMIUM")
        if chromium is None:
            raise pytest.UsageError(f"TRAYMARK_CHROMIUM={named} does not start")
        return chromium
    on_path = (shutil.which(name) for name in _NAMES)
    candidates = [(Path(found), "PATH") for found in on_path if found]
    for path, origin in [*candidates, (_playwrights_own(), "Playwright")]:
        chromium = _tried(path, origin)
        if chromium is not None:
            return chromium
    return None


def install_chromium() -> Chromium | str:
    """One installed now, by Playwright or by apt-get; or the reason why there is none."""
    said = [_run([sys.executable, "-m", "playwright", "install", "chromium"])]
    chromium = _tried(_playwrights_own(), "installed by Playwright")
    if chromium is not None:
        return chromium
    if shutil.which("apt-get") and os.geteuid() == 0:
        said.append(_run(["apt-get", "update"]))
        said.append(_run(["apt-get", "install", "-y", "--no-install-recommends", "chromium"]))
        found = shutil.which("chromium")
        chromium = _tried(Path(found), "installed by apt-get") if found else None
        if chromium is not None:
            return chromium
    return "; ".join(["none on PATH, none by Playwright", *filter(None, said)])


def _tried(path: Path | None, origin: str) -> Chromium | None:
    """Some Chromiums are there and can't run: a stub for another package system, or libraries are missing."""
    if path is None or not path.is_file():
        return None
    try:
        run = subprocess.run([path, "--version"], capture_output=True, text=True, timeout=60, check=False)
    except (OSError, subprocess.TimeoutExpired):
        return None
    if run.returncode != 0:
        return None
    return Chromium(path, " ".join(run.stdout.split()), origin)


def _playwrights_own() -> Path | None:
    try:
        with sync_playwright() as playwright:
            return Path(playwright.chromium.executable_path)
    except Error:
        return None


def _run(command: list[str]) -> str:
    """Nothing when it went well, else what went wrong, in one line."""
    environment = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    shown = " ".join(command)
    try:
        run = subprocess.run(
            command, env=environment, capture_output=True, text=True, timeout=_PATIENCE_S,
            stdin=subprocess.DEVNULL, check=False,
        )  # fmt: skip
    except (OSError, subprocess.TimeoutExpired) as error:
        return f"{shown}: {error}"
    if run.returncode == 0:
        return ""
    lines = [line.strip() for line in (run.stderr or run.stdout).splitlines() if line.strip()]
    telling = [line for line in lines if "error" in line.lower()] or lines[-1:]
    return f"{shown}: {' '.join(telling[:1])}"
