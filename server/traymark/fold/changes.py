"""Changes to a state: records are copied when first touched, so that what was read stays as it was."""

from collections.abc import Callable
from typing import Any, cast

from traymark.tables import blank_records

Record = dict[str, Any]
Read = Callable[[str, str], Record | None]


class Changes:
    """Records being changed. `dirty` holds what was touched, by (collection, key)."""

    def __init__(self, read: Read) -> None:
        self._read = read
        self.dirty: dict[tuple[str, str], Record] = {}

    def record(self, collection: str, key: str) -> Record:
        """The record to change; a blank one when there was none (F5.1)."""
        held = self.dirty.get((collection, key))
        if held is None:
            found = self._read(collection, key)
            held = deepcopy_plain(blank_records()[collection] if found is None else found)
            self.dirty[(collection, key)] = held
        return held

    def look(self, collection: str, key: str) -> Record | None:
        """The record to read only; None when no event has named it."""
        held = self.dirty.get((collection, key))
        return held if held is not None else self._read(collection, key)


def deepcopy_plain(value: Any) -> Any:
    """A copy of nested dicts and lists; everything else in a record never changes."""
    if type(value) is dict:
        members = cast(dict[str, Any], value)
        return {k: deepcopy_plain(v) if type(v) in (dict, list) else v for k, v in members.items()}
    if type(value) is list:
        items = cast(list[Any], value)
        return [deepcopy_plain(v) if type(v) in (dict, list) else v for v in items]
    return value
