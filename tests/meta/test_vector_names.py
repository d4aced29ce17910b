"""Vectors are named for what they show. That the event table is covered: tests/vectors/test_fold_coverage.py."""

import re

from tests.meta.tracked import REPOSITORY


def test_vectors_are_named_for_their_scenarios() -> None:
    names = [path.stem for path in (REPOSITORY / "shared" / "vectors").rglob("*.json")]
    assert names != []
    assert [name for name in names if not re.fullmatch(r"[a-z][a-z0-9_-]*", name)] == []
