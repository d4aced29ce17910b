"""`traymark verify`: lists every fault, or says that all is sound."""

import argparse

from sqlmodel import func, select

from traymark.cli.opening import open_store, settings_of
from traymark.cli.say import said_every
from traymark.log.rows import ArchiveRow, BlobRow, ChainRow, DocRow, EventRow, RecordRow
from traymark.log.store import Store
from traymark.log.verify import verify


def run(options: argparse.Namespace) -> int:
    """0 when sound, 1 when there is any fault."""
    settings = settings_of(options)
    with open_store(settings.data_dir, sole_writer=False) as store:
        since: int = options.since
        last = store.position()
        faults = verify(store, since, said_every(last))
        counts = _counts(store)
        erased, coming = _absent(store)
        position, state_hash = store.state()
    for fault in faults:
        print(f"{fault.where}: {fault.what}")
    if faults:
        print(f"\n{len(faults)} faults in {counts}. Keep this folder as it is and restore a copy, or ask for help.")
        return 1
    if since > 0:
        print(f"events after position {since} are sound; records were not compared, which takes the whole log")
        return 0
    print(f"all sound: {counts}\nposition {position}, state {state_hash}")
    if erased:
        print(f"{erased} cards, texts and photos were erased for good")
    if coming:
        print(f"{coming} texts and photos that events name have not come yet")
    return 0


_COMING = (
    "SELECT count(DISTINCT c.code) FROM event_code c WHERE length(c.code) = 64 "
    "AND NOT EXISTS (SELECT 1 FROM doc d WHERE d.id = c.code) "
    "AND NOT EXISTS (SELECT 1 FROM blob b WHERE b.sha256 = c.code)"
)


def _absent(store: Store) -> tuple[int, int]:
    """How much was erased, and how much that is named has not come yet: neither is a fault."""
    with store.database.read() as connection:
        erased = connection.exec_driver_sql("SELECT count(*) FROM doc WHERE body IS NULL").scalar_one()
        return erased, connection.exec_driver_sql(_COMING).scalar_one()


def _counts(store: Store) -> str:
    kinds = {
        "events": EventRow,
        "chains": ChainRow,
        "records": RecordRow,
        "records put away": ArchiveRow,
        "cards and documents": DocRow,
        "photos": BlobRow,
    }
    with store.database.read() as connection:
        found = {
            name: connection.execute(select(func.count()).select_from(row)).scalar_one() for name, row in kinds.items()
        }
    return ", ".join(f"{count} {name}" for name, count in found.items())
