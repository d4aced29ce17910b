"""The self-test of a device: an address that works once, results within bounds, and nothing left behind."""

import json
from collections.abc import Iterator
from typing import Any

import pytest
from litestar.testing import TestClient

from tests.server.conftest import NOW_MS, Desk, Shop, problem_of
from tests.server.shop_events import code
from traymark.app import create_app
from traymark.config import Settings
from traymark.selftest.open_tests import VALID_MS, OpenTests
from traymark.selftest.results import MOST_BYTES

JOB = code("J", "7K2", 1)
TOUCH = {"columns": 4, "rows": 3, "reached": "111101111111", "fingers": 2, "screen_pct": 93}
FULL: dict[str, Any] = {
    "touch": {"columns": 32, "rows": 64, "reached": "1" * 2048, "fingers": 10, "screen_pct": 100},
    "picture": {"answer": "bad", "spots": [[1000, 1000]] * 12},
    "light": {"answer": "good"},
    "speaker": {"left": "good", "right": "good", "sweep": "bad"},
    "microphone": {"answer": "good", "level_pct": 100},
    "front_camera": {"answer": "good", "width": 1280, "height": 720},
    "rear_camera": {"answer": "good", "width": 1280, "height": 720},
    "vibration": {"answer": "good"},
    "gyroscope": {"answer": "good", "tilt_deg": 360},
    "compass": {"answer": "good", "eighths": 8},
    "keys": {"volume_up": 99, "volume_down": 99, "sleeps": 99},
    "network": {"sent": 20, "answered": 20, "median_ms": 60_000, "over": "unknown"},
    "barred": {"microphone": "insecure"},
}


class Time:
    """A clock that moves when told."""

    def __init__(self) -> None:
        self.now_ms = NOW_MS

    def __call__(self) -> int:
        return self.now_ms


@pytest.fixture
def time() -> Time:
    return Time()


@pytest.fixture
def shop(settings: Settings, time: Time, monkeypatch: pytest.MonkeyPatch) -> Iterator[Shop]:
    monkeypatch.setattr("traymark.api.pwa.find_pwa", lambda: None)
    app = create_app(settings, clock=time)
    with TestClient(app, base_url="https://shop.test", raise_server_exceptions=False) as client:
        yield Shop(client, settings.data_dir)


def offer(desk: Desk, stage: str = "final") -> dict[str, Any]:
    answer = desk.ask("POST", "/api/selftests", json={"job": JOB, "stage": stage})
    assert answer.status_code == 201, answer.text
    return answer.json()


def path_of(made: dict[str, Any]) -> str:
    return made["url"].removeprefix("https://shop.test")


def test_only_a_joined_station_makes_an_address(shop: Shop) -> None:
    answer = shop.client.post("/api/selftests", json={"job": JOB, "stage": "final"})
    problem_of(answer, "station-unknown")


@pytest.mark.parametrize(
    ("body", "slug"),
    [
        ({"job": "T7K200001X", "stage": "final"}, "bad-field"),
        ({"job": JOB, "stage": "bench"}, "bad-field"),
        ({"job": JOB}, "missing-field"),
        ({"job": JOB, "stage": "final", "name": "x"}, "unknown-field"),
    ],
)
def test_an_address_is_for_a_job_and_one_of_its_stages(desk: Desk, body: dict[str, Any], slug: str) -> None:
    problem_of(desk.ask("POST", "/api/selftests", json=body), slug)


def test_an_address_has_26_letters_and_only_its_hash_is_kept(shop: Shop, desk: Desk) -> None:
    first, second = offer(desk), offer(desk)
    token = first["url"].rpartition("/")[2]
    assert len(token) == 26 and set(token) <= set("0123456789ABCDEFGHJKMNPQRSTVWXYZ")
    assert second["url"] != first["url"]
    assert first["expires_at_ms"] == NOW_MS + 15 * 60_000
    assert "<svg" in first["qr_svg"]
    held: OpenTests = shop.client.app.state.open_tests
    assert token not in repr(vars(held))
    assert all(token.encode() not in path.read_bytes() for path in shop.data_dir.rglob("*") if path.is_file())


