"""Looking at a photo's bytes before believing them, and making them small."""

from io import BytesIO
from typing import NamedTuple

from PIL import Image, ImageOps

from traymark.refused import Refused

# Pillow may use these decoders and no other.
_MEDIA_TYPES = {"JPEG": "image/jpeg", "PNG": "image/png", "WEBP": "image/webp"}

THUMB_PX = 256


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
    """A JPEG of at most 256 px a side, upright, of pixels alone. The bytes were looked at before."""
    with Image.open(BytesIO(data), formats=list(_MEDIA_TYPES)) as image:
        image.draft("RGB", (2 * THUMB_PX, 2 * THUMB_PX))
        upright = ImageOps.exif_transpose(image)
        upright.thumbnail((THUMB_PX, THUMB_PX))
        plain = upright.convert("RGB")
        plain.info.clear()  # else a comment of the camera's would go along
        out = BytesIO()
        plain.save(out, "JPEG", quality=80)
    return out.getvalue()
