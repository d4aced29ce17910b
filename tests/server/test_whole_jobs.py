"""The jobs that benchmarks send are sound, known and finished: numbers over anything else would mean nothing."""

from tests.bench.whole_jobs import Station, write_half_jobs, write_jobs
from tests.server.shop_events import Writer
from traymark.events.envelope import Event, parse
from traymark.fold.changes import Record
from traymark.fold.fold import Entry, fold

FEW = 4


def test_whole_jobs_are_handed_over_and_break_no_rule() -> None:
    station = Station(Writer("S7K0", "7K0"))
    written = write_jobs(station, FEW)
    jobs = jobs_of(station)
    assert set(jobs) == {job.code for job in written}
    assert {job["stage"] for job in jobs.values()} == {"handed_over"}
    assert [job["findings"] for job in jobs.values()] == [[]] * FEW
    assert len(station.writer.lines) > 150 * FEW


def test_half_jobs_wait_at_the_bench_each_with_its_tray() -> None:
    station = Station(Writer("S7K0", "7K0"))
    written = write_half_jobs(station, FEW, "W001", "cables")
    assert {job["stage"] for job in jobs_of(station).values()} == {"bench"}
    assert len({job.tray for job in written}) == FEW


def jobs_of(station: Station) -> dict[str, Record]:
    events = [parse(line) for line in station.writer.lines]
    assert all(isinstance(event, Event) and event.known for event in events)
    state = fold(Entry(station.incarnation, seq, event) for seq, event in enumerate(events, 1))
    return {key: record for (collection, key), record in state.items() if collection == "job"}
