"""Procedure files: a procedure with its photos, on its way from shop to shop (F9)."""

import base64
import hashlib
import json
from functools import cache
from typing import Any, cast

from traymark.rules.form import form_faults
from traymark.rules.procedure_check import Fault, check_procedure
from traymark.tables import shared_dir


def check_procedure_file(document: object) -> list[Fault]:
    """All faults of a procedure file, or of a bare procedure (F9.2); none when it is sound."""
    file = cast(dict[str, Any], document) if isinstance(document, dict) else {}
    if "traymark" not in file:
        return check_procedure(cast(object, document))
    wrapping = [str(fault) for fault in form_faults(file, _schema())]
    altered = (
        []
        if wrapping
        else [
            f"/photos/{place}/base64 has another SHA-256"
            for place, photo in enumerate(file["photos"])
            if _sha256(photo["base64"]) != photo["sha256"]
        ]
    )
    formless = [Fault("not-in-form", None, detail) for detail in (*wrapping, *altered)]
    return formless or check_procedure(file["procedure"])


def _sha256(text: str) -> str | None:
    """The hash of base64 bytes; None when it is not base64."""
    try:
        return hashlib.sha256(base64.b64decode(text, validate=True)).hexdigest()
    except ValueError:
        return None


@cache
def _schema() -> dict[str, Any]:
    return json.loads((shared_dir() / "schema" / "procedure_file.schema.json").read_text(encoding="utf-8"))
