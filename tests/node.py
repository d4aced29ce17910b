"""The build hook's own way to Node, for tests: both must find it and build in the same way."""

import subprocess
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "pwa"))

from node_build import NodeMissing, ensure_built, ensure_packages, npm_command, source_digest

__all__ = ["NodeMissing", "ensure_built", "ensure_packages", "npm_command", "run_script", "source_digest"]

_PATIENCE_S = 1_200
"""Ends only what hangs: on a busy machine the app's tests take minutes."""


def run_script(pwa: Path, name: str, *more: str, **environment: str) -> str:
    """What one script of package.json says. A failure shows all of it."""
    ensure_packages(pwa)
    command, around = npm_command()
    run = subprocess.run(
        [*command, "run", "--silent", name, *(["--", *more] if more else [])],
        cwd=pwa,
        env={**around, "NO_COLOR": "1", **environment},
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        encoding="utf-8",
        timeout=_PATIENCE_S,
        check=False,
    )
    assert run.returncode == 0, f"npm run {name} ended with {run.returncode}\n{run.stdout}"
    return run.stdout
