"""Who may import whom, as the tables of DEVELOPERS.md say. A row names all of our own code that a folder may import."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.meta.tracked import REPOSITORY

SERVER = REPOSITORY / "server" / "traymark"
LABELS = REPOSITORY / "labels" / "traymark_labels"
APP = REPOSITORY / "pwa" / "src"

EVERYTHING = None
"""For a composition root, which wires things and holds no rules."""


def table_of(heading: str) -> dict[str, set[str] | None]:
    """The table of DEVELOPERS.md below a line: what each folder may import."""
    text = (REPOSITORY / "DEVELOPERS.md").read_text(encoding="utf-8")
    rows = re.findall(r"^\| (`[^|]*) \|([^|\n]*)\|$", text.partition(f"\n{heading}:\n")[2].partition("\n\n\n")[0], re.M)
    found: dict[str, set[str] | None] = {}
    for folders, allowed in rows:
        for folder in re.findall(r"`([^`]+)`", folders):
            if folder in found:  # the next table
                return found
            found[folder] = EVERYTHING if "everything" in allowed else set(re.findall(r"`([^`]+)`", allowed))
    return found


SERVER_MAY = table_of("In the server")
APP_MAY = table_of("In the app")

STORES = ("log/", "docs/", "blobs/", "stations/", "personal/", "cli/verify.py")
"""The only ones that write or query the database; `verify` counts what it checked. log/rows.py declares the tables."""

IMPURE_MODULES = {
    "asyncio", "io", "locale", "os", "pathlib", "random", "secrets", "shutil", "socket", "sqlalchemy",
    "sqlite3", "sqlmodel", "subprocess", "tempfile", "threading", "time", "urllib", "uuid",
}  # fmt: skip
IMPURE_IN_APP = re.compile(
    r"\bnew Date\b|\bDate\.|\bMath\.random\b|\bperformance\.|\bfetch\(|\bindexedDB\b|\blocalStorage\b"
    r"|\bnavigator\.|\bdocument\.|\bwindow\.|\bIntl\.|toLocale|localeCompare"
)

ONLY_IMPORTER = {
    "sqlmodel": tuple(f"server/traymark/{store}" for store in STORES),
    "sqlalchemy": tuple(f"server/traymark/{store}" for store in STORES),
    # For labels, and for the QR code that a new station scans to join.
    "qrcode": ("labels/traymark_labels/symbol.py", "server/traymark/stations/join_qr.py"),
    "idb": ("pwa/src/log/",),
    "zxing-wasm": ("pwa/src/device/reader.ts",),
}


@pytest.mark.parametrize("folder", sorted(SERVER_MAY))
def test_server_folder_imports_only_what_it_may(folder: str) -> None:
    allowed = SERVER_MAY[folder]
    wrong = [
        f"{path.relative_to(SERVER)}: {module}"
        for path in sorted((SERVER / folder).rglob("*.py"))
        for module in python_imports(path)
        if (area := area_of_server(module))
        and area.partition("/")[0] != folder
        and allowed is not EVERYTHING
        and not allowed & {area, area.partition("/")[0]}
    ]
    assert wrong == []


@pytest.mark.parametrize("folder", sorted(APP_MAY))
def test_app_folder_imports_only_what_it_may(folder: str) -> None:
    allowed = APP_MAY[folder]
    wrong = [
        f"{path.relative_to(APP)}: {module}"
        for path in app_files(APP / folder)
        for module in app_imports(path)
        if module.partition("/")[0] != folder
        and allowed is not EVERYTHING
        and not allowed & {module, module.partition("/")[0]}
    ]
    assert wrong == []


def test_no_folder_of_screens_imports_another_but_the_shared_parts() -> None:
    wrong = [
        f"{path.relative_to(APP)}: {module}"
        for path in app_files(APP / "screens")
        for module in app_imports(path)
        if module.startswith("screens/")
        and "/" in module.removeprefix("screens/")
        and len(path.relative_to(APP).parts) > 2
        and module.split("/")[1] not in (path.relative_to(APP).parts[1], "parts")
    ]
    assert wrong == []


def test_every_folder_has_a_rule() -> None:
    on_server = {p.name for p in SERVER.iterdir() if p.is_dir() and any(p.rglob("*.py"))}
    in_app = {p.name for p in APP.iterdir() if p.is_dir() and any(p.iterdir())}
    assert on_server <= set(SERVER_MAY)
    assert in_app <= set(APP_MAY)


def test_rules_name_only_folders_that_exist() -> None:
    assert [name for name in SERVER_MAY if not (SERVER / name).is_dir()] == []
    assert [name for name in APP_MAY if not (APP / name).is_dir()] == []


def test_labels_know_nothing_of_the_server() -> None:
    files = sorted(LABELS.rglob("*.py"))
    assert files != []
    assert [p.name for p in files if any(m.partition(".")[0] == "traymark" for m in python_imports(p))] == []


def test_only_the_stores_know_the_database_rows() -> None:
    wrong = [
        name
        for path in sorted(SERVER.rglob("*.py"))
        if not (name := path.relative_to(SERVER).as_posix()).startswith(STORES)
        and any(m.startswith("traymark.log.rows") for m in python_imports(path))
    ]
    assert wrong == []


def test_database_tables_are_declared_in_one_file() -> None:
    declaring = [p.relative_to(SERVER).as_posix() for p in SERVER.rglob("*.py") if "table=True" in p.read_text("utf-8")]
    assert declaring == ["log/rows.py"]


@pytest.mark.parametrize("folder", ["events", "fold", "rules", "views"])
def test_pure_code_of_the_server_reads_no_clock_chance_or_outside(folder: str) -> None:
    wrong = [
        f"{path.relative_to(SERVER)}: {module}"
        for path in sorted((SERVER / folder).rglob("*.py"))
        for module in python_imports(path)
        if module.partition(".")[0] in IMPURE_MODULES
    ]
    # They may format a date; which day it is today they may not ask.
    wrong += [
        path.relative_to(SERVER).as_posix()
        for path in sorted((SERVER / folder).rglob("*.py"))
        if re.search(r"\.(now|utcnow|today)\(", path.read_text(encoding="utf-8"))
    ]
    assert wrong == []


@pytest.mark.parametrize("folder", ["events", "fold", "rules"])
def test_pure_code_of_the_app_reads_no_clock_chance_or_outside(folder: str) -> None:
    wrong = [
        f"{path.relative_to(APP)}: {found[0]}"
        for path in app_files(APP / folder)
        if (found := IMPURE_IN_APP.search(without_comments(path.read_text(encoding="utf-8"))))
    ]
    assert wrong == []


@pytest.mark.parametrize("package", sorted(ONLY_IMPORTER))
def test_package_has_one_importer(package: str) -> None:
    importers: list[str] = []
    for path in [*SERVER.rglob("*.py"), *LABELS.rglob("*.py")]:
        if any(module.partition(".")[0] == package for module in python_imports(path)):
            importers.append(path.relative_to(REPOSITORY).as_posix())
    for path in app_files(APP):
        if re.search(rf'from "{package}[/"]|import\("{package}[/"]', path.read_text(encoding="utf-8")):
            importers.append(path.relative_to(REPOSITORY).as_posix())
    assert importers != []
    assert [path for path in importers if not path.startswith(ONLY_IMPORTER[package])] == []


def python_imports(path: Path) -> Iterator[str]:
    """Full names of everything that a file imports: modules, and names from modules."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = "." * node.level + (node.module or "")
            assert node.level == 0, f"{path}: relative import {base}"
            yield from (f"{base}.{alias.name}" for alias in node.names)