def test_the_page_says_nothing_of_the_job_or_the_shop_and_sets_no_cookie(shop: Shop, desk: Desk) -> None:
    made = offer(desk)
    answer = shop.client.get(path_of(made))
    assert answer.status_code == 200
    assert JOB not in answer.text and made["id"] not in answer.text
    # The same bytes for every test of every shop: there is nothing in them that could tell.
    assert answer.text == shop.client.get(path_of(offer(desk, "intake"))).text
    assert "set-cookie" not in answer.headers
    assert answer.headers["x-robots-tag"] == "noindex, nofollow"
    assert answer.headers["cache-control"] == "no-store"
    assert answer.headers["referrer-policy"] == "no-referrer"
    policy = answer.headers["content-security-policy"]
    assert "default-src 'none'" in policy and "unsafe" not in policy and "script-src 'self'" in policy
    assert "microphone=(self)" in answer.headers["permissions-policy"]


def test_other_pages_may_not_use_the_microphone(shop: Shop) -> None:
    assert "microphone=()" in shop.client.get("/").headers["permissions-policy"]


def test_what_the_device_found_reaches_the_station_that_asked(shop: Shop, desk: Desk) -> None:
    made = offer(desk)
    api = f"/api/selftests/{made['id']}"
    assert desk.ask("GET", api).json()["state"] == "waiting"
    shop.client.head(path_of(made))
    assert desk.ask("GET", api).json()["state"] == "waiting"
    shop.client.get(path_of(made))
    assert desk.ask("GET", api).json()["state"] == "open"
    answer = shop.client.post(f"{path_of(made)}/results", json={"touch": TOUCH, "barred": {"compass": "missing"}})
    assert answer.status_code == 204, answer.text
    told = desk.ask("GET", api).json()
    assert (told["state"], told["job"], told["stage"]) == ("done", JOB, "final")
    assert told["results"]["touch"] == TOUCH
    assert told["results"]["barred"] == {"compass": "missing"}
    assert told["results"]["speaker"] is None


def test_results_alone_write_no_event(shop: Shop, desk: Desk) -> None:
    before = shop.store.state()
    made = offer(desk)
    shop.client.post(f"{path_of(made)}/results", json=FULL)
    assert shop.store.state() == before
    shop.check_log()


def test_an_address_takes_results_once(shop: Shop, desk: Desk) -> None:
    made = offer(desk)
    assert shop.client.post(f"{path_of(made)}/results", json={"touch": TOUCH}).status_code == 204
    problem_of(shop.client.post(f"{path_of(made)}/results", json={}), "selftest-over")
    answer = shop.client.get(path_of(made))
    assert answer.status_code == 410 and "results were sent" in answer.text and "<script" not in answer.text
    assert desk.ask("GET", f"/api/selftests/{made['id']}").json()["results"]["touch"] == TOUCH


def test_an_address_expires_and_nothing_of_it_stays(shop: Shop, desk: Desk, time: Time) -> None:
    made = offer(desk)
    shop.client.post(f"{path_of(made)}/results", json={"touch": TOUCH})
    late = offer(desk)
    time.now_ms += VALID_MS - 1
    assert shop.client.get(path_of(late)).status_code == 200
    time.now_ms += 1
    answer = shop.client.get(path_of(late))
    assert answer.status_code == 404 and "not good any more" in answer.text and "<script" not in answer.text
    problem_of(shop.client.post(f"{path_of(late)}/results", json={}), "selftest-over")
    problem_of(shop.client.get(f"{path_of(late)}/echo"), "selftest-over")
    problem_of(desk.ask("GET", f"/api/selftests/{made['id']}"), "selftest-over")
    assert len(shop.client.app.state.open_tests) == 0


def test_what_was_confirmed_or_rejected_is_forgotten_at_once(shop: Shop, desk: Desk) -> None:
    made = offer(desk)
    shop.client.post(f"{path_of(made)}/results", json={"touch": TOUCH})
    other = shop.enrol("S7K3", "7K3")
    other.ask("DELETE", f"/api/selftests/{made['id']}")
    assert len(shop.client.app.state.open_tests) == 1
    assert desk.ask("DELETE", f"/api/selftests/{made['id']}").status_code == 204
    assert desk.ask("DELETE", f"/api/selftests/{made['id']}").status_code == 204
    assert len(shop.client.app.state.open_tests) == 0
    assert shop.client.get(path_of(made)).status_code == 404


def test_another_station_sees_nothing(shop: Shop, desk: Desk) -> None:
    made = offer(desk)
    other = shop.enrol("S7K3", "7K3")
    problem_of(other.ask("GET", f"/api/selftests/{made['id']}"), "selftest-over")
    problem_of(shop.client.get(f"/api/selftests/{made['id']}"), "station-unknown")


