"""Reading a request's body without trusting what it says about its size."""

import asyncio
import zlib
from typing import Any, TypeVar

import msgspec
from litestar import Request

from traymark.api.problems import Problem, refuse
from traymark.docs.card import pointer_of
from traymark.refused import Refused

T = TypeVar("T")

# A phone at the edge of the network may be slow; a connection that sends nothing must not stay open for ever.
_TIME_LIMIT_S = 60


async def read_body(request: Request[Any, Any, Any], most: int) -> bytes:
    """The body. Raises body-too-large before more than `most` bytes are read, and request-malformed when it stalls."""
    said = request.headers.get("content-length")
    if said is not None and (not said.isdecimal() or int(said) > most):
        raise refuse("body-too-large", f"At most {most} bytes are taken here.")
    chunks: list[bytes] = []
    size = 0
    try:
        async with asyncio.timeout(_TIME_LIMIT_S):
            async for chunk in request.stream():
                size += len(chunk)
                if size > most:
                    raise refuse("body-too-large", f"At most {most} bytes are taken here.")
                chunks.append(chunk)
    except TimeoutError as error:
        raise refuse("request-malformed", "The request did not arrive whole.") from error
    return b"".join(chunks)


async def read_json(request: Request[Any, Any, Any], form: type[T], most: int) -> T:
    """The body as a value of this type."""
    return decode_json(await read_body(request, most), form)


def decode_json(data: bytes, form: type[T]) -> T:
    """JSON bytes as a value of this type. Raises request-malformed, or a field's problem with its pointer."""
    try:
        return msgspec.json.decode(data, type=form)
    except msgspec.ValidationError as error:
        text = str(error)
        slug = (
            "unknown-field"
            if "unknown field" in text
            else "missing-field"
            if "missing required" in text
            else "bad-field"
        )
        raise Problem(Refused(slug, pointers=((slug, pointer_of(text)),))) from error
    except (msgspec.DecodeError, UnicodeDecodeError, RecursionError) as error:
        raise refuse("request-malformed") from error


def gunzip(data: bytes, most: int) -> bytes:
    """Inflate one gzip member to at most `most` bytes, using no more memory than that."""
    inflater = zlib.decompressobj(wbits=31)
    try:
        out = inflater.decompress(data, most + 1)
    except zlib.error as error:
        raise refuse("request-malformed", "The body is not gzip.") from error
    if len(out) > most:
        raise refuse("body-too-large", f"At most {most} bytes are taken here, after inflating.")
    if not inflater.eof or inflater.unused_data:
        raise refuse("request-malformed", "The gzip body is cut short or has something after it.")
    return out
