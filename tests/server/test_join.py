"""Joining: one code, one station; who may invite and take out; incarnations never given twice (F3.1)."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from litestar.testing import TestClient
from sqlmodel import delete, select

from traymark.api.rate_limit import RateLimit
from traymark.api.who import COOKIE
from traymark.app import create_app
from traymark.config import Settings
from traymark.docs.keep import last_rev
from traymark.docs.shop import begin_shop, host_time_zone, shop_settings
from traymark.docs.stations import tell_stations
from traymark.log.rows import DocRow, IncarnationRow, InviteRow, StationRow
from traymark.log.store import Store
from traymark.log.verify import verify
from traymark.stations.incarnations import give_incarnation
from traymark.stations.invites import VALID_MS, make_invite
from traymark.stations.join import Joined, join
from traymark.stations.join_qr import svg_qr, terminal_qr
from traymark.stations.registry import MOST_OF_STATION, all_stations, has_stations, new_incarnation, revoke
from traymark.stations.tokens import new_join_code, read_join_code

START_MS = 1_800_000_000_000


class Clock:
    """A clock that stands still until it is moved."""

    def __init__(self) -> None:
        self.now_ms = START_MS

    def __call__(self) -> int:
        return self.now_ms


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def client(tmp_path: Path, clock: Clock) -> Iterator[TestClient]:
    # https, because a client keeps a Secure cookie for nothing else.
    with TestClient(create_app(Settings(data_dir=tmp_path), clock), base_url="https://testserver.local") as opened:
        begin_shop(store_of(opened), "Etc/UTC")
        yield opened


def store_of(client: TestClient) -> Store:
    return client.app.state.store


def enrol(client: TestClient, role: str = "lead", name: str = "Desk") -> dict[str, str]:
    """Join this client with a fresh code."""
    code = make_invite(store_of(client), name, role, client.app.state.clock()).code
    answer = client.post("/api/join", json={"code": code})
    assert answer.status_code == 200, answer.text
    return answer.json()


def slug(answer) -> str:  # noqa: ANN001  # httpx.Response
    assert answer.headers["content-type"].startswith("application/problem+json")
    return answer.json()["type"].removeprefix("/problems/")


def test_a_code_joins_a_browser_and_gives_it_station_role_and_incarnation(client: TestClient) -> None:
    joined = enrol(client, "bench", "Bench one")
    assert joined["station"][0] == "S" and len(joined["station"]) == 4 and len(joined["incarnation"]) == 3
    assert (joined["role"], joined["name"], joined["shop_name"]) == ("bench", "Bench one", "My shop")
    me = client.get("/api/station").json()
    assert (me["station"], me["role"], me["now_ms"]) == (joined["station"], "bench", START_MS)


def test_the_cookie_is_kept_from_scripts_other_sites_and_plain_connections(client: TestClient) -> None:
    code = make_invite(store_of(client), "", "bench", START_MS).code
    header = client.post("/api/join", json={"code": code}).headers["set-cookie"]
    name, _, rest = header.partition("=")
    assert name == COOKIE == "__Host-traymark"
    attributes = {part.strip().lower() for part in rest.split(";")[1:]}
    assert {"httponly", "secure", "samesite=strict", "path=/"} <= attributes
    assert not any(a.startswith("domain") for a in attributes)
    assert len(rest.split(";")[0]) >= 43, "256 bits in base64"


def test_neither_code_nor_cookie_is_in_the_database(client: TestClient, tmp_path: Path) -> None:
    code = make_invite(store_of(client), "", "bench", START_MS).code
    client.post("/api/join", json={"code": code})
    token = client.cookies[COOKIE]
    files = b"".join(p.read_bytes() for p in tmp_path.iterdir() if p.is_file())
    for secret in (code, code.replace("-", ""), token):
        assert secret.encode() not in files
    with store_of(client).database.read() as connection:
        assert len(connection.execute(select(StationRow.token_hash)).scalar_one()) == 64


def test_a_code_works_once(client: TestClient) -> None:
    code = make_invite(store_of(client), "", "bench", START_MS).code
    assert client.post("/api/join", json={"code": code}).status_code == 200
    again = client.post("/api/join", json={"code": code})
    assert (again.status_code, slug(again)) == (403, "join-code-unknown")


def test_a_code_expires_after_ten_minutes_and_not_before(client: TestClient, clock: Clock) -> None:
    early, late = (make_invite(store_of(client), "", "bench", START_MS).code for _ in range(2))
    clock.now_ms = START_MS + VALID_MS - 1
    assert client.post("/api/join", json={"code": early}).status_code == 200
    clock.now_ms += 1
    answer = client.post("/api/join", json={"code": late})
    assert VALID_MS == 600_000 and (answer.status_code, slug(answer)) == (403, "join-code-expired")


def test_a_typed_code_is_forgiven_case_spaces_and_look_alikes(client: TestClient) -> None:
    code = make_invite(store_of(client), "", "bench", START_MS).code
    typed = code.lower().replace("-", " ").replace("0", "o").replace("1", "l")
    assert client.post("/api/join", json={"code": f" {typed} "}).status_code == 200


@pytest.mark.parametrize("code", ["", "ABC", "0" * 10, "UUUUU-UUUUU", "x" * 40])
def test_malformed_code_is_answered_like_an_unknown_one(client: TestClient, code: str) -> None:
    answer = client.post("/api/join", json={"code": code})
    assert (answer.status_code, slug(answer)) == (403, "join-code-unknown")


def test_a_malformed_request_is_refused_with_a_pointer(client: TestClient) -> None:
    answer = client.post("/api/join", json={"code": 5})
    assert (answer.status_code, slug(answer)) == (400, "bad-field")
    assert answer.json()["errors"][0]["pointer"] == "/code"
    assert slug(client.post("/api/join", json={"code": "x", "extra": 1})) == "unknown-field"


def test_guessing_from_one_address_is_slowed_down_and_says_how_long(client: TestClient, clock: Clock) -> None:
    answers = [client.post("/api/join", json={"code": "00000-00000"}) for _ in range(11)]
    assert [a.status_code for a in answers] == [403] * 10 + [429]
    assert slug(answers[-1]) == "rate-limited" and answers[-1].headers["retry-after"] == "6"
    clock.now_ms += 6_000
    assert client.post("/api/join", json={"code": "00000-00000"}).status_code == 403
    assert client.post("/api/join", json={"code": "00000-00000"}).status_code == 429


def test_joining_again_with_the_cookie_keeps_the_station_and_takes_the_new_role(client: TestClient) -> None:
    first = enrol(client, "bench", "Bench one")
    old_token = client.cookies[COOKIE]
    second = enrol(client, "lead", "")
    assert second["station"] == first["station"] and second["incarnation"] != first["incarnation"]
    assert (second["role"], second["name"]) == ("lead", "Bench one")
    client.cookies[COOKIE] = old_token
    assert slug(client.get("/api/station")) == "station-unknown", "the old token opens nothing"


def test_a_station_taken_out_is_shut_out_until_it_joins_again_as_itself(client: TestClient) -> None:
    lead = enrol(client, "lead")
    assert client.post(f"/api/stations/{lead['station']}/revoke").status_code == 200
    answer = client.get("/api/station")
    assert (answer.status_code, slug(answer)) == (401, "station-revoked")
    assert enrol(client, "bench")["station"] == lead["station"]
    assert client.get("/api/station").json()["role"] == "bench"


def test_a_lead_invites_and_the_link_leads_to_the_join_screen(client: TestClient, clock: Clock) -> None:
    enrol(client, "lead")
    invite = client.post("/api/invites", json={"name": "Bench two", "role": "bench"})
    assert invite.status_code == 201
    body = invite.json()
    assert body["url"] == f"https://testserver.local/#/join/{body['code']}"
    assert body["expires_at_ms"] == clock() + VALID_MS and body["qr_svg"].startswith("<svg ")
    client.cookies.clear()
    joined = client.post("/api/join", json={"code": body["code"], "name": "Window bench"}).json()
    assert (joined["role"], joined["name"]) == ("bench", "Window bench")


@pytest.mark.parametrize(
    ("method", "path"),
    [("POST", "/api/invites"), ("GET", "/api/stations"), ("POST", "/api/stations/S000/revoke")],
)
def test_only_a_leads_station_manages_stations(client: TestClient, method: str, path: str) -> None:
    body = {"name": "x", "role": "bench"} if path == "/api/invites" else None
    assert slug(client.request(method, path, json=body)) == "station-unknown"
    enrol(client, "bench")
    answer = client.request(method, path, json=body)
    assert (answer.status_code, slug(answer)) == (403, "not-allowed")


def test_the_list_of_stations_shows_names_roles_and_who_is_out_but_no_secret(client: TestClient, clock: Clock) -> None:
    bench = enrol(client, "bench", "Bench one")
    client.cookies.clear()
    clock.now_ms += 1
    lead = enrol(client, "lead", "Office")
    client.post(f"/api/stations/{bench['station']}/revoke")
    rows = client.get("/api/stations").json()
    assert [(r["id"], r["name"], r["role"], r["revoked_at_ms"]) for r in rows] == [
        (bench["station"], "Bench one", "bench", START_MS + 1),
        (lead["station"], "Office", "lead", None),
    ]
    assert set(rows[0]) == {"id", "name", "role", "created_at_ms", "revoked_at_ms", "last_event_at_ms"}


def test_taking_out_an_unknown_station_is_refused(client: TestClient) -> None:
    enrol(client, "lead")
    answer = client.post("/api/stations/S000/revoke")
    assert (answer.status_code, slug(answer)) == (404, "not-found")


def test_a_station_gets_new_incarnations_but_not_without_limit(client: TestClient) -> None:
    joined = enrol(client, "bench")
    given = client.post("/api/station/incarnation", json={"reason": "forked"}).json()["incarnation"]
    assert given != joined["incarnation"]
    store = store_of(client)
    for _ in range(MOST_OF_STATION - 2):
        new_incarnation(store, joined["station"])
    answer = client.post("/api/station/incarnation", json={"reason": "forked"})
    assert (answer.status_code, slug(answer)) == (429, "rate-limited")


def test_another_sites_page_cannot_spend_a_code(client: TestClient) -> None:
    code = make_invite(store_of(client), "", "lead", START_MS).code
    answer = client.post("/api/join", json={"code": code}, headers={"Origin": "https://elsewhere.example"})
    assert answer.status_code == 403
    assert client.post("/api/join", json={"code": code}).status_code == 200


def test_the_last_free_incarnation_is_still_found_and_none_is_given_twice(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("traymark.letters.ALPHABET", "AB")
    store = Store(tmp_path / "s.sqlite")
    with store.database.write() as connection:
        given = [give_incarnation(connection, "S000") for _ in range(8)]
    assert sorted(given) == ["AAA", "AAB", "ABA", "ABB", "BAA", "BAB", "BBA", "BBB"]
    with store.database.read() as connection:
        assert list(connection.execute(select(IncarnationRow.prefix).order_by(IncarnationRow.id)).scalars()) == given
    store.close()


def test_one_code_spent_twice_at_the_same_time_makes_one_station(tmp_path: Path) -> None:
    from concurrent.futures import ThreadPoolExecutor

    store = Store(tmp_path / "s.sqlite")
    code = make_invite(store, "", "bench", START_MS).code
    with ThreadPoolExecutor(8) as pool:
        answers = list(pool.map(lambda _: join(store, code, "", None, START_MS), range(8)))
    assert sum(isinstance(a, Joined) for a in answers) == 1
    assert has_stations(store) and len(all_stations(store)) == 1
    store.close()


def test_taking_out_twice_keeps_the_time_of_the_first(tmp_path: Path) -> None:
    store = Store(tmp_path / "s.sqlite")
    joined = join(store, make_invite(store, "", "bench", START_MS).code, "", None, START_MS)
    assert isinstance(joined, Joined)
    assert revoke(store, joined.station, 5) is None and revoke(store, joined.station, 9) is None
    assert all_stations(store)[0].revoked_at_ms == 5
    store.close()


def test_codes_have_ten_letters_in_two_groups_and_differ() -> None:
    codes = {new_join_code() for _ in range(200)}
    assert len(codes) == 200 and all(len(c) == 11 and c[5] == "-" and read_join_code(c) for c in codes)


def test_the_rate_limit_forgets_the_oldest_address_and_not_the_others() -> None:
    now = [0]
    limit = RateLimit(1, 1000, lambda: now[0])
    assert limit.wait_ms("first") == 0 and limit.wait_ms("first") == 1000
    for n in range(4096):
        limit.wait_ms(f"other {n}")
    assert limit.wait_ms("first") == 0
    assert limit.wait_ms("other 4095") == 1000


def test_the_qr_code_of_a_link_reads_back_as_the_link() -> None:
    import zxingcpp
    from PIL import Image

    link = "https://192.168.7.20:8443/#/join/7K2AB-9XYZQ"
    lines = terminal_qr(link).splitlines()
    rows: list[list[int]] = []
    for line in lines:
        # A half block shows two rows: upper and lower. Inverted, what is printed is light.
        upper = [255 if c in "█▀" else 0 for c in line.replace("\xa0", " ")]
        lower = [255 if c in "█▄" else 0 for c in line.replace("\xa0", " ")]
        rows += [upper, lower]
    width = max(map(len, rows))
    image = Image.new("L", (width, len(rows)), 255)
    image.putdata([v for row in rows for v in [*row, *[255] * (width - len(row))]])
    read = zxingcpp.read_barcodes(image.resize((width * 6, len(rows) * 6), Image.Resampling.NEAREST))
    assert [r.text for r in read] == [link]
    assert svg_qr(link).count("M") > 300


def test_an_empty_shop_begins_with_documents_and_keeps_what_a_lead_changed(tmp_path: Path) -> None:
    from traymark.docs.keep import get_doc, put_doc

    store = Store(tmp_path / "s.sqlite")
    written = begin_shop(store, "Etc/UTC")
    assert {"shop", "catalogue", "procedure:quillet5-display.1"} <= set(written)
    assert shop_settings(store)["customer_page"] == "off"
    doc = get_doc(store, "shop")
    assert doc is not None
    put_doc(store, "shop", "settings", shop_settings(store) | {"shop_name": "Corner bench"}, doc.rev)
    assert begin_shop(store, "Etc/UTC") == []
    assert shop_settings(store)["shop_name"] == "Corner bench"
    store.close()


def test_the_machines_time_zone_is_found_by_its_name(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("traymark.docs.shop.get_localzone_name", lambda: "Africa/Nairobi")
    assert host_time_zone() == "Africa/Nairobi"
    monkeypatch.setattr("traymark.docs.shop.get_localzone_name", lambda: "Nowhere/Atlantis")
    assert host_time_zone() == "Etc/UTC"


def test_an_invite_row_is_marked_as_spent_and_not_deleted(client: TestClient) -> None:
    enrol(client)
    with store_of(client).database.read() as connection:
        assert connection.execute(select(InviteRow.used_at_ms)).scalar_one() == START_MS


def station_docs(client: TestClient, after: int = 0) -> dict[str, dict[str, object]]:
    docs = client.get("/api/docs", params={"after": after}).json()["docs"]
    return {d["id"]: d["body"] for d in docs if d["kind"] == "station"}


def test_stations_know_each_others_names_even_of_those_that_are_gone(client: TestClient) -> None:
    bench = enrol(client, "bench", "Bench one")["station"]
    cookie = client.cookies[COOKIE]
    client.cookies.clear()
    lead = enrol(client, "lead", "Office")["station"]
    office = client.cookies[COOKIE]
    names = {f"station:{bench}": {"name": "Bench one", "taken_out": False},
             f"station:{lead}": {"name": "Office", "taken_out": False}}  # fmt: skip
    assert station_docs(client) == names, "and neither role nor token"
    rev = client.get("/api/docs").json()["rev"]
    client.post(f"/api/stations/{bench}/revoke")
    client.post(f"/api/stations/{bench}/revoke")
    assert station_docs(client, rev) == {f"station:{bench}": {"name": "Bench one", "taken_out": True}}
    assert client.get("/api/docs").json()["rev"] == rev + 1, "twice changes nothing"
    # Joining again under another name is how a station is renamed.
    client.cookies[COOKIE] = cookie
    code = make_invite(store_of(client), "", "bench", START_MS).code
    client.post("/api/join", json={"code": code, "name": "Window bench"})
    client.cookies[COOKIE] = office
    assert station_docs(client, rev + 1) == {f"station:{bench}": {"name": "Window bench", "taken_out": False}}


def test_only_the_server_writes_the_document_of_a_station(client: TestClient) -> None:
    lead = enrol(client, "lead", "Office")["station"]
    for kind in ("station", "settings", "contact"):
        answer = client.put(f"/api/docs/station:{lead}", json={"kind": kind, "body": {"name": "Mine"}, "base_rev": 1})
        assert (answer.status_code, slug(answer)) == (400, "bad-field"), kind
        assert client.put(f"/api/docs/station:{lead}", json={"kind": kind, "body": None}).status_code == 400, kind
    assert station_docs(client) == {f"station:{lead}": {"name": "Office", "taken_out": False}}


def test_a_server_writes_documents_for_stations_that_joined_before_there_were_any(client: TestClient) -> None:
    lead = enrol(client, "lead", "Office")["station"]
    store = store_of(client)
    with store.database.write() as connection:
        connection.execute(delete(DocRow).where(DocRow.id == f"station:{lead}"))
    assert station_docs(client) == {}
    tell_stations(store)
    rev = last_rev(store)
    tell_stations(store)
    assert station_docs(client) == {f"station:{lead}": {"name": "Office", "taken_out": False}}
    assert last_rev(store) == rev
    assert verify(store) == []
