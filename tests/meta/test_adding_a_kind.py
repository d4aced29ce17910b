"""Adding an event kind and a member of a record changes no old vector, as copies of the tables show."""

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.meta.tracked import REPOSITORY, tracked_files
from tests.node import ensure_packages, npm_command

COPIED = ("shared/", "server/", "labels/", "tests/vectors/", "tests/pwa/", "tests/__init__.py", "pwa/")


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the repository with a made-up kind that fills a made-up member."""
    folder = tmp_path_factory.mktemp("copy")
    for name in (*tracked_files(), Path("pyproject.toml")):
        if name.as_posix().startswith(COPIED) or name.name == "pyproject.toml":
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy(REPOSITORY / name, folder / name)
    path = folder / "shared" / "events.json"
    events = json.loads(path.read_text(encoding="utf-8"))
    events["records"]["job"] = {"cleaned": None, **events["records"]["job"], "cleanings": []}
    events["kinds"]["device.cleaned"] = {
        "job": True, "fields": {"with": "text(80)"}, "text": "Cleaned with {with}",
        "effects": [
            {"op": "stamp", "on": "job", "key": "@job", "to": "cleaned", "values": {"with": "with"}},
            {"op": "list", "on": "job", "key": "@job", "to": "cleanings", "values": {"with": "with"}},
        ],
    }  # fmt: skip
    path.write_text(json.dumps(events), encoding="utf-8")
    run(folder, sys.executable, "shared/generate.py")
    return folder


def run(folder: Path, *command: str, environment: dict[str, str] | None = None) -> None:
    paths = os.pathsep.join(str(folder / part) for part in ("", "server", "labels"))
    whole = (environment or dict(os.environ)) | {"PYTHONPATH": paths}
    done = subprocess.run(command, cwd=folder, env=whole, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr


def test_no_old_vector_and_no_kept_sequence_needs_another_hash(copy: Path) -> None:
    kept = [*copy.glob("shared/vectors/fold/*.json"), copy / "tests/vectors/sequences.ndjson"]
    before = {path: path.read_bytes() for path in kept}
    assert len(before) > 100
    run(copy, sys.executable, "-m", "tests.vectors.set_hashes")
    assert [path.name for path in kept if path.read_bytes() != before[path]] == []


def test_the_types_of_both_languages_have_the_new_member(copy: Path) -> None:
    assert "readonly cleaned: JobCleaned | null;" in (copy / "pwa/src/fold/records.gen.ts").read_text(encoding="utf-8")
    assert "    cleanings: list[JobCleanings]" in (copy / "server/traymark/fold/records_gen.py").read_text("utf-8")


def test_all_old_vectors_hold_in_typescript(copy: Path) -> None:
    ensure_packages(REPOSITORY / "pwa")
    (copy / "pwa" / "node_modules").symlink_to(REPOSITORY / "pwa" / "node_modules")
    command, environment = npm_command()
    run(copy / "pwa", *command, "exec", "--", "vitest", "run", "fold.test.ts", environment=environment)
