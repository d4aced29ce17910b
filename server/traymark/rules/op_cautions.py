"""Cautions that follow from what a step does, so that no author has to write them at every connector."""

from typing import Any

from traymark.tables import table


def with_op_cautions(cautions: list[str], ops: list[dict[str, Any]]) -> list[str]:
    """The written cautions, then those that follow from its operations, without repeats."""
    does = {op["op"] for op in ops}
    brought = [row["caution"] for row in table("procedure_cautions")["rows"] if does & set(row["ops"])]
    return [*cautions, *(id_ for id_ in brought if id_ not in cautions)]
