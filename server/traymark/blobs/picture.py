"""Checking a photo's bytes before trusting them, and scaling photos down."""

from io import BytesIO
from typing import NamedTuple

from PIL import Image, ImageOps

from traymark.refused import Refused

# The only decoders that Pillow may use.
_MEDIA_TYPES = {"JPEG": "image/jpeg", "PNG": "image/png", "WEBP": "image/webp"}

THUMB_PX = 256
PAPER_PX = 1000


class Picture(NamedTuple):
    """What the bytes of a photo turned out to be."""

    media_type: str
    width: int
    height: int


def look(data: bytes, most_pixels: int) -> Picture | Refused:
    """Read the size from the header, refuse what is too large, then decode it once to see that it is whole."""
    try:
        with Image.open(BytesIO(data), formats=list(_MEDIA_TYPES)) as image:
            picture = Picture(_MEDIA_TYPES[str(image.format)], image.width, image.height)
            if image.width * image.height > most_pixels:
                return Refused("image-too-large")
            # A JPEG is read in full but decoded at an eighth of its size; other formats ignore this.
            image.draft("RGB", (1, 1))
            image.load()
    except Image.DecompressionBombError:
        return Refused("image-too-large")
    except Exception:  # whatever a decoder raises on untrusted bytes means: not a photo
        return Refused("blob-not-image")
    return picture


def small(data: bytes) -> bytes:
    """A JPEG of at most 256 px a side. From checked bytes."""
    return _plain(data, THUMB_PX, 80)[0]


def for_paper(data: bytes) -> tuple[bytes, int, int]:
    """A JPEG of at most 1000 px a side, with its size: about 300 dpi on half a sheet. From checked bytes."""
    return _plain(data, PAPER_PX, 82)


def _plain(data: bytes, most_px: int, quality: int) -> tuple[bytes, int, int]:
    """Turned upright, and stripped of everything but pixels."""
    with Image.open(BytesIO(data), formats=list(_MEDIA_TYPES)) as image:
        image.draft("RGB", (2 * most_px, 2 * most_px))
        upright = ImageOps.exif_transpose(image)
        upright.thumbnail((most_px, most_px))
        plain = upright.convert("RGB")
        plain.info.clear()  # else the camera's comment would be written again
        out = BytesIO()
        plain.save(out, "JPEG", quality=quality)
    return out.getvalue(), plain.width, plain.height
