"""`traymark rebuild`: the derived tables from the log alone, with the state hash before and after."""

import argparse

from traymark.cli.opening import open_store, settings_of
from traymark.cli.say import said_every
from traymark.log.rebuild import rebuild


def run(options: argparse.Namespace) -> int:
    """0 when the state came out as it was, 1 when it did not (the rebuilt one is kept)."""
    settings = settings_of(options)
    with open_store(settings.data_dir, sole_writer=True) as store:
        _, before = store.state()
        events = rebuild(store, said_every(store.position()))
        _, after = store.state()
    print(f"read {events} events again; rebuilt records, trace and chain ends")
    if before == after:
        print(f"state before and after: {after}")
        return 0
    print(f"state before: {before}\nstate after:  {after}")
    print("The stored state was not what the log says. It is now.")
    return 1
