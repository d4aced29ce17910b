"""The commands and their options."""

import argparse
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

from traymark import __version__
from traymark.cli import backup, demo, enrol, label, procedure, rebuild, serve, upgrade, verify
from traymark.stations.invites import ROLES


class Asked(NamedTuple):
    """A command with its options."""

    run: Callable[[argparse.Namespace], int]
    options: argparse.Namespace


def read_arguments(arguments: list[str]) -> Asked:
    """The command given. Exits with 2 on wrong usage, with 0 after --help and --version."""
    options = _parser().parse_args(arguments)
    return Asked(options.run, options)


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="traymark", description="The bench record of a repair shop.")
    parser.add_argument("--version", action="version", version=f"traymark {__version__}")
    commands = parser.add_subparsers(metavar="COMMAND", required=True)

    command = commands.add_parser("demo", help="look at an invented shop in the middle of its day")
    command.add_argument(
        "--data", type=Path, default=Path("traymark-demo"), help="its folder (default: ./traymark-demo)"
    )
    command.add_argument("--port", type=_port, default=demo.PORT, help=f"port on this machine (default: {demo.PORT})")
    command.add_argument("--fresh", action="store_true", help="start over: the folder of an earlier demo is emptied")
    command.set_defaults(run=demo.run)

    command = commands.add_parser("serve", help="serve the shop on its network")
    _data(command)
    command.add_argument(
        "--host", help="address to listen on (default: all, with HTTPS; a loopback address goes without)"
    )
    command.add_argument("--port", type=_port, help="port to listen on (default: 8443)")
    command.add_argument(
        "--host-name", action="append", default=[], help="a further name of this machine; may be repeated"
    )
    command.add_argument(
        "--certificate", type=Path, help="the shop's own certificate chain (PEM) in place of a local one"
    )
    command.add_argument("--key", type=Path, help="the key of that certificate (PEM)")
    command.add_argument(
        "--new-authority", action="store_true", help="make a new local authority; every phone has to trust it again"
    )
    command.set_defaults(run=serve.run)

    command = commands.add_parser("enrol", help="print a join code for another phone or PC")
    _data(command)
    command.add_argument("--name", default="", help="what the station is to be called")
    command.add_argument("--role", choices=ROLES, default="bench", help="what it is for (default: bench)")
    command.set_defaults(run=enrol.run)

    command = commands.add_parser("verify", help="check everything that is stored")
    _data(command)
    command.add_argument("--since", type=_position, default=0, help="check only the events after this position")
    command.set_defaults(run=verify.run)

    command = commands.add_parser("rebuild", help="make everything derived again from the log")
    _data(command)
    command.set_defaults(run=rebuild.run)

    command = commands.add_parser("backup", help="write the shop into one file, while the server runs")
    _data(command)
    command.add_argument("file", type=Path, metavar="FILE", help="a new file; only its owner can read it")
    command.set_defaults(run=backup.run_backup)

    command = commands.add_parser("restore", help="make a folder a shop again, from a backup")
    _data(command)
    command.add_argument("file", type=Path, metavar="FILE", help="what `traymark backup` wrote")
    command.add_argument("--replace", action="store_true", help="move the shop in the folder aside")
    command.set_defaults(run=backup.run_restore)

    command = commands.add_parser("upgrade", help="make a shop ready for this version, after a backup")
    _data(command)
    command.add_argument(
        "--backup", type=Path, metavar="FILE", help="a new file for the backup (default: beside the folder)"
    )
    command.add_argument(
        "--no-backup", action="store_true", help="make none: only for a folder that was copied by other means"
    )
    command.set_defaults(run=upgrade.run)

    command = commands.add_parser("label", help="draw one label into a file")
    label.add_options(command)
    command.set_defaults(run=label.run)

    command = commands.add_parser("procedure", help="check procedure files before the shop works by them")
    procedure.add_options(command)
    command.set_defaults(run=procedure.run)
    return parser


def _data(command: argparse.ArgumentParser) -> None:
    command.add_argument("--data", type=Path, help="folder of the shop (default: ./traymark-data)")


def _port(text: str) -> int:
    port = int(text) if text.isascii() and text.isdigit() else 0
    if not 1 <= port <= 65_535:
        raise argparse.ArgumentTypeError("a port is a number from 1 to 65535")
    return port


def _position(text: str) -> int:
    if not (text.isascii() and text.isdigit()):
        raise argparse.ArgumentTypeError("a position is a whole number")
    return int(text)
