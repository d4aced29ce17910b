"""Python source passes types, lint and format; a failure shows what the tool said."""

import os
import subprocess
import sys

import pytest

from tests.meta.tracked import REPOSITORY
from tests.node import NodeMissing, npm_command


def test_python_passes_lint() -> None:
    run_tool("ruff", "check", ".")


def test_python_is_formatted() -> None:
    run_tool("ruff", "format", "--check", ".")


def test_python_types_hold() -> None:
    # The type checker is a Node program, which its Python package fetches once.
    there = subprocess.run(
        [sys.executable, "-m", "pyright", "--version"], env=with_node(), capture_output=True, text=True, check=False
    )
    if there.returncode != 0 and os.environ.get("CI") != "true":
        pytest.skip(f"pyright can't be fetched: {(there.stderr or there.stdout).strip()[-200:]}")
    run_tool("pyright", "--pythonpath", sys.executable)


def run_tool(name: str, *arguments: str) -> None:
    asked = [sys.executable, "-m", name, *arguments]
    run = subprocess.run(
        asked, cwd=REPOSITORY, env=with_node(), stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, check=False
    )
    assert run.returncode == 0, f"{name} {' '.join(arguments)}\n{run.stdout}"


def with_node() -> dict[str, str]:
    try:
        return {**npm_command()[1], "PYRIGHT_PYTHON_IGNORE_WARNINGS": "1"}
    except NodeMissing:
        return dict(os.environ)
