"""`traymark backup` and `traymark restore`: the shop in one file, and from it."""

import argparse
from datetime import UTC, datetime

from traymark.backup.form import BackupFailed, Header
from traymark.backup.make import make_backup
from traymark.backup.restore import restore
from traymark.cli.opening import open_store, settings_of
from traymark.cli.say import CliError
from traymark.clock import system_clock_ms


def run_backup(options: argparse.Namespace) -> int:
    """Write a file while the server runs, and read it back."""
    settings = settings_of(options)
    with open_store(settings.data_dir, sole_writer=False) as store:
        try:
            header = make_backup(store, options.file, system_clock_ms())
        except BackupFailed as error:
            raise CliError(f"{error}. No backup was made.") from error
    print(f"{options.file}: {_reach(header)}. It was read back and is sound.")
    print("Whoever has this file has the shop's data and the key of its certificate: keep it like both.")
    return 0


def run_restore(options: argparse.Namespace) -> int:
    """Make a folder a shop again. The server must not run."""
    settings = settings_of(options)
    try:
        done = restore(options.file, settings.data_dir, system_clock_ms(), replace=options.replace)
    except BackupFailed as error:
        raise CliError(str(error)) from error
    print(f"{settings.data_dir}: restored as of {_moment(done.header.at_ms)}, {_reach(done.header)}.")
    if done.erased_again is None:
        print("What had been erased since could not be read from the shop that was there: erase it again by hand.")
    elif done.erased_again:
        print(f"Erased again, because they had been since: {done.erased_again} cards or documents.")
    if done.before is not None:
        print(f"What was in the folder is now {done.before}; delete it once the shop works.")
    print("Start the server. Stations bring what it lacks as soon as they reach it: leave them on.")
    return 0


def _reach(header: Header) -> str:
    return f"{header.position} events, {header.photos} photos"


def _moment(at_ms: int) -> str:
    return datetime.fromtimestamp(at_ms / 1000, UTC).strftime("%Y-%m-%d %H:%M UTC")
