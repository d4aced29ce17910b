"""The app's own tests, types and lint, run by Node; a failure shows what they printed."""

import subprocess
from pathlib import Path

import pytest

from tests.node import ensure_packages, npm_command


@pytest.fixture(scope="module")
def pwa(repository: Path) -> Path:
    folder = repository / "pwa"
    ensure_packages(folder)
    return folder


def test_app_tests_pass(pwa: Path) -> None:
    said = run_script(pwa, "test")
    assert " passed" in said


def test_app_passes_types(pwa: Path) -> None:
    run_script(pwa, "check")


def test_app_passes_lint(pwa: Path) -> None:
    run_script(pwa, "lint")


def run_script(pwa: Path, name: str) -> str:
    """Run one script of package.json; a failure shows all its output."""
    command, environment = npm_command()
    run = subprocess.run(
        [*command, "run", "--silent", name],
        cwd=pwa,
        env={**environment, "NO_COLOR": "1"},
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        encoding="utf-8",
        timeout=300,
        check=False,
    )
    print(run.stdout)
    assert run.returncode == 0, f"npm run {name} ended with {run.returncode}\n{run.stdout}"
    return run.stdout
