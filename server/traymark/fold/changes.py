"""Changes to a state: records are copied when first touched, so that what was read stays as it was."""

from collections.abc import Callable
from typing import Any, cast

from traymark.fold.away import PUT_AWAY, TRAY, codes_of, counter_of, holds, prefix_of, with_counter
from traymark.tables import blank_records

Record = dict[str, Any]
Place = tuple[str, str]
"""A record's collection and key."""
Read = Callable[[str, str], Record | None]


def nothing(_collection: str, _key: str) -> None:
    """There was no record before: changes begin with nothing."""
    return


class Changes:
    """Records being changed: `dirty` holds the live ones that were touched, `archived` those of the archive.

    `read` gives a live record as it was before, `read_archive` one of the archive (F5.13).
    """

    def __init__(self, read: Read = nothing, read_archive: Read = nothing) -> None:
        self.read = read
        self.read_archive = read_archive
        self.dirty: dict[Place, Record] = {}
        self.archived: dict[Place, Record] = {}

    def record(self, collection: str, key: str) -> Record:
        """The live record to change; a blank one when there was none (F5.1)."""
        held = self.dirty.get((collection, key))
        if held is None:
            held = self.dirty[(collection, key)] = self.taken(collection, key)
        return held

    def look(self, collection: str, key: str) -> Record | None:
        """The live record to read only; None when there is none."""
        place = (collection, key)
        held = self.dirty.get(place)
        return held if held is not None or place in self.archived else self.read(collection, key)

    def is_away(self, collection: str, key: str) -> bool:
        """Whether there is no live record because it was put away (F5.11)."""
        if collection not in PUT_AWAY or key.startswith(TRAY):
            return False
        chain = self.look("chain", prefix_of(key))
        is_marked = chain is not None and holds(chain["away"], counter_of(key))
        return is_marked and self.look(collection, key) is None

    def put_away(self, code: str) -> None:
        """Move the live records of a code to the archive, and leave the mark (F5.11)."""
        places = [(collection, code) for collection in PUT_AWAY if self.look(collection, code) is not None]
        for place in places:
            self.record(*place)
            self.archived[place] = self.dirty.pop(place)
        if places:
            prefix = prefix_of(code)
            chain = self.record("chain", prefix)
            chain["away"] = with_counter(chain["away"], counter_of(code), lambda one: self._is_bare(prefix, one))

    def _is_bare(self, prefix: str, counter: int) -> bool:
        """Whether there is no live record under any code of a counter."""
        codes = codes_of(prefix, counter)
        return all(self.look(collection, code) is None for code in codes for collection in PUT_AWAY)

    def taken(self, collection: str, key: str) -> Record:
        """A live record as it was before, for these changes to change; a blank one when there was none."""
        found = self.read(collection, key)
        return deepcopy_plain(blank_records()[collection] if found is None else found)


class Archive(Changes):
    """The archive, for effects on what is put away; rules look from it at everything (F5.13)."""

    def __init__(self, live: Changes) -> None:
        super().__init__(live.read_archive)
        self.dirty = live.archived
        self._live = live

    def look(self, collection: str, key: str) -> Record | None:
        """The record to read only, live or put away."""
        held = self._live.look(collection, key) or self.dirty.get((collection, key))
        return held if held is not None else self.read(collection, key)


def deepcopy_plain(value: Any) -> Any:
    """A copy of nested dicts and lists; everything else in a record never changes."""
    if type(value) is dict:
        members = cast(dict[str, Any], value)
        return {k: deepcopy_plain(v) if type(v) in (dict, list) else v for k, v in members.items()}
    if type(value) is list:
        items = cast(list[Any], value)
        return [deepcopy_plain(v) if type(v) in (dict, list) else v for v in items]
    return value
