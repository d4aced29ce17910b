"""Loads the rule tables of shared/ once and hands them out.

The tables are beside the package when installed, and at the top of the repository in a working copy.
"""

import json
from functools import cache
from pathlib import Path
from typing import Any, cast

Table = dict[str, Any]


@cache
def shared_dir() -> Path:
    """The folder of the tables. Raises FileNotFoundError when the installation is broken."""
    here = Path(__file__).resolve().parent
    for candidate in (here / "shared", here.parents[1] / "shared"):
        if (candidate / "events.json").is_file():
            return candidate
    raise FileNotFoundError("shared/events.json")


@cache
def table(name: str) -> Table:
    """One table by its file name without the ending. Callers must not change what they get."""
    return cast(Table, json.loads((shared_dir() / f"{name}.json").read_text(encoding="utf-8")))


def kinds() -> dict[str, Table]:
    """Event kinds by name (F2.5, F5)."""
    return cast(dict[str, Table], table("events")["kinds"])


def enums() -> dict[str, list[str]]:
    """Named enumerations that event fields refer to."""
    return cast(dict[str, list[str]], table("events")["enums"])


def places() -> frozenset[str]:
    """Places that are not things."""
    return frozenset(table("events")["places"])


def blank_records() -> dict[str, Table]:
    """What a record of each collection looks like before its first event (F5.1)."""
    return cast(dict[str, Table], table("events")["records"])


def stages() -> dict[str, Table]:
    """Job stages, each with the stages that may follow it."""
    return cast(dict[str, Table], table("stages")["stages"])


def problems() -> dict[str, Table]:
    """Every slug: status, title, and what the person can do next."""
    return cast(dict[str, Table], table("problems")["problems"])
