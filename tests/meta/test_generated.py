"""Generated files are what their programs would write today."""

import subprocess
import sys
from pathlib import Path

import pytest
from PIL import Image, ImageChops, ImageStat

from tests.meta.tracked import REPOSITORY

ICONS = REPOSITORY / "pwa" / "public"


def test_event_types_of_both_languages_are_current() -> None:
    asked = [sys.executable, "shared/generate.py", "--check"]
    run = subprocess.run(asked, cwd=REPOSITORY, capture_output=True, text=True, check=False)
    assert run.returncode == 0, f"python shared/generate.py\n{run.stdout}{run.stderr}"


@pytest.fixture(scope="module")
def drawn(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("icons")
    subprocess.run([sys.executable, str(REPOSITORY / "pwa" / "draw_icons.py"), str(folder)], check=True)
    return folder


def test_icon_is_current(drawn: Path) -> None:
    assert (ICONS / "icon.svg").read_text(encoding="utf-8") == (drawn / "icon.svg").read_text(encoding="utf-8")


@pytest.mark.parametrize("name", ["icon-192.png", "icon-512.png", "icon-maskable-512.png"])
def test_icon_picture_is_current(drawn: Path, name: str) -> None:
    kept, fresh = Image.open(ICONS / name).convert("RGBA"), Image.open(drawn / name).convert("RGBA")
    assert kept.size == fresh.size
    # Another Pillow may round an edge differently; a moved or recoloured shape differs far more.
    assert max(ImageStat.Stat(ImageChops.difference(kept, fresh)).mean) < 0.2


def test_icon_for_masks_reaches_every_corner() -> None:
    icon = Image.open(ICONS / "icon-maskable-512.png").convert("RGBA")
    assert {icon.getpixel(corner)[3] for corner in ((0, 0), (511, 0), (0, 511), (511, 511))} == {255}
