"""Filling an empty folder with the invented shop."""

from dataclasses import dataclass
from typing import Any

from traymark.demo import shop
from traymark.demo.day import DAY_MS, Day, Shown, tell_story
from traymark.demo.virtual_station import VirtualStation
from traymark.docs.keep import get_doc, put_doc
from traymark.docs.shop import begin_shop, host_time_zone, shared_procedures, shop_settings
from traymark.docs.staff import Badge, add_staff
from traymark.log.store import Store
from traymark.refused import Refused

# The story begins 24 days ago; the stations joined before that.
_STATIONS_JOINED_MS = 30 * DAY_MS


@dataclass(frozen=True)
class Seeded:
    """What the label sheet is drawn from."""

    badges: list[tuple[shop.Person, Badge]]
    shown: list[Shown]
    events: int


def seed(store: Store, now_ms: int, base_url: str) -> Seeded:
    """Write documents, staff, stations and the whole story by the same code that real ones use."""
    begin_shop(store, host_time_zone())
    _documents(store)
    badges = {key: _person(store, person) for key, person in shop.STAFF.items()}
    joined_ms = now_ms - _STATIONS_JOINED_MS
    stations = {key: VirtualStation(store, name, role, joined_ms) for key, (name, role) in shop.STATIONS.items()}
    day = Day(
        store=store,
        stations=stations,
        staff={key: badge.staff for key, badge in badges.items()},
        procedures={body["id"]: body for body in shared_procedures()},
        now_ms=now_ms,
        base_url=base_url,
    )
    for key in stations:
        day.plan.add(joined_ms, key, None, "station.began", None, {"reason": "joined"})
    tell_story(day)
    events = day.plan.write(stations, now_ms)
    return Seeded([(shop.STAFF[key], badge) for key, badge in badges.items()], day.shown, events)


def _documents(store: Store) -> None:
    told = {
        "shop_name": shop.SHOP_NAME, "phone": shop.SHOP_PHONE, "customer_page": "on", "emergency": shop.EMERGENCY,
        # A check that counts for a shift: by calendar days, this morning's would be yesterday's soon after midnight.
        "strap_interval": "hours_8",
    }  # fmt: skip
    settings = shop_settings(store) | told
    _change(store, "shop", "settings", settings)
    parts: list[dict[str, Any]] = [
        {
            "kind": body["part"]["kind"],
            "name": body["part"]["name"],
            "supplier": shop.SUPPLIER_OF.get(body["id"], shop.SKIRLWICK),
        }
        for body in shared_procedures()
    ]
    catalogue = {
        "models": [shop.MODEL, *shop.OTHER_MODELS],
        "suppliers": [{"id": id_, "name": name} for id_, name in shop.SUPPLIERS.items()],
        "parts": parts,
    }
    _change(store, "catalogue", "catalogue", catalogue)


def _change(store: Store, id_: str, kind: str, body: dict[str, Any]) -> None:
    held = get_doc(store, id_)
    kept = put_doc(store, id_, kind, body, held.rev if held else None)
    if isinstance(kept, Refused):
        raise ValueError(f"{id_}: {kept.slug}")


def _person(store: Store, person: shop.Person) -> Badge:
    badge = add_staff(store, person.name, person.role)
    if isinstance(badge, Refused):
        raise ValueError(badge.slug)
    return badge
