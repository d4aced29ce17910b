"""Looking at a photo's bytes before believing them, and making them small."""

from io import BytesIO
from typing import NamedTuple

from PIL import Image, ImageOps

from traymark.refused import Refused

# Pillow may use these decoders and no other.
_MEDIA_TYPES = {"JPEG": "image/jpeg", "PNG": "image/png", "WEBP": "image/webp"}

THUMB_PX = 256
PAPER_PX = 1000


class Picture(NamedTuple):
    """What a photo is."""

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
            # A JPEG is read whole but decoded at an eighth of its size; other formats ignore this.
            image.draft("RGB", (1, 1))
            image.load()
    except Image.DecompressionBombError:
        return Refused("image-too-large")
    except Exception:  # whatever a decoder raises on untrusted bytes, they are not a photo
        return Refused("blob-not-image")
    return picture


def small(data: bytes) -> bytes:
    """A JPEG of at most 256 px a side. The bytes were looked at before."""
    return _plain(data, THUMB_PX, 80)[0]


def for_paper(data: bytes) -> tuple[bytes, int, int]:
    """A JPEG of at most 1000 px a side, with its size: some 300 dots an inch on half a sheet. Looked at before."""
    return _plain(data, PAPER_PX, 82)


def _plain(data: bytes, most_px: int, quality: int) -> tuple[bytes, int, int]:
    """Upright, and of pixels alone."""
    with Image.open(BytesIO(data), formats=list(_MEDIA_TYPES)) as image:
        image.draft("RGB", (2 * most_px, 2 * most_px))
        upright = ImageOps.exif_transpose(image)
        upright.thumbnail((most_px, most_px))
        plain = upright.convert("RGB")
        plain.info.clear()  # else a comment of the camera's would go along
        out = BytesIO()
        plain.save(out, "JPEG", quality=quality)
    return out.getvalue(), plain.width, plain.height
