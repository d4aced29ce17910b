"""Which format app and server talk in (F8.10). The newer of the two knows whether it still understands the other."""

import re
from typing import Any

from litestar.connection import ASGIConnection
from litestar.handlers import BaseRouteHandler

from traymark.api.problems import refuse
from traymark.tables import table

HEADER = "Traymark-Format"
_NUMBER = re.compile(r"[0-9]{1,9}")


def own_format() -> str:
    """The number of this program, as its answers name it."""
    return str(table("sync_format")["format"])


def known_format(connection: ASGIConnection[Any, Any, Any, Any], _: BaseRouteHandler) -> None:
    """Raises app-too-old for a request of an app whose format is not understood any more.

    What is no request of the app, such as a monitor's or a picture's, names none and is not judged.
    """
    told = connection.headers.get(HEADER, "")
    if _NUMBER.fullmatch(told) and int(told) < table("sync_format")["oldest"]:
        raise refuse("app-too-old")
