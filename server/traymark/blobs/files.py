"""Photo files on disk: `blobs/ab/<sha256>`, complete or absent.

Trust: a changed file no longer matches its name, which `verify` shows. Losing the folder costs the photos that the
stations no longer hold.
"""

import os
import re
from pathlib import Path
from secrets import token_hex

_NAME = re.compile(r"[0-9a-f]{64}")


class BlobFiles:
    """The folder of photos and, beside it, one of small pictures made from them, which may be deleted at any time."""

    def __init__(self, data_dir: Path) -> None:
        self._blobs, self._thumbs, self._coming = data_dir / "blobs", data_dir / "thumbs", data_dir / "coming"

    def read(self, sha256: str) -> bytes | None:
        """The bytes of a photo, or None."""
        return _read(_place(self._blobs, sha256))

    def path(self, sha256: str) -> Path:
        """Where a photo's file is, or would be."""
        return _place(self._blobs, sha256)

    def has(self, sha256: str) -> bool:
        """Whether the photo's file is there."""
        return _place(self._blobs, sha256).is_file()

    def write(self, sha256: str, data: bytes) -> None:
        """Keep a photo whose hash was checked. Durable on return; a crash leaves at most a file in `coming/`."""
        self._put(_place(self._blobs, sha256), data, is_durable=True)

    def read_thumb(self, sha256: str) -> bytes | None:
        """The small picture made earlier, or None."""
        return _read(_place(self._thumbs, sha256))

    def write_thumb(self, sha256: str, data: bytes) -> None:
        """Keep a small picture. Not made durable: it can be made again."""
        self._put(_place(self._thumbs, sha256), data, is_durable=False)

    def remove(self, sha256: str) -> None:
        """Take a photo and its small picture off the disk. Durable on return."""
        for folder in (self._thumbs, self._blobs):
            path = _place(folder, sha256)
            path.unlink(missing_ok=True)
            if path.parent.is_dir():
                sync_folder(path.parent)

    def clear_coming(self) -> None:
        """Delete what a crash left half written. Only at start-up, when nobody writes."""
        for path in self._coming.glob("*"):
            path.unlink()

    def _put(self, path: Path, data: bytes, *, is_durable: bool) -> None:
        self._coming.mkdir(parents=True, exist_ok=True)
        if not path.parent.is_dir():
            path.parent.mkdir(parents=True, exist_ok=True)
            if is_durable:
                sync_folder(path.parent.parent)
                sync_folder(path.parent.parent.parent)
        coming = self._coming / token_hex(16)
        try:
            with coming.open("xb") as file:
                file.write(data)
                if is_durable:
                    file.flush()
                    os.fsync(file.fileno())
            coming.replace(path)
        finally:
            coming.unlink(missing_ok=True)
        if is_durable:
            sync_folder(path.parent)


def is_blob_name(text: str) -> bool:
    """Whether this is a SHA-256 in lower-case hex, and so safe as a file name."""
    return _NAME.fullmatch(text) is not None


def _place(folder: Path, sha256: str) -> Path:
    """Raises ValueError for a name that is not a hash: callers check first, and no other name ever becomes a path."""
    if not is_blob_name(sha256):
        raise ValueError("not a hash")
    return folder / sha256[:2] / sha256


def _read(path: Path) -> bytes | None:
    try:
        return path.read_bytes()
    except FileNotFoundError:
        return None


def sync_folder(path: Path) -> None:
    """Make a folder's entries durable."""
    descriptor = os.open(path, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
