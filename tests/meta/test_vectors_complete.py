"""Vectors hold the two languages together, so nothing in the event table may be without one."""

import json
import re
from pathlib import Path

import pytest

from tests.meta.tracked import REPOSITORY

SHARED = REPOSITORY / "shared"
EVENTS = json.loads((SHARED / "events.json").read_text(encoding="utf-8"))
VECTORS = sorted((SHARED / "vectors").rglob("*.json"))
FOLD = [path for path in VECTORS if "fold" in path.relative_to(SHARED / "vectors").parts]


def kinds_in(paths: list[Path]) -> set[str]:
    """Kinds of the events in these vectors, whether written as objects or as the text of their bytes."""
    text = "".join(path.read_text(encoding="utf-8") for path in paths)
    return set(re.findall(r'\\*"kind\\*"\s*:\s*\\*"([a-z_.]+)', text))


@pytest.mark.parametrize("kind", sorted(EVENTS["kinds"]))
def test_event_kind_has_a_fold_vector(kind: str) -> None:
    assert kind in kinds_in(FOLD)


def test_unknown_kind_has_a_fold_vector() -> None:
    assert kinds_in(FOLD) - set(EVENTS["kinds"]) != set()


@pytest.mark.parametrize("operation", sorted({e["op"] for row in EVENTS["kinds"].values() for e in row["effects"]}))
def test_effect_operation_has_a_fold_vector(operation: str) -> None:
    using = {kind for kind, row in EVENTS["kinds"].items() if any(e["op"] == operation for e in row["effects"])}
    assert using & kinds_in(FOLD) != set()


def test_there_are_vectors() -> None:
    assert VECTORS != []


@pytest.mark.parametrize("path", VECTORS, ids=lambda path: path.relative_to(SHARED).as_posix())
def test_vector_is_named_for_its_scenario(path: Path) -> None:
    assert re.fullmatch(r"[a-z][a-z0-9_-]*", path.stem)
