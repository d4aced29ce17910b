"""The beginning of photos that are still on their way (F8.6): `parts/<station>.<sha256>`.

Not made durable and never believed: a whole photo is checked against its hash like any other, and a beginning that was
lost is sent again. A station has few beginnings at a time, and one that nobody goes on with is dropped.
"""

import os
from pathlib import Path
from threading import Lock

from traymark.blobs.files import is_blob_name
from traymark.refused import Refused

PART_BYTES = 262_144
"""The largest piece that is taken at once."""

KEPT_FOR_MS = 24 * 3_600_000

# A station sends one photo after another; a few more are of photos that the server refused in between.
_MOST_OF_STATION = 4


class BlobParts:
    """The folder of beginnings. Safe to use from several threads."""

    def __init__(self, data_dir: Path) -> None:
        self._folder = data_dir / "parts"
        self._lock = Lock()

    def held(self, station: str, sha256: str, now_ms: int) -> int:
        """How many bytes of this photo this station has sent."""
        with self._lock:
            self._drop_old(now_ms)
            return _size(self._place(station, sha256))

    def add(
        self, station: str, sha256: str, offset: int, piece: bytes, whole: int, now_ms: int
    ) -> bytes | int | Refused:
        """Write a piece that begins at `offset`. The whole photo once `whole` bytes are there, else how many are.

        `part-offset` when another number of bytes is held. The caller drops the beginning of a photo it has kept; when
        a crash comes between, an empty piece at the end gives the whole photo again.
        """
        place = self._place(station, sha256)
        with self._lock:
            self._drop_old(now_ms)
            held = _size(place)
            if held > whole:  # whatever this is, it is not the beginning of that photo
                place.unlink()
                held = 0
            if offset != held or offset + len(piece) > whole:
                return Refused("part-offset", extra={"offset": held})
            if held == 0:
                self._make_room(station)
            with place.open("ab") as file:
                file.write(piece)
            os.utime(place, (now_ms / 1000, now_ms / 1000))
            return place.read_bytes() if held + len(piece) == whole else held + len(piece)

    def drop(self, station: str, sha256: str) -> None:
        """Forget the beginning of a photo that is kept, or that is not what its name says."""
        with self._lock:
            self._place(station, sha256).unlink(missing_ok=True)

    def _place(self, station: str, sha256: str) -> Path:
        if not is_blob_name(sha256):
            raise ValueError("not a hash")
        return self._folder / f"{station}.{sha256}"

    def _make_room(self, station: str) -> None:
        self._folder.mkdir(parents=True, exist_ok=True)
        begun = sorted(self._folder.glob(f"{station}.*"), key=lambda path: path.stat().st_mtime)
        for path in begun[: max(0, len(begun) - _MOST_OF_STATION + 1)]:
            path.unlink()

    def _drop_old(self, now_ms: int) -> None:
        for path in self._folder.glob("*"):
            if path.stat().st_mtime * 1000 < now_ms - KEPT_FOR_MS:
                path.unlink()


def _size(path: Path) -> int:
    try:
        return path.stat().st_size
    except FileNotFoundError:
        return 0
