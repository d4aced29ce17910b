"""The repository as a whole: its top level, and what must never be in a tracked file."""

import json
import re
import tomllib

import pytest

import traymark
from tests.meta.tracked import REPOSITORY, tracked_files

TOP_LEVEL = {"README.md", "DEVELOPERS.md", "pyproject.toml", "server", "pwa", "labels", "tests", "shared"}

# Split, so that this file does not contain what it looks for.
REGISTRIES = ["registry.npm" + "js.org", "py" + "pi.org", "files.python" + "hosted.org", "registry.yarn" + "pkg.com"]
MACHINE_PATHS = re.compile(
    "|".join(["/ro" + "ot/", "/wo" + r"rk/(?:main|shared)", "/ho" + "me/[a-z]", "/Us" + "ers/[A-Za-z]"])
)


def texts() -> dict[str, str]:
    found: dict[str, str] = {}
    for path in tracked_files():
        content = (REPOSITORY / path).read_bytes()
        if b"\0" not in content:
            found[path.as_posix()] = content.decode("utf-8")
    return found


def test_top_level_holds_only_what_it_always_holds() -> None:
    assert {p.parts[0] for p in tracked_files() if not p.parts[0].startswith(".")} <= TOP_LEVEL


@pytest.mark.parametrize("host", REGISTRIES)
def test_no_tracked_file_names_a_registry(host: str) -> None:
    assert [name for name, text in texts().items() if host in text] == []


def test_no_tracked_file_names_a_folder_of_someones_machine() -> None:
    assert [f"{name}: {m[0]}" for name, text in texts().items() if (m := MACHINE_PATHS.search(text))] == []


def test_no_text_file_has_windows_line_ends() -> None:
    allowed = re.compile(r"/(vectors|data)/")
    assert [name for name, text in texts().items() if "\r\n" in text and not allowed.search(name)] == []


def test_version_is_the_same_in_package_and_project() -> None:
    project = tomllib.loads((REPOSITORY / "pyproject.toml").read_text(encoding="utf-8"))
    assert traymark.__version__ == project["project"]["version"]


def test_every_dependency_is_pinned() -> None:
    project = tomllib.loads((REPOSITORY / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    # Time zones change by law several times a year, so for them the newest is the right one.
    python = [d for d in project["dependencies"] + project["optional-dependencies"]["test"] if "tzdata" not in d]
    assert [d for d in python if "==" not in d] == []
    app = json.loads((REPOSITORY / "pwa" / "package.json").read_text(encoding="utf-8"))
    node = {**app["dependencies"], **app["devDependencies"]}
    assert {name: version for name, version in node.items() if not re.fullmatch(r"\d+\.\d+\.\d+", version)} == {}


def test_lock_names_no_place_to_download_from() -> None:
    lock = json.loads((REPOSITORY / "pwa" / "package-lock.json").read_text(encoding="utf-8"))
    assert [name for name, package in lock["packages"].items() if "resolved" in package] == []
