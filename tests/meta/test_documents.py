"""README and DEVELOPERS name only paths and commands that exist."""

import json
import os
import re
import subprocess
import sys
import tomllib
from functools import cache
from pathlib import Path

import pytest

from tests.meta.tracked import REPOSITORY, tracked_files

DOCUMENTS = ["README.md", "DEVELOPERS.md"]

# Folders that a path in the text may be relative to: `events/` is in both packages, `log/rows.py` in one.
ROOTS = ["", "server/traymark", "pwa/src", "shared", "tests", "tests/server", "server/traymark/fold", "pwa/src/fold"]
PLACEHOLDERS = re.compile(r"\bx\b|\bX\b|test_x|<|\*|\{")
PATH = re.compile(r"(?:[\w.-]+/)+[\w.-]*|[\w-]+\.(?:py|tsx|ts|json|md|toml)\b")


def text_of(document: str) -> str:
    return (REPOSITORY / document).read_text(encoding="utf-8")


def code_spans(text: str) -> list[str]:
    """Words set as code, and the lines of code blocks without their comments."""
    blocks = re.findall(r"^(?: {4}|\t)(.*)$", text, re.MULTILINE)
    fenced = re.findall(r"```\w*\n(.*?)```", text, re.DOTALL)
    spans = re.findall(r"`([^`\n]+)`", text)
    lines = [line.partition("#")[0] for block in [*blocks, *fenced] for line in block.splitlines()]
    return [*spans, *lines]


def places_of(path: str) -> list[str]:
    """What a path in the text may refer to. A module may be named without its ending, a folder without its slash."""
    endings = [""] if path.endswith("/") else ["", "/", ".py", ".ts", ".tsx"]
    ended = "/" if path.endswith("/") else ""
    return [(Path(root) / path).as_posix() + ended + ending for root in ROOTS for ending in endings]


def known_paths() -> set[str]:
    files = [path.as_posix() for path in tracked_files()]
    folders = {parent.as_posix() + "/" for path in tracked_files() for parent in path.parents if parent.name}
    return {*files, *folders}


# Addresses of the server, and the environment that a newcomer makes, are no paths of the repository.
@pytest.mark.parametrize("document", DOCUMENTS)
def test_paths_in_the_document_exist(document: str) -> None:
    known = known_paths()
    named = {
        path
        for span in code_spans(text_of(document))
        if not PLACEHOLDERS.search(span)
        for path in PATH.findall(span)
        if not path.startswith(("api/", "T/", ".venv/"))
    }
    missing = [path for path in sorted(named) if not known & set(places_of(path))]
    assert missing == []


def test_developers_names_paths_at_all() -> None:
    spans = code_spans(text_of("DEVELOPERS.md"))
    assert sum(bool(PATH.search(span)) for span in spans) > 20


@pytest.mark.parametrize("document", DOCUMENTS)
def test_commands_in_the_document_exist(document: str) -> None:
    spans = " \n".join(code_spans(text_of(document)))
    scripts = json.loads((REPOSITORY / "pwa" / "package.json").read_text(encoding="utf-8"))["scripts"]
    assert set(re.findall(r"npm run ([\w-]+)", spans)) <= set(scripts)
    extras = tomllib.loads((REPOSITORY / "pyproject.toml").read_text(encoding="utf-8"))["project"][
        "optional-dependencies"
    ]
    assert set(re.findall(r"\.\[([\w-]+)\]", spans)) <= set(extras)
    offered = help_of()
    named = set(re.findall(r"\btraymark ([a-z]+)\b", spans))
    assert [command for command in sorted(named) if not re.search(rf"^\s+{command}\s", offered, re.MULTILINE)] == []


def test_readme_begins_with_the_two_commands_a_newcomer_needs() -> None:
    text = text_of("README.md")
    assert "pip install . && traymark demo" in text
    assert "pip install -e '.[test]' && python -m pytest" in text


@pytest.mark.parametrize("store", ["Server database", "Station database", "Label", "Exported file"])
def test_readme_says_how_far_each_store_can_be_trusted(store: str) -> None:
    rows = [line for line in text_of("README.md").splitlines() if line.startswith(f"| {store} |")]
    assert len(rows) == 1
    # Store, who can write it, what tampering achieves, what losing it costs.
    assert len([cell for cell in rows[0].strip("|").split("|") if cell.strip()]) == 4


@cache
def help_of() -> str:
    source = os.pathsep.join(str(REPOSITORY / part) for part in ("server", "labels"))
    asked = [sys.executable, "-m", "traymark", "--help"]
    run = subprocess.run(asked, capture_output=True, text=True, env={**os.environ, "PYTHONPATH": source}, check=False)
    assert run.returncode == 0, run.stderr
    return run.stdout
