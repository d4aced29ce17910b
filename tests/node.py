"""The build hook's own way to Node, for tests: both must find it and build in the same way."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "pwa"))

from node_build import NodeMissing, ensure_built, ensure_packages, npm_command, source_digest

__all__ = ["NodeMissing", "ensure_built", "ensure_packages", "npm_command", "source_digest"]
