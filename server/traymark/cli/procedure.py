"""`traymark procedure check`: whether procedure files are sound, with every fault in plain words."""

import argparse
import json
from collections import Counter
from pathlib import Path
from typing import Any

from traymark.cli.say import CliError
from traymark.rules.procedure_check import Fault
from traymark.rules.procedure_file import check_procedure_file
from traymark.tables import table


def add_options(command: argparse.ArgumentParser) -> None:
    """The verb and the files."""
    command.add_argument("action", choices=("check",), help="look for faults; ends with 1 when there is one")
    command.add_argument("files", nargs="+", type=Path, metavar="FILE", help="a procedure file, or a procedure as JSON")


def run(options: argparse.Namespace) -> int:
    """0 when all files are sound, 1 when one has a fault, 2 when one cannot be read."""
    files: list[Path] = options.files
    found = [(file, check_procedure_file(_read(file))) for file in files]
    for file, faults in found:
        print(f"{file}: {_count(faults)}")
        for fault in faults:
            print("\n".join(_lines(fault)))
    return 1 if any(faults for _, faults in found) else 0


def _read(file: Path) -> object:
    try:
        text = file.read_text(encoding="utf-8")
        return json.loads(text, object_pairs_hook=_without_repeated_names, parse_constant=_no_constant)
    except OSError as error:
        raise CliError(f"{file} cannot be read: {error.strerror}", 2) from error
    except ValueError as error:
        raise CliError(f"{file} is not JSON: {error}", 2) from error
    except RecursionError as error:
        raise CliError(f"{file} is nested too deep to be a procedure", 2) from error


def _no_constant(name: str) -> None:
    raise ValueError(f"{name} is no number")


def _without_repeated_names(members: list[tuple[str, Any]]) -> dict[str, Any]:
    whole = dict(members)
    if len(whole) < len(members):
        [(name, _)] = Counter(name for name, _ in members).most_common(1)
        raise ValueError(f"{_printable(name)} appears twice in one object")
    return whole


def _count(faults: list[Fault]) -> str:
    return "sound" if not faults else f"{len(faults)} fault{'s' if len(faults) > 1 else ''}"


def _lines(fault: Fault) -> list[str]:
    text = table("procedure_faults")["faults"][fault.slug]
    where = f"step {fault.step}" if fault.step else "the procedure"
    detail = f" ({_printable(fault.detail)})" if fault.detail else ""
    return [f"  {where}: {text['title']}{detail} [{fault.slug}]", f"    {text['next']}"]


def _printable(text: str) -> str:
    """A name in somebody else's file must not control the terminal."""
    return "".join(letter if letter.isprintable() else "?" for letter in text)