def test_an_unknown_address_is_answered_like_an_expired_one(shop: Shop, desk: Desk, time: Time) -> None:
    made = offer(desk)
    time.now_ms += VALID_MS
    old, unknown = shop.client.get(path_of(made)), shop.client.get(f"/S/{'0' * 26}")
    assert (old.status_code, old.text) == (unknown.status_code, unknown.text)
    assert shop.client.get("/S/short").status_code == 404


def test_the_full_form_is_within_the_limit(shop: Shop, desk: Desk) -> None:
    assert len(json.dumps(FULL)) < MOST_BYTES / 2
    made = offer(desk)
    assert shop.client.post(f"{path_of(made)}/results", json=FULL).status_code == 204
    told = desk.ask("GET", f"/api/selftests/{made['id']}").json()["results"]
    assert told == FULL


@pytest.mark.parametrize(
    ("results", "slug", "pointer"),
    [
        ({"touch": TOUCH | {"reached": "1" * 11}}, "bad-field", "/touch"),
        ({"touch": TOUCH | {"reached": "1" * 11 + "2"}}, "bad-field", "/touch/reached"),
        ({"touch": TOUCH | {"rows": 65}}, "bad-field", "/touch/rows"),
        ({"touch": TOUCH | {"fingers": 2.5}}, "bad-field", "/touch/fingers"),
        ({"touch": TOUCH | {"picture": "data:"}}, "unknown-field", "/touch"),
        ({"picture": {"answer": "bad", "spots": [[0, 0]] * 13}}, "bad-field", "/picture/spots"),
        ({"picture": {"answer": "bad", "spots": [[0, 1001]]}}, "bad-field", "/picture/spots/0/1"),
        ({"light": {"answer": "<b>"}}, "bad-field", "/light/answer"),
        ({"light": {}}, "missing-field", "/light"),
        ({"barred": {"serial": "missing"}}, "bad-field", "/barred"),
        ({"barred": {"touch": "because"}}, "bad-field", "/barred"),
        ({"job": JOB}, "unknown-field", ""),
        ([], "bad-field", ""),
    ],
)
def test_results_that_do_not_fit_are_refused_and_leave_the_address_valid(
    shop: Shop, desk: Desk, results: Any, slug: str, pointer: str
) -> None:
    made = offer(desk)
    told = problem_of(shop.client.post(f"{path_of(made)}/results", json=results), slug)
    assert told["errors"][0]["pointer"].startswith(pointer), told
    assert desk.ask("GET", f"/api/selftests/{made['id']}").json()["state"] == "waiting"
    assert shop.client.post(f"{path_of(made)}/results", json={"touch": TOUCH}).status_code == 204


def test_a_body_that_is_too_long_or_not_json_is_refused(shop: Shop, desk: Desk) -> None:
    made = offer(desk)
    long = b'{"touch":' + b" " * MOST_BYTES + b"null}"
    problem_of(shop.client.post(f"{path_of(made)}/results", content=long), "body-too-large")
    problem_of(shop.client.post(f"{path_of(made)}/results", content=b"{"), "request-malformed")
    deep = b'{"barred":' + b"[" * 8000 + b"]" * 8000 + b"}"
    assert shop.client.post(f"{path_of(made)}/results", content=deep).status_code == 400


def test_results_from_a_page_of_another_site_are_refused(shop: Shop, desk: Desk) -> None:
    made = offer(desk)
    foreign = shop.client.post(f"{path_of(made)}/results", json={}, headers={"Origin": "https://elsewhere.test"})
    problem_of(foreign, "origin-foreign")


def test_an_address_that_asks_too_often_must_wait(shop: Shop, desk: Desk, time: Time) -> None:
    made = offer(desk)
    echo = f"{path_of(made)}/echo"
    answers = [shop.client.get(echo).status_code for _ in range(61)]
    assert answers == [204] * 60 + [429]
    page = shop.client.get(path_of(made))
    assert page.status_code == 429 and int(page.headers["retry-after"]) > 0
    problem_of(shop.client.post(f"{path_of(made)}/results", json={}), "rate-limited")
    time.now_ms += 2_000
    assert shop.client.get(echo).status_code == 204


def test_a_station_has_few_tests_open_and_the_oldest_gives_way(shop: Shop, desk: Desk) -> None:
    made = [offer(desk) for _ in range(9)]
    assert len(shop.client.app.state.open_tests) == 8
    assert shop.client.get(path_of(made[0])).status_code == 404
    assert shop.client.get(path_of(made[1])).status_code == 200
