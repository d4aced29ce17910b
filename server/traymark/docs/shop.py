"""The shop's settings document, and what an empty shop begins with."""

import json
from typing import Any, cast
from zoneinfo import ZoneInfo

import msgspec
from tzlocal import get_localzone_name

from traymark.docs.keep import get_doc, put_doc
from traymark.log.store import Store
from traymark.refused import Refused
from traymark.tables import shared_dir, table

SETTINGS_ID = "shop"
CATALOGUE_ID = "catalogue"

# Where a shop has set nothing: 90 days, common practice, no source.
_WARRANTY_DAYS = 90


def shop_settings(store: Store) -> dict[str, Any]:
    """The body of the settings document; empty before the first start."""
    doc = get_doc(store, SETTINGS_ID)
    return {} if doc is None or doc.body is None else cast(dict[str, Any], msgspec.json.decode(doc.body))


def starter_settings(time_zone: str) -> dict[str, Any]:
    """What a new shop starts with, for a lead to change."""
    return {
        "shop_name": "My shop",
        "phone": "",
        "mail": "",
        "currency": "EUR",
        "currency_digits": 2,
        "time_zone": time_zone,
        "warranty_days": _WARRANTY_DAYS,
        "customer_page": "off",
        "terms": "",
        **{check["setting"]: check["default"] for check in table("esd")["checks"].values()},
        # Only the shop can know these; the page says so until they are filled in.
        "emergency": {"place": "", "number": "", "container": "", "who": "", "text": ""},
    }


def begin_shop(store: Store, time_zone: str) -> list[str]:
    """Write the documents that an empty shop lacks; existing ones stay as they are. Returns the ids written."""
    first: list[tuple[str, str, dict[str, Any]]] = [
        (SETTINGS_ID, "settings", starter_settings(time_zone)),
        (CATALOGUE_ID, "catalogue", {"models": [], "suppliers": [], "parts": []}),
    ]
    first += [(procedure_id(body), "procedure", body) for body in shared_procedures()]
    written: list[str] = []
    for id_, kind, body in first:
        if get_doc(store, id_) is None:
            kept = put_doc(store, id_, kind, body)
            if isinstance(kept, Refused):
                raise ValueError(f"{id_}: {kept.slug}")
            written.append(id_)
    return written


def procedure_id(body: dict[str, Any]) -> str:
    """The document id of one revision of a procedure (F7.4)."""
    return f"procedure:{body['id']}.{body['rev']}"


def shared_procedures() -> list[dict[str, Any]]:
    """The procedures that come with the program, by file name."""
    folder = shared_dir() / "procedures"
    bodies = [cast(dict[str, Any], json.loads(p.read_text(encoding="utf-8"))) for p in sorted(folder.glob("*.json"))]
    return [{name: value for name, value in body.items() if name != "$schema"} for body in bodies]


def host_time_zone() -> str:
    """The name of this machine's time zone, else UTC: a lead can set the right one."""
    try:
        return ZoneInfo(get_localzone_name()).key
    except (OSError, LookupError, ValueError):
        return "Etc/UTC"
