"""The command line as a person uses it: a separate process, its output, its exit codes."""

import json
import re
import signal
import sqlite3
import ssl
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from shutil import copytree

import pytest
import zxingcpp
from PIL import Image

from tests.server.command import LINK, Command, join, run
from tests.server_process import ServerProcess
from traymark.__main__ import main
from traymark_labels import mint


@pytest.fixture
def running() -> Iterator[list[Command]]:
    """Commands to be ended with the test, however it went."""
    commands: list[Command] = []
    yield commands
    for command in commands:
        if command.process.poll() is None:
            command.process.kill()
            command.process.wait()


@pytest.fixture
def port() -> str:
    return str(ServerProcess(Path("unused")).port)


def test_a_first_start_prints_the_join_link_as_text_and_as_a_code_that_reads_back(
    tmp_path: Path, port: str, running: list[Command]
) -> None:
    server = Command("serve", "--host", "127.0.0.1", "--port", port, cwd=tmp_path)
    running.append(server)
    said = server.until("Stop with Ctrl-C")
    link = LINK.search(said)
    assert link is not None and link[1] == f"http://localhost:{port}"
    assert qr_of(said) == link[0]
    assert (tmp_path / "traymark-data" / "traymark.sqlite").is_file(), "the default folder"
    assert server.stop() == 0


def test_a_restart_prints_a_new_link_only_until_somebody_has_joined(
    tmp_path: Path, port: str, running: list[Command]
) -> None:
    arguments = ("serve", "--data", "shop", "--host", "127.0.0.1", "--port", port)
    first = Command(*arguments, cwd=tmp_path)
    running.append(first)
    first_link = LINK.search(first.until("Stop with Ctrl-C"))
    assert first.stop() == 0
    second = Command(*arguments, cwd=tmp_path)
    running.append(second)
    second_link = LINK.search(second.until("Stop with Ctrl-C"))
    assert first_link and second_link and first_link[2] != second_link[2]
    join(f"http://127.0.0.1:{port}", second_link[2])
    assert second.stop() == 0
    third = Command(*arguments, cwd=tmp_path)
    running.append(third)
    assert LINK.search(third.until("Stop with Ctrl-C")) is None
    assert third.stop() == 0


def test_enrol_prints_a_link_that_joins_while_the_server_runs(
    tmp_path: Path, port: str, running: list[Command]
) -> None:
    server = Command("serve", "--data", "shop", "--host", "127.0.0.1", "--port", port, cwd=tmp_path)
    running.append(server)
    server.until("Stop with Ctrl-C")
    asked = run("enrol", "--data", "shop", "--role", "shipping", "--name", "Packing table", cwd=tmp_path)
    link = LINK.search(asked.stdout)
    assert asked.returncode == 0 and link is not None and "Join as shipping" in asked.stdout
    assert qr_of(asked.stdout) == link[0]
    cookie = join(f"http://127.0.0.1:{port}", link[2])
    request = urllib.request.Request(f"http://127.0.0.1:{port}/api/station", headers={"Cookie": cookie})
    with urllib.request.urlopen(request, timeout=10) as answer:
        me = json.load(answer)
    assert (me["role"], me["name"]) == ("shipping", "Packing table")
    assert server.stop() == 0


def test_on_the_shops_network_it_serves_https_that_only_a_client_with_the_authority_trusts(
    tmp_path: Path, port: str, running: list[Command]
) -> None:
    server = Command("serve", "--data", "shop", "--port", port, cwd=tmp_path)
    running.append(server)
    said = server.until("Stop with Ctrl-C")
    link = LINK.search(said)
    assert link is not None and link[1].startswith("https://")
    url = f"https://localhost:{port}"
    trusting = ssl.create_default_context(cafile=tmp_path / "shop" / "tls" / "authority.crt")
    with urllib.request.urlopen(f"{url}/api/health", timeout=10, context=trusting) as answer:
        assert json.load(answer)["ok"] is True
        assert "max-age" in answer.headers["Strict-Transport-Security"]
    with pytest.raises(urllib.error.URLError, match="self-signed certificate in certificate chain"):
        urllib.request.urlopen(f"{url}/api/health", timeout=10, context=ssl.create_default_context())
    # The phone's way: it fetches the authority before it trusts it, and the page shows the printed fingerprint.
    doubting = ssl._create_unverified_context()  # noqa: S323  # as a phone does on its first visit
    with urllib.request.urlopen(f"{url}/trust/authority.crt", timeout=10, context=doubting) as answer:
        fetched = ssl.DER_cert_to_PEM_cert(answer.read())
    assert fetched == (tmp_path / "shop" / "tls" / "authority.crt").read_text()
    with urllib.request.urlopen(f"{url}/trust", timeout=10, context=doubting) as answer:
        fingerprint = re.search(r"(?:[0-9A-F]{2}:){31}[0-9A-F]{2}", said)
        assert fingerprint is not None and fingerprint[0] in answer.read().decode()
    assert join(url, link[2], trusting).startswith("__Host-traymark=")
    assert server.stop(signal.SIGTERM) == 0


