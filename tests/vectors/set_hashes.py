"""Rewrites the `hash` of fold vectors and of the kept sequences after a change of events.json.

python -m tests.vectors.set_hashes   (with server/ on the path)

Only vectors whose `state` still holds are touched: the state is what a person worked out; the hash merely holds the two
languages together. A vector whose state no longer holds is named and left alone.
"""

import re
import sys

from tests.vectors.fold_runs import differences, entry_of, folded, hash_of
from tests.vectors.sequences import KEPT, kept_text
from tests.vectors.vector_files import vector_dir, vectors


def main() -> int:
    """Rewrite the hashes. Returns the exit status: 1 when a vector's state does not hold."""
    status = 0
    for vector in vectors("fold"):
        file = vector_dir() / "fold" / f"{vector['name'].replace(' ', '-')}.json"
        records = folded(entry_of(row) for row in vector["events"])
        wrong = differences(records, vector["state"])
        if wrong:
            print(file.name, *wrong, sep="\n  ")
            status = 1
            continue
        text = file.read_text(encoding="utf-8")
        now = re.sub(r'"hash": "[0-9a-f]{64}"\n\}', f'"hash": "{hash_of(records)}"\n}}', text)
        file.write_text(now, encoding="utf-8", newline="\n")
    KEPT.write_text(kept_text(), encoding="utf-8", newline="\n")
    return status


if __name__ == "__main__":
    sys.exit(main())
