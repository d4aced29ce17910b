"""`traymark upgrade`: a shop of an older version, backed up, made ready for this one, and checked."""

import argparse
from contextlib import closing
from pathlib import Path

from traymark.backup.form import BackupFailed
from traymark.backup.make import back_up_any_form
from traymark.cli.opening import find_database, settings_of
from traymark.cli.say import CliError, said_every
from traymark.clock import system_clock_ms, utc_name
from traymark.log.database import Database, StoreDamaged, StoreInUse, lock_folder
from traymark.log.form import FORM, FormNewer, FormUnknown
from traymark.log.migrate import MigrationFailed
from traymark.log.store import Store
from traymark.log.upgrade import upgrade
from traymark.log.verify import verify


def run(options: argparse.Namespace) -> int:
    """0 when the shop is ready for this version, 1 when it is not or is not sound. The server must not run."""
    path = find_database(settings_of(options).data_dir)
    try:
        lock = lock_folder(path)
        try:
            return _upgrade(path, None if options.no_backup else options.backup or _beside(path.parent))
        finally:
            lock.release()
    except (StoreInUse, StoreDamaged, FormUnknown) as error:
        raise CliError(str(error)) from error
    except MigrationFailed as error:
        raise CliError(f"{error}. The shop is as it was: go on with the version that you had") from error


def _upgrade(path: Path, backup: Path | None) -> int:
    with closing(Database(path, sole_writer=False, any_form=True)) as database:
        held = database.form()
        if held > FORM:
            raise FormNewer(held)
        if held < FORM and backup is not None:
            _back_up(database, path.parent, backup)
    done = upgrade(path)
    if done.form_before == FORM and done.folded is None:
        print(f"{path.parent}: nothing to do. Its database has form {FORM}, which this version uses.")
        return 0
    if done.form_before < FORM:
        print(f"{path.parent}: its database had form {done.form_before} and has form {FORM} now.")
    if done.folded is not None:
        print(f"Records and indexes were made again from {done.folded} events.")
    return _checked(path)


def _back_up(database: Database, data_dir: Path, file: Path) -> None:
    try:
        header = back_up_any_form(database, data_dir, file, system_clock_ms())
    except BackupFailed as error:
        raise CliError(
            f"{error}. Without a backup nothing was upgraded. If you have copied the folder by other means, "
            "say --no-backup"
        ) from error
    print(f"{file}: the shop as it was, {header.position} events, {header.photos} photos.")
    print("It was read back, and is sound in the new form too.")
    print("`traymark restore` takes it, with this version or the one before. Keep it as safe as the shop's folder.")


def _checked(path: Path) -> int:
    with closing(Store(path, sole_writer=False)) as store:
        last = store.position()
        faults = verify(store, progress=said_every(last))
    for fault in faults:
        print(f"{fault.where}: {fault.what}")
    if faults:
        print(f"\n{len(faults)} faults. Keep this folder as it is and restore the backup, or ask for help.")
        return 1
    print(f"All sound: {last} events. Start the server.")
    return 0


def _beside(data_dir: Path) -> Path:
    """A file beside the shop's folder, named by the time."""
    folder = data_dir.resolve()
    return folder.with_name(f"{folder.name}.before-{utc_name(system_clock_ms())}.backup")
