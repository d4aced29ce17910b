"""Styles belong to the folder that uses them, general ones to the base sheet, and none is unused."""

import re
from functools import cache
from pathlib import Path

import pytest

from tests.meta.tracked import REPOSITORY

APP = REPOSITORY / "pwa" / "src"
SHEETS = sorted((APP / "style").glob("*.css"))
GENERAL = {"base", "tokens"}
"""Loaded with the first screen; every other sheet is loaded with the folder that owns it."""

SHARED = frozenset({"screens/parts"})
"""Parts come with the sheets they need, wherever they are used."""


def rules_of(sheet: Path) -> str:
    """A sheet's text without comments and quoted text."""
    return re.sub(r'/\*.*?\*/|"[^"]*"', "", sheet.read_text(encoding="utf-8"), flags=re.DOTALL)


def classes_of(sheet: Path) -> set[str]:
    selectors = re.findall(r"([^{};]+)\{", rules_of(sheet))
    return {name for selector in selectors for name in re.findall(r"\.([a-zA-Z][\w-]*)", selector)}


def folder_of(path: Path) -> str:
    """`screens/Box`, or the folder below pwa/src."""
    parts = path.relative_to(APP).parts[:-1]
    return "/".join(parts[: 2 if parts[:1] == ("screens",) else 1])


@cache
def sources() -> dict[Path, str]:
    return {path: path.read_text(encoding="utf-8") for path in sorted([*APP.rglob("*.ts"), *APP.rglob("*.tsx")])}


@cache
def words(path: Path) -> frozenset[str]:
    """Every word in the strings of a file: anything that may become a class."""
    strings = re.findall(r'"([^"\n]*)"|`([^`]*)`', sources()[path])
    return frozenset(word for pair in strings for text in pair for word in re.findall(r"[a-zA-Z][\w-]*", text))


@cache
def owners(sheet: str) -> frozenset[str]:
    """The folders whose files import a sheet."""
    return frozenset(folder_of(path) for path, text in sources().items() if re.search(rf'/style/{sheet}\.css"', text))


def users(name: str) -> set[str]:
    return {folder_of(path) for path in sources() if name in words(path)}


@pytest.mark.parametrize("sheet", [s.stem for s in SHEETS if s.stem not in GENERAL])
def test_a_sheet_belongs_to_one_folder(sheet: str) -> None:
    assert len(owners(sheet)) == 1, sorted(owners(sheet))


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda s: s.stem)
def test_every_class_is_used_where_its_sheet_is_loaded(sheet: Path) -> None:
    own = owners(sheet.stem)
    shared = sheet.stem in GENERAL or own == SHARED
    # A folder's sheet may say how a general class looks within its own.
    names = classes_of(sheet) - (set() if sheet.stem == "base" else classes_of(APP / "style" / "base.css"))
    dead = [name for name in names if not (users(name) if shared else users(name) & own)]
    assert sorted(dead) == []


def test_no_folder_relies_on_the_sheet_of_another() -> None:
    everywhere = {name for s in SHEETS if s.stem in GENERAL or owners(s.stem) == SHARED for name in classes_of(s)}
    homes: dict[str, set[str]] = {}
    for sheet in SHEETS:
        for name in classes_of(sheet) - everywhere:
            homes.setdefault(name, set()).update(owners(sheet.stem))
    # Only names with a hyphen: others are also words of the program.
    wrong = [
        f"{path.relative_to(APP)}: {name}"
        for path in sources()
        if path.suffix == ".tsx"
        for name in sorted(words(path) & homes.keys())
        if "-" in name and folder_of(path) not in homes[name]
    ]
    assert wrong == []


def test_the_second_column_comes_at_one_width() -> None:
    """CSS cannot read a constant in a media query, so that each sheet repeats the one of ui/wide.ts."""
    (wide,) = re.findall(r'"\(min-width: (\d+)px\)"', (APP / "ui" / "wide.ts").read_text(encoding="utf-8"))
    asked = [
        (sheet.name, int(width))
        for sheet in SHEETS
        for width in re.findall(r"\((?:min|max)-width: (\d+)px\)", rules_of(sheet))
    ]
    near = [(name, width) for name, width in asked if 0.8 * int(wide) < width < 1.2 * int(wide)]
    assert len(near) > 3
    assert [found for found in near if found[1] != int(wide)] == []
    assert [path.name for path, text in sources().items() if path.name != "wide.ts" and f"{wide}px" in text] == []