def area_of_server(module: str) -> str | None:
    """The folder of a module: `log` for `traymark.log.store.Store`, None for a module that is not ours."""
    if module.partition(".")[0] == "traymark_labels":
        return "traymark_labels"
    package, _, rest = module.partition(".")
    # `from traymark import __version__` names no folder.
    inside = "/".join(rest.split(".")[:2])
    return inside if package == "traymark" and inside and not inside.startswith("__") else None


def app_files(folder: Path) -> list[Path]:
    return sorted([*folder.rglob("*.ts"), *folder.rglob("*.tsx")])


def app_imports(path: Path) -> Iterator[str]:
    """Our own modules that a file imports, as paths below pwa/src without ending."""
    text = path.read_text(encoding="utf-8")
    for name in re.findall(r'(?:\bfrom|\bimport)\s*\(?\s*"([^"]+)"', text):
        if name.startswith("@pwa/"):
            yield name.removeprefix("@pwa/")
        elif name.startswith(".") and not name.endswith((".css", ".json")):
            found = (path.parent / name).resolve()
            yield re.sub(r"\.tsx?$", "", found.relative_to(APP).as_posix())


def without_comments(text: str) -> str:
    return re.sub(r"//[^\n]*|/\*.*?\*/", "", text, flags=re.DOTALL)
