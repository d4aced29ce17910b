"""Run the benchmarks that take no longer than a few minutes together, and write their ratios into README.md.

    python tests/bench/run.py            # all, then README's table
    python tests/bench/run.py scan push  # some, and nothing is written

Each ends with one line of JSON, {"bench": NAME, "ratios": {...}}. Ratios compare two ways on one machine in one run, in
turns; times by themselves say more of the machine than of us, and are asserted nowhere.
"""

import json
import re
import subprocess
import sys
import time
from pathlib import Path

HERE = Path(__file__).resolve().parent
README = HERE.parents[1] / "README.md"
# A new one is added here: its name after bench_, and what it is run with.
BENCHES: dict[str, list[str]] = {
    "push": [],
    "scan": [],
    "scan_to_step": [],
    "labels": [],
    "colour": ["20"],
}
BEGIN, END = "<!-- benchmarks: written by tests/bench/run.py -->", "<!-- end of benchmarks -->"


def main() -> None:
    names = sys.argv[1:] or list(BENCHES)
    unknown = set(names) - set(BENCHES)
    if unknown:
        sys.exit(f"no such benchmark: {', '.join(sorted(unknown))}; there are {', '.join(BENCHES)}")
    found = {name: ratios_of(name) for name in names}
    if len(found) == len(BENCHES):
        README.write_text(with_table(README.read_text(encoding="utf-8"), found), encoding="utf-8")


def ratios_of(name: str) -> dict[str, float]:
    """Run one; what it prints is shown as it comes."""
    started = time.monotonic()
    print(f"{name} ...", flush=True)
    command = [sys.executable, str(HERE / f"bench_{name}.py"), *BENCHES[name]]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        last = ""
        for line in process.stdout:
            print(line, end="", flush=True)
            last = line
    if process.returncode != 0:
        sys.exit(f"bench_{name}.py ended with {process.returncode}")
    print(f"  ({time.monotonic() - started:.0f} s)", flush=True)
    said = json.loads(last)
    assert said["bench"] == name, said
    return said["ratios"]


def with_table(text: str, found: dict[str, dict[str, float]]) -> str:
    rows = [f"| {name} | {what} | {ratio} |" for name, ratios in found.items() for what, ratio in ratios.items()]
    table = "\n".join(["| benchmark | ratio | |", "|---|---|---|", *rows])
    block = f"{BEGIN}\n{table}\n{END}"
    written, count = re.subn(f"{re.escape(BEGIN)}.*{re.escape(END)}", lambda _: block, text, flags=re.DOTALL)
    if count != 1:
        sys.exit(f"README.md has no place for the table: {BEGIN} and {END}")
    return written


if __name__ == "__main__":
    main()
