"""What is put away leaves the live state, and nothing that comes late about it is lost (F5.11 to F5.13)."""

from itertools import pairwise
from random import Random

import pytest

from tests.vectors.fold_runs import Records, folded, hash_of
from tests.vectors.sequences import Line, sequence
from traymark.events.envelope import Event, parse
from traymark.fold.away import Ranges, counter_of, holds, prefix_of, with_counter
from traymark.fold.changes import Changes, Record
from traymark.fold.fold import Entry, apply
from traymark_labels.codes import mint

LENGTH = 150
PUTTING_AWAY = ("job.put_away", "box.put_away", "part.put_away")
Both = tuple[Records, Records]
"""Live records and those of the archive."""


def entries_of(seed: int) -> list[Entry]:
    return [_entry(line) for line in sequence(seed, LENGTH)]


def _entry(line: Line) -> Entry:
    return Entry(line.incarnation, line.seq, parse(line.text.encode()))


def in_batches(entries: list[Entry], dice: Random) -> Both:
    """Live state and archive as the server makes them, batch by batch."""
    live: Records = {}
    archive: Records = {}

    def read_live(collection: str, key: str) -> Record | None:
        return live.get((collection, key))

    def read_archive(collection: str, key: str) -> Record | None:
        return archive.get((collection, key))

    while entries:
        size = dice.randint(1, 12)
        changes = Changes(read_live, read_archive)
        for entry in entries[:size]:
            apply(changes, entry)
        entries = entries[size:]
        live |= changes.dirty
        archive |= changes.archived
        for place in changes.archived:
            live.pop(place, None)
    return live, archive


def is_putting_away(entry: Entry) -> bool:
    return isinstance(entry.event, Event) and entry.event.kind in PUTTING_AWAY


def without_findings(records: Records) -> Records:
    """Rules that look from a live record at another do not see what is put away (F5.12)."""
    return {place: {**record, "findings": None} for place, record in records.items() if place[0] != "chain"}


@pytest.mark.parametrize("seed", range(60))
def test_live_state_and_archive_are_together_the_fold_of_the_whole_log(seed: int) -> None:
    entries = entries_of(seed)
    live, archive = in_batches(entries, Random(seed))
    # A station that never held the archive has the same live state.
    assert hash_of(folded(entries)) == hash_of(live)
    whole = folded([Entry(e.incarnation, e.seq, _unknown(e)) if is_putting_away(e) else e for e in entries])
    assert live.keys().isdisjoint(archive.keys())
    together = without_findings(live | archive)
    assert together == {place: record for place, record in without_findings(whole).items() if place in together}
    assert together.keys() == without_findings(whole).keys()
    for place, record in archive.items():
        assert record == whole[place]


def _unknown(entry: Entry) -> Event:
    """The entry's event as one that has no effect."""
    assert isinstance(entry.event, Event)
    text = (
        f'{{"v":2,"kind":"drone.dispatched","station":"{entry.event.station}","incarnation":"{entry.incarnation}",'
        f'"seq":{entry.event.seq},"staff":null,"at_ms":0,"job":null,"body":{{}}}}'
    )
    event = parse(text.encode())
    assert isinstance(event, Event)
    return event


def test_the_random_logs_put_something_away_and_have_late_entries() -> None:
    archived, late = 0, 0
    for seed in range(60):
        live, archive = in_batches(entries_of(seed), Random(seed))
        archived += len(archive)
        late += sum(len(record["late"]) for (collection, _), record in live.items() if collection == "chain")
    assert archived > 60 and late > 60


@pytest.mark.parametrize("seed", range(20))
def test_ranges_hold_what_was_put_in_and_are_as_few_as_can_be(seed: int) -> None:
    dice = Random(seed)
    ranges: Ranges = []
    put: set[int] = set()
    for _ in range(200):
        counter = dice.randint(0, 120)
        put.add(counter)
        before = [list(one) for one in ranges]
        after = with_counter(ranges, counter, lambda _: False)
        assert ranges == before, "the earlier ranges stay as they were"
        ranges = after
        assert [n for n in range(-1, 125) if holds(ranges, n)] == sorted(put)
        assert ranges == sorted(ranges)
        assert all(one[1] + 1 < next_[0] for one, next_ in pairwise(ranges))


@pytest.mark.parametrize("counter", [0, 1, 31, 32, 4711, 32**5 - 2])
def test_a_code_tells_its_prefix_and_counter(counter: int) -> None:
    minted = mint("J", "7K2", counter)
    assert (prefix_of(minted.code), counter_of(minted.code)) == ("7K2", minted.counter)
