"""Build hook of the wheel: builds the app and packs it as traymark/pwa.

`TRAYMARK_SKIP_PWA=1` packs the app as it was last built, for anyone who rebuilds the wheel often.
"""

import os
import sys
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

sys.path.insert(0, str(Path(__file__).resolve().parent))

from node_build import NODE_WHEEL, ensure_built, has_system_node  # found by the line above


class AppBuildHook(BuildHookInterface[Any]):
    PLUGIN_NAME = "custom"

    def dependencies(self) -> list[str]:
        return [] if _skipped() or has_system_node() else [NODE_WHEEL]

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        pwa = Path(self.root) / "pwa"
        dist = pwa / "dist" if _skipped() else ensure_built(pwa)
        if not (dist / "index.html").is_file():
            raise FileNotFoundError(f"{dist}: nothing was built there yet; unset TRAYMARK_SKIP_PWA")
        # An editable installation serves pwa/dist directly, so that a new build shows at once.
        if version != "editable":
            build_data["force_include"][str(dist)] = "traymark/pwa"


def _skipped() -> bool:
    return os.environ.get("TRAYMARK_SKIP_PWA") == "1"
