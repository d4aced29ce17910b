"""The files that belong to the repository: those git tracks or, in an unpacked sdist, those that are there."""

import subprocess
from functools import cache
from pathlib import Path

REPOSITORY = Path(__file__).resolve().parents[2]

_MADE = {"node_modules", "dist", "__pycache__", ".git", ".venv", ".pytest_cache", ".ruff_cache", ".hypothesis"}


@cache
def tracked_files() -> tuple[Path, ...]:
    """Relative to the repository. New files that are not ignored count, so that a mistake shows before its commit."""
    asked = ["git", "-C", str(REPOSITORY), "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
    try:
        listed = subprocess.run(asked, capture_output=True, check=True).stdout.decode().split("\0")
        names = [Path(name) for name in listed if name and (REPOSITORY / name).is_file()]
    except (OSError, subprocess.CalledProcessError):
        found = (path.relative_to(REPOSITORY) for path in REPOSITORY.rglob("*") if path.is_file())
        names = [path for path in found if not _MADE.intersection(path.parts)]
    if len(names) < 50:
        raise AssertionError(f"only {len(names)} files found in {REPOSITORY}")
    return tuple(sorted(names))
