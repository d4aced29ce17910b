"""The app's own tests, types and style, run by Node; what they print is shown when they fail."""

from pathlib import Path

import pytest

from tests.node import run_script


@pytest.fixture
def pwa(repository: Path) -> Path:
    return repository / "pwa"


def test_app_tests_pass(pwa: Path) -> None:
    assert " passed" in run_script(pwa, "test")


def test_app_types_hold(pwa: Path) -> None:
    run_script(pwa, "check")


def test_app_source_is_in_style(pwa: Path) -> None:
    run_script(pwa, "lint")
