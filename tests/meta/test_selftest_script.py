"""The self-test's script runs in old browsers and loads fast over a poor network."""

import gzip
import re
from pathlib import Path

import pytest

from traymark.views.selftest_page import SCRIPT, STYLE

LIMIT_BYTES = 20 * 1024
"""Compressed; our own budget."""

# Syntax that came after ES2015: `?.`, `??`, `**`, `async`, object spread, `catch {`, modules.
NEWER = re.compile(r"\?\.[A-Za-z_$(\[]|\?\?|\*\*|\basync\b|\{\.\.\.|catch\s*\{|\bimport\b|\bexport\b")
TEXT = re.compile(r"\"(?:[^\"\\]|\\.)*\"|'(?:[^'\\]|\\.)*'|`(?:[^`\\]|\\.)*`")


@pytest.fixture(scope="module")
def script(built_app: Path) -> str:
    return (built_app / SCRIPT.lstrip("/")).read_text(encoding="utf-8")


def test_it_is_within_budget(built_app: Path) -> None:
    sizes = {path: len(gzip.compress((built_app / path.lstrip("/")).read_bytes(), 9)) for path in (SCRIPT, STYLE)}
    assert sum(sizes.values()) < LIMIT_BYTES, sizes


def test_it_has_no_syntax_that_came_after_es2015(script: str) -> None:
    assert NEWER.findall(TEXT.sub('""', script)) == []


@pytest.mark.parametrize(
    "newer", ["a?.b", "a?.[0]", "a??b", "a**b", "async function f(){}", "({...a})", "try{}catch{}"]
)
def test_newer_syntax_is_detected(newer: str) -> None:
    assert NEWER.findall(newer) != []


def test_stations_do_not_cache_it(built_app: Path) -> None:
    assert SCRIPT.lstrip("/") not in (built_app / "sw.js").read_text(encoding="utf-8")
