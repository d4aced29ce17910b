"""Both languages judge and fold random logs alike.

TRAYMARK_SEED sets the first seed; each log has the seed in its test's name on the TypeScript side.
"""

import json
import os
from pathlib import Path

from tests.node import run_script
from tests.vectors.fold_runs import folded, hash_of
from tests.vectors.sequences import CHAINS, KEPT, judged, kept_text, sequence
from traymark.events.envelope import Rejected, parse
from traymark.fold.fold import Entry

LOGS = 150
FIRST_SEED = int(os.environ.get("TRAYMARK_SEED", "1000"))


def test_kept_logs_are_judged_and_folded_as_they_were() -> None:
    assert KEPT.read_text(encoding="utf-8") == kept_text(), "python -m tests.vectors.set_hashes"


def test_typescript_judges_and_folds_made_up_logs_as_python_does(tmp_path: Path, repository: Path) -> None:
    file = tmp_path / "sequences.ndjson"
    logs = [judged(seed, sequence(seed)) for seed in range(FIRST_SEED, FIRST_SEED + LOGS)]
    file.write_text("".join(json.dumps(log) + "\n" for log in logs), encoding="utf-8")
    said = run_script(repository / "pwa", "test", "tests/vectors/sequences", TRAYMARK_SEQUENCES=str(file))
    assert f"{3 * LOGS} passed" in said, said


def test_random_logs_meet_every_fault_and_leave_something_in_every_collection() -> None:
    logs = [sequence(seed) for seed in range(20)]
    events = [parse(line.text.encode()) for log in logs for line in log]
    faults = {"event-not-json", "event-too-large", "envelope-field", "unknown-field", "missing-field", "bad-field"}
    assert {event.slug for event in events if isinstance(event, Rejected)} == faults
    # Each log by itself: they use the same chains, so that folding one after another would only repeat seqs (F5.2).
    records = [
        key
        for log in logs
        for key in folded(Entry(line.incarnation, line.seq, parse(line.text.encode())) for line in log)
    ]
    assert {collection for collection, _ in records} == {"job", "thing", "box", "staff", "chain", "station"}
    assert {key for collection, key in records if collection == "chain"} == set(CHAINS)


def test_a_random_log_folds_the_same_at_once_and_entry_by_entry() -> None:
    for seed in range(FIRST_SEED, FIRST_SEED + 10):
        entries = [Entry(line.incarnation, line.seq, parse(line.text.encode())) for line in sequence(seed)]
        records = folded([])
        for entry in entries:
            records = folded([entry], records)
        assert hash_of(records) == hash_of(folded(entries)), f"seed {seed}"
