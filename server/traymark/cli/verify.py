"""`traymark verify`: lists every fault, or says that all is sound."""

import argparse

from sqlmodel import func, select

from traymark.cli.opening import open_store, settings_of
from traymark.log.rows import BlobRow, ChainRow, DocRow, EventRow, RecordRow
from traymark.log.store import Store
from traymark.log.verify import verify


def run(options: argparse.Namespace) -> int:
    """0 when sound, 1 when there is any fault."""
    settings = settings_of(options)
    with open_store(settings.data_dir, sole_writer=False) as store:
        faults = verify(store)
        counts = _counts(store)
        position, state_hash = store.state()
    for fault in faults:
        print(f"{fault.where}: {fault.what}")
    if faults:
        print(f"\n{len(faults)} faults in {counts}. Keep this folder as it is and restore a copy, or ask for help.")
        return 1
    print(f"all sound: {counts}\nposition {position}, state {state_hash}")
    return 0


def _counts(store: Store) -> str:
    kinds = {
        "events": EventRow,
        "chains": ChainRow,
        "records": RecordRow,
        "cards and documents": DocRow,
        "photos": BlobRow,
    }
    with store.database.read() as connection:
        found = {
            name: connection.execute(select(func.count()).select_from(row)).scalar_one() for name, row in kinds.items()
        }
    return ", ".join(f"{count} {name}" for name, count in found.items())
