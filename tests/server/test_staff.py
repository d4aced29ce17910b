"""Staff and badges: shown once, kept as a hash, made by a lead's station (F1.5)."""

from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path
from typing import Any

import msgspec
import pytest
from litestar.testing import TestClient

from traymark.app import create_app
from traymark.config import Settings
from traymark.docs.keep import get_doc, put_doc
from traymark.log.store import Store
from traymark.stations.invites import make_invite
from traymark_labels.codes import parse_code
from traymark_labels.rejected import Rejected

START_MS = 1_800_000_000_000


@pytest.fixture
def client(tmp_path: Path) -> Iterator[TestClient[Any]]:
    app = create_app(Settings(data_dir=tmp_path), lambda: START_MS)
    with TestClient(app, base_url="https://testserver.local") as opened:
        yield opened


def store_of(client: TestClient[Any]) -> Store:
    return client.app.state.store


def enrol(client: TestClient[Any], role: str) -> None:
    code = make_invite(store_of(client), "", role, START_MS).code
    assert client.post("/api/join", json={"code": code}).status_code == 200


def slug(answer: Any) -> str:
    return answer.json()["type"].removeprefix("/problems/")


def body_of(client: TestClient[Any], staff: str) -> dict[str, Any]:
    doc = get_doc(store_of(client), f"staff:{staff}")
    assert doc is not None and doc.body is not None
    return msgspec.json.decode(doc.body)


def test_a_lead_adds_the_first_member_and_is_shown_the_badge(client: TestClient[Any]) -> None:
    enrol(client, "lead")
    answer = client.post("/api/staff", json={"name": " Ombra ", "role": "lead"})
    assert answer.status_code == 201
    made = answer.json()
    read = parse_code(made["badge"])
    assert not isinstance(read, Rejected) and read.staff_id == made["staff"] and len(made["badge"]) == 20
    body = body_of(client, made["staff"])
    assert (body["name"], body["role"]) == ("Ombra", "lead")
    assert body["badge_hash"] == sha256(f"{body['badge_salt']}:{made['badge']}".encode()).hexdigest()


def test_the_badge_is_in_no_document_and_in_no_file(client: TestClient[Any], tmp_path: Path) -> None:
    enrol(client, "lead")
    badge = client.post("/api/staff", json={"name": "Ombra", "role": "lead"}).json()["badge"]
    assert badge not in client.get("/api/docs").text
    assert all(badge.encode() not in p.read_bytes() for p in tmp_path.iterdir() if p.is_file())


def test_two_members_of_one_name_have_their_own_id_badge_and_salt(client: TestClient[Any]) -> None:
    enrol(client, "lead")
    one, two = (client.post("/api/staff", json={"name": "Pell", "role": "bench"}).json() for _ in range(2))
    assert one["staff"] != two["staff"] and one["badge"][4:] != two["badge"][4:]
    assert body_of(client, one["staff"])["badge_salt"] != body_of(client, two["staff"])["badge_salt"]


@pytest.mark.parametrize("role", ["counter", "bench", "shipping"])
def test_only_a_leads_station_adds_staff(client: TestClient[Any], role: str) -> None:
    assert slug(client.post("/api/staff", json={"name": "Pell", "role": "lead"})) == "station-unknown"
    enrol(client, role)
    answer = client.post("/api/staff", json={"name": "Pell", "role": "lead"})
    assert (answer.status_code, slug(answer)) == (403, "not-allowed")


@pytest.mark.parametrize(
    ("body", "pointer"),
    [
        ({"name": "", "role": "lead"}, "/name"),
        ({"name": "   ", "role": "lead"}, "/name"),
        ({"name": "a\nb", "role": "lead"}, "/name"),
        ({"name": "x" * 81, "role": "lead"}, "/name"),
        ({"name": "Pell", "role": "owner"}, "/role"),
    ],
)
def test_a_name_or_role_that_does_not_fit_is_refused_with_a_pointer(
    client: TestClient[Any], body: dict[str, str], pointer: str
) -> None:
    enrol(client, "lead")
    answer = client.post("/api/staff", json=body)
    assert answer.status_code == 400 and answer.json()["errors"][0]["pointer"] == pointer


def test_a_lost_badge_is_replaced_and_the_old_one_no_longer_fits(client: TestClient[Any]) -> None:
    enrol(client, "lead")
    first = client.post("/api/staff", json={"name": "Pell", "role": "bench"}).json()
    second = client.post(f"/api/staff/{first['staff']}/badge").json()
    body = body_of(client, first["staff"])
    assert second["staff"] == first["staff"] and (body["name"], body["role"]) == ("Pell", "bench")
    hashes = [sha256(f"{body['badge_salt']}:{b}".encode()).hexdigest() for b in (first["badge"], second["badge"])]
    assert [h == body["badge_hash"] for h in hashes] == [False, True]


def test_no_badge_is_made_for_somebody_unknown(client: TestClient[Any]) -> None:
    enrol(client, "lead")
    assert client.post("/api/staff/W000/badge").status_code == 404


def test_the_id_of_somebody_who_left_is_not_reused(client: TestClient[Any], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("traymark.letters.ALPHABET", "AB")
    enrol(client, "lead")
    staff = [client.post("/api/staff", json={"name": "Pell", "role": "bench"}).json()["staff"] for _ in range(7)]
    doc = get_doc(store_of(client), f"staff:{staff[0]}")
    assert doc is not None
    put_doc(store_of(client), doc.id, "staff", None, doc.rev)
    last = client.post("/api/staff", json={"name": "New", "role": "bench"}).json()["staff"]
    assert last not in staff and len({*staff, last}) == 8
