"""The shop's settings: what an app or a browser cannot use is refused with the field named, and breaks nothing."""

from typing import Any

import pytest

from tests.server.conftest import Desk, Shop, problem_of
from traymark.docs.shop import starter_settings
from traymark.rules.settings import settings_faults
from traymark.rules.zone import is_zone

SETTINGS = starter_settings("Europe/Lisbon")
EMERGENCY = SETTINGS["emergency"]


@pytest.fixture
def lead(shop: Shop) -> Desk:
    return shop.enrol("S7KA", "7KA", role="lead")


def test_what_an_empty_shop_begins_with_can_be_used() -> None:
    assert settings_faults(SETTINGS) == []
    assert settings_faults({}) == []


@pytest.mark.parametrize(
    ("pointer", "changed"),
    [
        ("/currency", {"currency": "EUX"}),
        ("/currency", {"currency": "eur"}),
        ("/currency", {"currency": "XXX"}),
        ("/currency", {"currency": None}),
        ("/currency_digits", {"currency_digits": 5}),
        ("/time_zone", {"time_zone": "Nowhere/Atlantis"}),
        ("/time_zone", {"time_zone": ""}),
        ("/time_zone", {"time_zone": "+02:00"}),
        ("/time_zone", {"time_zone": "localtime"}),
        ("/phone", {"phone": 555_0100}),
        ("/phone", {"phone": "555\n0100"}),
        ("/shop_name", {"shop_name": "x" * 81}),
        ("/warranty_days", {"warranty_days": -1}),
        ("/warranty_days", {"warranty_days": 10_000}),
        ("/warranty_days", {"warranty_days": "90"}),
        ("/warranty_days", {"warranty_days": True}),
        ("/forget_after_days", {"forget_after_days": 0}),
        ("/forget_after_days", {"forget_after_days": 3_651}),
        ("/customer_page", {"customer_page": "maybe"}),
        ("/terms", {"terms": "x" * 2_001}),
        ("/strap_interval", {"strap_interval": "never"}),
        ("/mat_interval", {"mat_interval": "sign_on_and_off"}),
        ("/emergency/who", {"emergency": EMERGENCY | {"who": "x" * 201}}),
        ("/emergency/number", {"emergency": EMERGENCY | {"number": "one one two"}}),
        ("/emergency", {"emergency": "run"}),
        ("", {"colour": "red"}),
    ],
)
def test_setting_that_cannot_be_used_is_refused_by_its_name(pointer: str, changed: dict[str, Any]) -> None:
    assert [fault.pointer for fault in settings_faults(SETTINGS | changed)] == [pointer]


def test_every_faulty_field_is_named_to_the_lead_and_the_old_settings_stand(lead: Desk) -> None:
    body = {"kind": "settings", "body": SETTINGS}
    rev = lead.ask("PUT", "/api/docs/shop", json=body).json()["rev"]
    wrong = SETTINGS | {"currency": "EUX", "time_zone": "Nowhere/Atlantis"}
    told = problem_of(
        lead.ask("PUT", "/api/docs/shop", json={"kind": "settings", "body": wrong, "base_rev": rev}), "bad-setting"
    )
    assert [error["pointer"] for error in told["errors"]] == ["/body/currency", "/body/time_zone"]
    assert told["detail"].startswith("Currency must be the code of a currency (ISO 4217). Time zone must be the name")
    assert lead.ask("GET", "/api/docs", params={"after": 0}).json()["docs"][0]["body"] == SETTINGS


@pytest.mark.parametrize("name", ["Europe/Lisbon", "europe/lisbon", "UTC", "Etc/UTC", "America/Argentina/Ushuaia"])
def test_zone_is_known_in_any_letter_case(name: str) -> None:
    assert is_zone(name)


@pytest.mark.parametrize("name", ["", "posix/Europe/Lisbon", "../etc/passwd", "Factory", "x" * 300, "Europe"])
def test_zone_that_browsers_do_not_know_is_none(name: str) -> None:
    assert not is_zone(name)
