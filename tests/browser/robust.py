"""What tests of failures share: the log as stored, copies of a station's storage, notes on a job."""

import json
import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, TypeVar

from playwright.sync_api import expect

from tests.browser.person import Person, read_code
from tests.browser.shop import Shop
from tests.notation import heads_in_notation, log_in_notation
from traymark.log.store import Store

T = TypeVar("T")


@dataclass(frozen=True)
class Stored:
    """An event as the server holds it. `event` is None for a malformed one."""

    position: int
    incarnation: str
    seq: int
    kind: str | None
    event: dict[str, Any] | None

    @property
    def id(self) -> str:
        return f"{self.incarnation}.{self.seq}"


def with_store(shop: Shop, use: Callable[[Store], T]) -> T:
    """Look into the server's data while it runs, or when it is stopped."""
    store = Store(shop.server.data_dir / "traymark.sqlite", sole_writer=False)
    try:
        return use(store)
    finally:
        store.close()


def log_of(shop: Shop) -> list[Stored]:
    """The whole log in order."""

    def read(store: Store) -> list[Stored]:
        with store.database.read() as connection:
            rows = connection.exec_driver_sql(
                "SELECT position, incarnation, seq, kind, raw FROM event ORDER BY position"
            )
            return [Stored(r[0], r[1], r[2], r[3], None if r[3] is None else json.loads(r[4])) for r in rows]

    return with_store(shop, read)


def chains_in_notation(shop: Shop, *chains: str) -> str:
    """These chains of the server's log and what is kept apart, in the notation of FORMAT F10."""

    def read(store: Store) -> str:
        with store.database.read() as connection:
            rows = connection.exec_driver_sql("SELECT incarnation, seq, raw FROM event ORDER BY position").all()
            apart = connection.exec_driver_sql("SELECT raw FROM fork ORDER BY id").all()
            return log_in_notation([(r[0], r[1], r[2]) for r in rows if r[0] in chains], [row[0] for row in apart])

    return with_store(shop, read)


def heads_of(shop: Shop, thing: str) -> str:
    """Where the server has a thing, in the notation of FORMAT F10."""
    return with_store(shop, lambda store: heads_in_notation(store.record("thing", thing) or {"heads": {}}))


def a_job(shop: Shop, stage: str = "ready") -> str:
    """A job of the demo at this stage."""
    codes = [e.event["job"] for e in log_of(shop) if e.kind == "job.booked" and e.event]
    return next(code for code in codes if shop.job(code)["stage"] == stage)


def notes_of(shop: Shop, job: str) -> list[str]:
    """The notes of a job in the order of the server's record."""
    return [shop.said(note["note"]) for note in shop.job(job)["notes"]]


def note(person: Person, job: str, text: str) -> None:
    """Write a note; on return the station has shown that it is saved."""
    person.open(f"job/{job}/note")
    person.sees("Add a note or photo")
    person.fill("Note", text)
    person.press("Save the note")
    person.page.wait_for_function("(job) => location.hash === `#/job/${job}`", arg=job)


def sign_on(person: Person, badge: bytes, name: str) -> None:
    """Sign on by typing the badge: the camera's way is tested elsewhere, and this one is quicker."""
    person.open("sign-on")
    person.fill("Or type the code", read_code(badge))
    person.page.keyboard.press("Enter")
    expect(person.page.locator(".head-name")).to_have_text(name)


def join_again(person: Person, link: str) -> None:
    """Open a new join link in the running app, on the screen that waits for one."""
    person.open("join")
    person.sees("Join the shop")
    person.page.evaluate("(link) => { location.hash = new URL(link).hash }", link)
    person.press("Join")
    person.sees("Scan")
    person.synced()


def chain_of(person: Person) -> str:
    """The incarnation that the Sync screen shows."""
    person.open("sync")
    return person.page.locator("dt:has-text('Log') + dd .code").inner_text()


def entries_of(person: Person) -> tuple[int, int]:
    """Own entries and confirmed ones, as the Sync screen shows them."""
    person.open("sync")
    shown = person.page.locator("dt:has-text('Log') + dd").inner_text()
    found = re.search(r"(\d+) entries, (\d+) confirmed", shown)
    assert found is not None, shown
    return int(found[1]), int(found[2])


def same_everywhere(shop: Shop, *people: Person) -> None:
    """All stations show the state that the server has."""
    numbers: set[str] = set()

    def agree() -> bool:
        nonlocal numbers
        numbers = {shop.state_hash(), *(person.check_number() for person in people)}
        return len(numbers) == 1

    people[0].wait(agree, "one state")


# A copy of the whole storage of the station in a second database, as a copied browser profile would have it.
_COPY = """async ({ from, to, clear }) => {
    const open = (name, stores) => new Promise((resolve, reject) => {
        const asked = stores === null ? indexedDB.open(name) : indexedDB.open(name, 1);
        asked.onupgradeneeded = () => { for (const s of stores) asked.result.createObjectStore(s); };
        asked.onsuccess = () => resolve(asked.result);
        asked.onerror = () => reject(asked.error);
    });
    const done = (request) => new Promise((resolve, reject) => {
        request.onsuccess = () => resolve(request.result);
        request.onerror = () => reject(request.error);
    });
    const source = await open(from, null);
    const names = [...source.objectStoreNames];
    const target = await open(to, clear ? null : names);
    for (const name of names) {
        const read = source.transaction(name).objectStore(name);
        const [keys, values] = [await done(read.getAllKeys()), null];
        const rows = await done(source.transaction(name).objectStore(name).getAll());
        const writing = target.transaction(name, "readwrite", { durability: "strict" });
        const store = writing.objectStore(name);
        store.clear();
        rows.forEach((row, i) => store.keyPath === null ? store.put(row, keys[i]) : store.put(row));
        await new Promise((resolve, reject) => { writing.oncomplete = resolve; writing.onabort = reject; });
    }
    source.close();
    target.close();
}"""


def copy_storage(person: Person, name: str = "copy") -> None:
    """Copy the station's storage as it is now."""
    person.page.evaluate(_COPY, {"from": "traymark-station", "to": name, "clear": False})


def put_storage_back(person: Person, name: str = "copy") -> None:
    """Put the copy in place of what is there, and open the app on it."""
    person.page.evaluate(_COPY, {"from": name, "to": "traymark-station", "clear": True})
    person.page.reload()
