"""`traymark` commands as processes of their own, each forked from one that has loaded the product's modules already.

Loading them takes longer than most commands do. tests/server/test_cli.py starts commands the way a person does.
"""

import multiprocessing
import os
import sys
from collections.abc import Sequence
from multiprocessing.process import BaseProcess
from pathlib import Path
from typing import NamedTuple

_LOADED = ["traymark.cli.arguments", "traymark.cli.demo", "traymark.cli.serve"]

_context = multiprocessing.get_context("forkserver")
_context.set_forkserver_preload(_LOADED)


class Command(NamedTuple):
    """What to run, where, and the files to which what it prints is added; they may be the same."""

    arguments: Sequence[str]
    environment: dict[str, str]
    folder: Path
    said: Path
    warned: Path


def start(command: Command, *, loads_anew: bool = False) -> BaseProcess:
    """Run a command. `loads_anew`: with the modules that its environment names, and not those that are loaded."""
    process = _context.Process(target=_load if loads_anew else _run, args=(command,), daemon=True)
    process.start()
    return process


def _run(command: Command) -> None:
    from traymark.__main__ import main

    os.environ.clear()
    os.environ.update(command.environment)
    _take_place(command)
    for printed in (sys.stdout, sys.stderr):
        printed.reconfigure(line_buffering=True)  # pyright: ignore[reportAttributeAccessIssue]  # a text file, not a test's stand-in
    sys.exit(main([*command.arguments]))


def _load(command: Command) -> None:
    _take_place(command)
    os.execve(sys.executable, [sys.executable, "-m", "traymark", *command.arguments], command.environment)  # noqa: S606  # this Python


def _take_place(command: Command) -> None:
    os.chdir(command.folder)
    for path, number in ((command.said, 1), (command.warned, 2)):
        with path.open("ab") as file:
            os.dup2(file.fileno(), number)
