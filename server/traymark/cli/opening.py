"""Opening a shop's folder for a command, with errors that a person can act on."""

import argparse
import os
from collections.abc import Generator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

from traymark.app import DATABASE
from traymark.cli.say import CliError
from traymark.config import Settings, SettingsError, read_settings
from traymark.log.database import StoreDamaged, StoreInUse
from traymark.log.form import FormUnknown
from traymark.log.store import Store

_ADDRESS_FILE = "address.txt"


def settings_of(options: argparse.Namespace) -> Settings:
    """The settings: options of the command first, then the environment."""
    try:
        settings = read_settings(os.environ)
    except SettingsError as error:
        raise CliError(str(error), 2) from error
    return replace(settings, data_dir=options.data) if options.data is not None else settings


@contextmanager
def open_store(data_dir: Path, *, sole_writer: bool) -> Generator[Store]:
    """The store of a folder that has one; only `serve` and `demo` make a shop."""
    path = find_database(data_dir)
    try:
        store = Store(path, sole_writer=sole_writer)
    except (StoreInUse, StoreDamaged, FormUnknown) as error:
        raise CliError(str(error)) from error
    try:
        yield store
    finally:
        store.close()


def find_database(data_dir: Path) -> Path:
    """The database of a folder. Raises CliError when there is none."""
    path = data_dir / DATABASE
    if not path.is_file():
        raise CliError(
            f"there is no shop in {data_dir}; name its folder with --data, or start one with `traymark serve`"
        )
    return path


def keep_address(data_dir: Path, base_url: str) -> None:
    """Write down the address at which the shop is served, for `traymark enrol`."""
    (data_dir / _ADDRESS_FILE).write_text(base_url + "\n", encoding="utf-8")


def kept_address(data_dir: Path) -> str | None:
    """The address at which the shop was last served, or None."""
    try:
        return (data_dir / _ADDRESS_FILE).read_text(encoding="utf-8").strip() or None
    except FileNotFoundError:
        return None
