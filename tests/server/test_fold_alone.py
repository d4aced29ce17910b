"""The fold and the reading of events depend on nothing but what they are given."""

import ast
import builtins
import os
import random
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.vectors.fold_runs import entry_of, folded, hash_of
from tests.vectors.vector_files import vectors

VECTORS = vectors("fold")
FORBIDDEN = {"open", "print", "input", "eval", "exec", "compile", "__import__", "id", "hash", "globals", "vars"}


def test_fold_needs_no_clock_no_randomness_and_no_files(monkeypatch: pytest.MonkeyPatch) -> None:
    def looked_around(*_: object, **__: object) -> None:
        raise AssertionError("the fold looked around")

    logs = [(vector["events"], vector["hash"]) for vector in VECTORS]
    folded(entry_of(row) for events, _ in logs for row in events)  # the tables are read once, beforehand
    for module, names in (
        (time, ("time", "time_ns", "monotonic", "perf_counter", "localtime")),
        (random, ("random", "randrange", "choice", "getrandbits")),
        (os, ("urandom", "getenv", "open")),
        (builtins, ("open", "print", "input")),
    ):
        for name in names:
            monkeypatch.setattr(module, name, looked_around)
    wrong = [expected for events, expected in logs if hash_of(folded(entry_of(row) for row in events)) != expected]
    monkeypatch.undo()
    assert wrong == []


@pytest.mark.parametrize("folder", ["events", "fold"])
def test_no_forbidden_name_is_called(folder: str, repository: Path) -> None:
    files = sorted((repository / "server/traymark" / folder).glob("*.py"))
    assert len(files) > 2
    for file in files:
        calls = [
            node.func for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))) if isinstance(node, ast.Call)
        ]
        assert {call.id for call in calls if isinstance(call, ast.Name)} & FORBIDDEN == set(), file.name


def test_state_does_not_depend_on_the_seed_of_python_hashes(repository: Path) -> None:
    program = (
        "from tests.vectors.sequences import judged, sequence\n"
        "print([(log['hash'], log['verdicts']) for log in (judged(seed, sequence(seed)) for seed in range(5))])"
    )
    said = {
        subprocess.run(
            [sys.executable, "-c", program],
            cwd=repository,
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": os.pathsep.join((".", "server", "labels"))},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("0", "1", "2")
    }
    assert len(said) == 1
    assert "event" in said.pop()
