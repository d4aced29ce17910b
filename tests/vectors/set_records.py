"""Rewrites the sheets of the record vectors after a word or a heading was changed on purpose. Read the diff.

Run with `python -m tests.vectors.set_records` from the top of the repository.
"""

import json
from typing import Any

from tests.vectors.record_runs import FORMS, sheet_of
from tests.vectors.vector_files import vector_dir

_WIDE = 132


def main() -> None:
    for path in sorted((vector_dir() / "record").glob("*.json")):
        vector = json.loads(path.read_text(encoding="utf-8"))
        vector |= {form: sheet_of(vector, form) for form in FORMS if form in vector}
        path.write_text(f"{written(vector)}\n", encoding="utf-8")


def written(value: Any, before: str = "") -> str:  # JSON
    """JSON with everything that fits on one line."""
    short = json.dumps(value, ensure_ascii=False)
    if len(before) + len(short) <= _WIDE or not isinstance(value, dict | list):
        return short
    inside = f"{before} "
    if isinstance(value, dict):
        lines = [f"{inside}{json.dumps(name)}: {written(inner, inside)}" for name, inner in value.items()]
        return "{\n" + ",\n".join(lines) + f"\n{before}}}"
    return "[\n" + ",\n".join(inside + written(inner, inside) for inner in value) + f"\n{before}]"


if __name__ == "__main__":
    main()
