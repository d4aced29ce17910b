"""Python names texts as the vectors do, whose ids were made by another program."""

from typing import Any

import pytest

from tests.vectors.vector_files import vectors
from traymark.events.texts import Text, is_named_by

(VECTOR,) = vectors("text")


@pytest.mark.parametrize("row", VECTOR["rows"], ids=str)
def test_a_text_is_named_by_its_salted_hash(row: dict[str, Any]) -> None:
    assert Text(row["of"], row["salt"], row["text"]).id == row["id"]
    assert is_named_by(row["id"], {name: row[name] for name in ("of", "salt", "text")})
    for name in ("of", "salt", "text"):
        assert not is_named_by(row["id"], row | {name: "0" + row[name][1:] + "X"})
