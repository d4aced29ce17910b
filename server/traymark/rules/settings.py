"""Whether the shop's settings can be used: their form, and currency, time zone and intervals that exist."""

import json
from collections.abc import Iterator
from functools import cache
from typing import Any, cast

from iso4217 import Currency

from traymark.rules.form import FormFault, Schema, form_faults
from traymark.rules.zone import is_zone
from traymark.tables import shared_dir, table

# ISO 4217 reserves these for tests and for "no currency".
_NO_CURRENCIES = ("XTS", "XXX")


def settings_faults(body: object) -> list[FormFault]:
    """Every setting that cannot be used. The server keeps nothing that the app cannot show or a browser cannot read."""
    return form_faults(body, _schema()) or list(_unknown(cast(dict[str, Any], body)))


def _unknown(body: dict[str, Any]) -> Iterator[FormFault]:
    """In settings of the right form: names of things that do not exist."""
    if "currency" in body and body["currency"] not in _currencies():
        yield FormFault("/currency", "must be the code of a currency (ISO 4217)")
    if "time_zone" in body and not is_zone(body["time_zone"]):
        yield FormFault("/time_zone", "must be the name of a time zone, such as Europe/Lisbon")
    for check in table("esd")["checks"].values():
        if body.get(check["setting"], check["default"]) not in check["intervals"]:
            yield FormFault(f"/{check['setting']}", f"must be one of {', '.join(check['intervals'])}")


@cache
def _currencies() -> frozenset[str]:
    return frozenset(currency.code for currency in Currency if currency.code not in _NO_CURRENCIES)


@cache
def _schema() -> Schema:
    return json.loads((shared_dir() / "schema" / "settings.schema.json").read_text(encoding="utf-8"))
