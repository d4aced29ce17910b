"""The first bytes of photos that are still on their way (F8.6): `parts/<station>.<sha256>`.

Neither durable nor trusted: a whole photo is checked against its hash like any other, and a lost beginning is sent
again. A station has few beginnings at a time, and an abandoned one is dropped.
"""

import os
from pathlib import Path
from threading import Lock

from traymark.blobs.files import is_blob_name
from traymark.refused import Refused

PART_BYTES = 262_144
"""The largest piece taken in one request."""

KEPT_FOR_MS = 24 * 3_600_000

# A station sends one photo at a time; a few more are left from photos that the server refused in between.
_MOST_OF_STATION = 4


class BlobParts:
    """The folder of beginnings. Safe for use by several threads."""

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
        """Write a piece that begins at `offset`. Returns the photo once all `whole` bytes are there, else how many are.

        `part-offset` when another number of bytes is held. The caller drops the beginning once it has kept the photo;
        after a crash in between, an empty piece at the end returns the whole photo again.
        """
        place = self._place(station, sha256)
        with self._lock:
            self._drop_old(now_ms)
            held = _size(place)
            if held > whole:  # longer than the photo: these are not its first bytes
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
        """Forget the beginning of a photo that is kept by now, or that does not match its hash."""
        with self._lock:
            self._place(station, sha256).unlink(missing_ok=True)

    def drop_photo(self, sha256: str) -> None:
        """Forget what any station has sent of a photo."""
        with self._lock:
            for path in self._folder.glob(f"*.{sha256}"):
                path.unlink()

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
