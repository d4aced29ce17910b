"""The app's own tests, types and lint, run by Node; a failure shows what they printed."""

from pathlib import Path

import pytest

from tests.node import run_script


@pytest.fixture
def pwa(repository: Path) -> Path:
    return repository / "pwa"


def test_app_tests_pass(pwa: Path) -> None:
    assert " passed" in run_script(pwa, "test")


def test_app_passes_types(pwa: Path) -> None:
    run_script(pwa, "check")


def test_app_passes_lint(pwa: Path) -> None:
    run_script(pwa, "lint")
