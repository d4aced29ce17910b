"""Reading the files of shared/vectors/: each must fit its schema, and a folder must not be empty."""

import json
from functools import cache
from pathlib import Path
from typing import Any

from jsonschema import Draft202012Validator

from traymark.tables import shared_dir

Vector = dict[str, Any]


def vectors(folder: str) -> list[Vector]:
    """All vectors of a folder by file name. Raises when one does not fit the schema or there is none."""
    files = sorted((vector_dir() / folder).glob("*.json"))
    if not files:
        raise LookupError(f"no vectors in {folder}")
    return [_read(file, folder) for file in files]


def vector_dir() -> Path:
    """shared/vectors/ of the repository."""
    return shared_dir() / "vectors"


def whole(parts: list[Any]) -> bytes:
    """The bytes that a list of parts describes: text, {hex}, or {repeat, times}."""
    out = b""
    for part in parts:
        if isinstance(part, str):
            out += part.encode()
        elif "hex" in part:
            out += bytes.fromhex(part["hex"])
        else:
            out += part["repeat"].encode() * part["times"]
    return out


def _read(file: Path, folder: str) -> Vector:
    vector: Vector = json.loads(file.read_text(encoding="utf-8"))
    _schema(folder).validate(vector)
    if vector["name"].replace(" ", "-") != file.stem:
        raise ValueError(f"{file.name} is named {vector['name']!r}")
    return vector


@cache
def _schema(folder: str) -> Draft202012Validator:
    schema = json.loads((shared_dir() / "schema/vector.schema.json").read_text(encoding="utf-8"))
    return Draft202012Validator({"$ref": f"#/$defs/{folder}", "$defs": schema["$defs"]})