def test_the_shops_own_certificate_is_used_and_no_authority_is_made(
    tmp_path: Path, port: str, running: list[Command]
) -> None:
    from datetime import UTC, datetime

    from traymark.tls.host_names import find_host_names
    from traymark.tls.tls_files import ready_tls_files

    files = ready_tls_files(tmp_path / "own", find_host_names(), datetime.now(UTC))
    pair = ("--certificate", str(files.server), "--key", str(files.server))
    server = Command("serve", "--data", "shop", "--port", port, *pair, cwd=tmp_path)
    running.append(server)
    server.until("Stop with Ctrl-C")
    trusting = ssl.create_default_context(cafile=files.authority)
    with urllib.request.urlopen(f"https://localhost:{port}/api/health", timeout=10, context=trusting) as answer:
        assert answer.status == 200
    assert not (tmp_path / "shop" / "tls").exists()
    assert server.stop() == 0


@pytest.mark.parametrize("how", [signal.SIGINT, signal.SIGTERM])
def test_the_demo_stops_cleanly_although_a_news_stream_is_open(
    filled_demo: Path, tmp_path: Path, port: str, running: list[Command], how: int
) -> None:
    copytree(filled_demo, tmp_path / "traymark-demo")
    demo = Command("demo", "--port", port, cwd=tmp_path)
    running.append(demo)
    said = demo.until("Stop with Ctrl-C")
    link = LINK.search(said)
    assert link is not None and link[1] == f"http://localhost:{port}"
    cookie = join(f"http://127.0.0.1:{port}", link[2])
    request = urllib.request.Request(f"http://127.0.0.1:{port}/api/sync/stream", headers={"Cookie": cookie})
    with urllib.request.urlopen(request, timeout=10) as stream:
        assert stream.readline().strip() == b"event: news"
        assert demo.stop(how) == 0
    checked = run("verify", "--data", "traymark-demo", cwd=tmp_path)
    assert checked.returncode == 0 and checked.stdout.startswith("all sound: ")


def test_the_demo_describes_itself_truly_and_starts_over_only_when_asked(
    filled_demo: Path, tmp_path: Path, port: str, running: list[Command]
) -> None:
    copytree(filled_demo, tmp_path / "look")
    badges = badges_in(tmp_path / "look")
    before = events_in(tmp_path / "look")
    assert badges and before > 1000

    def start(*more: str) -> str:
        demo = Command("demo", "--data", "look", "--port", port, *more, cwd=tmp_path)
        running.append(demo)
        said = demo.until("Stop with Ctrl-C")
        assert demo.stop() == 0
        return said

    said = start()
    sheet = re.search(r"labels: (\S+)", said)
    assert sheet is not None and Path(sheet[1]).is_file()
    assert events_in(tmp_path / "look") == before
    assert badges_in(tmp_path / "look") == badges
    start("--fresh")
    assert badges_in(tmp_path / "look") != badges


def test_the_demo_empties_only_its_own_folder(tmp_path: Path, port: str) -> None:
    (tmp_path / "photos").mkdir()
    (tmp_path / "photos" / "holiday.txt").write_text("mine")
    asked = run("demo", "--data", "photos", "--fresh", "--port", port, cwd=tmp_path)
    assert asked.returncode == 1 and "not the folder of a demo" in asked.stderr
    assert (tmp_path / "photos" / "holiday.txt").read_text() == "mine"


def test_a_demo_interrupted_while_it_was_filled_is_begun_again(
    tmp_path: Path, port: str, running: list[Command]
) -> None:
    (tmp_path / "look").mkdir()
    (tmp_path / "look" / "demo.json").write_text('{"made_at_ms": 1, "is_complete": false}')
    (tmp_path / "look" / "traymark.sqlite").write_bytes(b"")
    demo = Command("demo", "--data", "look", "--port", port, cwd=tmp_path)
    running.append(demo)
    demo.until("Stop with Ctrl-C")
    assert demo.stop() == 0 and events_in(tmp_path / "look") > 1000


def test_a_second_server_on_the_same_folder_is_refused_in_plain_words(
    tmp_path: Path, port: str, running: list[Command]
) -> None:
    server = Command("serve", "--data", "shop", "--host", "127.0.0.1", "--port", port, cwd=tmp_path)
    running.append(server)
    server.until("Stop with Ctrl-C")
    other = str(ServerProcess(Path("unused")).port)
    second = run("serve", "--data", "shop", "--host", "127.0.0.1", "--port", other, cwd=tmp_path)
    assert second.returncode == 1 and "stop it first" in second.stderr and "Traceback" not in second.stderr
    same = run("serve", "--data", "else", "--host", "127.0.0.1", "--port", port, cwd=tmp_path)
    assert same.returncode == 1 and "choose another with --port" in same.stderr
    rebuild = run("rebuild", "--data", "shop", cwd=tmp_path)
    assert rebuild.returncode == 1 and "stop it first" in rebuild.stderr
    assert server.stop() == 0


@pytest.fixture
def shop(filled_demo: Path, tmp_path: Path) -> Path:
    """A folder with the invented shop in it, not served."""
    return copytree(filled_demo, tmp_path / "shop")


def test_verify_counts_what_is_sound_and_names_what_is_not(shop: Path) -> None:
    sound = run("verify", "--data", "shop", cwd=shop.parent)
    assert sound.returncode == 0 and re.match(r"all sound: \d{4} events, 5 chains, ", sound.stdout), sound.stdout
    with closing(sqlite3.connect(shop / "traymark.sqlite", isolation_level=None)) as database:
        [raw] = database.execute("SELECT raw FROM event WHERE position = 40").fetchone()
        changed = raw.replace(b'"seq":', b'"seq" :')
        assert changed != raw
        database.execute("UPDATE event SET raw = ? WHERE position = 40", (changed,))
    broken = run("verify", "--data", "shop", cwd=shop.parent)
    assert broken.returncode == 1 and "faults in" in broken.stdout and "all sound" not in broken.stdout


def test_rebuild_says_what_it_did_and_that_the_state_is_the_same(shop: Path) -> None:
    same = run("rebuild", "--data", "shop", cwd=shop.parent)
    assert same.returncode == 0
    assert re.search(r"read \d{4} events again", same.stdout)
    assert re.search(r"state before and after: [0-9a-f]{64}", same.stdout)


def test_rebuild_reports_a_wrong_stored_state_and_repairs_it(shop: Path) -> None:
    with closing(sqlite3.connect(shop / "traymark.sqlite", isolation_level=None)) as database:
        database.execute("DELETE FROM record WHERE collection = 'job'")
    assert run("verify", "--data", "shop", cwd=shop.parent).returncode == 1
    mended = run("rebuild", "--data", "shop", cwd=shop.parent)
    assert mended.returncode == 1 and "It is now." in mended.stdout
    assert run("verify", "--data", "shop", cwd=shop.parent).returncode == 0


@pytest.mark.parametrize("command", ["enrol", "verify", "rebuild"])
def test_a_command_on_a_folder_without_a_shop_makes_none(tmp_path: Path, command: str) -> None:
    asked = run(command, "--data", "nothing", cwd=tmp_path)
    assert asked.returncode == 1 and "there is no shop in nothing" in asked.stderr
    assert not (tmp_path / "nothing").exists()


def test_a_misspelt_setting_stops_the_command(tmp_path: Path) -> None:
    asked = run("verify", cwd=tmp_path, TRAYMARK_PROT="80")
    assert asked.returncode == 2 and "TRAYMARK_PROT" in asked.stderr


def test_a_label_is_drawn_into_a_file(tmp_path: Path) -> None:
    tray = mint("T", "7K2", 1).code
    drawn = run("label", "tray", f"code={tray}", "--out", "t.png", "--dpi", "300", cwd=tmp_path)
    assert drawn.returncode == 0, drawn.stderr
    assert [r.text for r in zxingcpp.read_barcodes(Image.open(tmp_path / "t.png").convert("L"))] == [tray]
    assert run("label", "tray", f"code={tray}", "--out", "t.pdf", cwd=tmp_path).returncode == 0
    assert (tmp_path / "t.pdf").read_bytes().startswith(b"%PDF-")


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("tray",), "code"),
        (("tray", "code=T7K2000010"), "code"),
        (("tray", "colour=red"), "colour"),
        (("tray", "code"), "NAME=VALUE"),
        (("box", "count=many"), "count"),
        (("tray", "--out", "t.gif"), ".png or .pdf"),
    ],
)
def test_a_label_that_cannot_be_drawn_says_which_fields_there_are(
    tmp_path: Path,
    arguments: tuple[str, ...],
    said: str,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["label", *arguments]) == 2
    assert said in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    "arguments", [[], ["sing"], ["serve", "--port", "0"], ["enrol", "--role", "owner"], ["label", "poster"]]
)
def test_wrong_usage_exits_with_2(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main(arguments)
    assert ended.value.code == 2 and "usage: traymark" in capsys.readouterr().err


def events_in(folder: Path) -> int:
    with closing(sqlite3.connect(folder / "traymark.sqlite")) as database:
        return database.execute("SELECT count(*) FROM event").fetchone()[0]


def badges_in(folder: Path) -> list[bytes]:
    return [path.read_bytes() for path in sorted((folder / "labels").glob("badge-*.png"))]


def qr_of(said: str) -> str:
    """What a camera reads from the half blocks on a dark terminal, where a block is light."""
    lines = [line for line in said.splitlines() if "█" in line or "▀" in line]
    width = max(map(len, lines))
    image = Image.new("L", (width, 2 * len(lines)), 0)
    for y, line in enumerate(lines):
        for x, letter in enumerate(line):
            image.putpixel((x, 2 * y), 255 if letter in "█▀" else 0)
            image.putpixel((x, 2 * y + 1), 255 if letter in "█▄" else 0)
    [read] = zxingcpp.read_barcodes(image.resize((width * 6, 2 * len(lines) * 6), Image.Resampling.NEAREST))
    return read.text
