"""The server's disk burns. Yesterday's backup is restored, and the stations bring what was confirmed since."""

import random
import shutil
from hashlib import sha256
from pathlib import Path
from typing import Any, NamedTuple

from tests.browser.conftest import Launch
from tests.browser.person import Person, photo
from tests.browser.robust import a_job, log_of, note, notes_of, sign_on
from tests.browser.shop import Shop
from tests.browser.test_erasing import over_customer
from tests.browser.walks import look_it_over
from traymark.log.database import DATABASE
from traymark.log.store import Store

STAFF = {"counter": "Dapple", "bench": "Fennick", "shipping": "Quarto", "lead": "Ombra"}
NEW_NAME = "Lantern Lane, rebuilt"


class Held(NamedTuple):
    """Everything that the server has acknowledged."""

    events: set[tuple[str, int, bytes]]
    docs: dict[str, Any]
    photos: set[str]


def held(folder: Path) -> Held:
    store = Store(folder / DATABASE, sole_writer=False)
    try:
        with store.database.read() as connection:
            # What the server wrote itself, as a station of its own, it writes anew.
            events = connection.exec_driver_sql(
                "SELECT incarnation, seq, raw FROM event WHERE incarnation NOT IN "
                "(SELECT i.prefix FROM incarnation i JOIN meta m ON m.key = 'own_station' AND m.value = i.station)"
            ).fetchall()
            docs = connection.exec_driver_sql(
                "SELECT id, body FROM doc WHERE id NOT IN "
                "(SELECT 'station:' || value FROM meta WHERE key = 'own_station')"
            ).fetchall()
            photos = connection.exec_driver_sql("SELECT sha256 FROM blob").fetchall()
    finally:
        store.close()
    return Held({tuple(row) for row in events}, dict(map(tuple, docs)), {row[0] for row in photos})


def photograph(person: Person, job: str, text: str) -> None:
    person.open(f"job/{job}/note")
    person.sees("Add a note or photo")
    person.photograph("Take a photo", photo(text))


def book_unsafe(person: Person, name: str) -> None:
    """The shortest booking: it writes a device's card and a customer's."""
    person.open("book")
    look_it_over(person, bulging=True)
    person.sees("Which device is it?")
    person.press("No number can be read")
    person.press("Next")
    person.sees("Which model is it?")
    person.choose("Quillet 5")
    person.press("Next")
    person.sees("Who brings it?")
    person.fill("Name", name)
    person.press("Next")
    person.fill("Complaint", "The back bulges")
    person.press("Next")
    person.sees("Is this right?")
    person.press("Book in as unsafe: to the safe place")
    person.reads("is booked in")


def rename_shop(lead: Person) -> None:
    lead.open("shop/settings")
    lead.sees("Settings")
    lead.fill("Name of the shop", NEW_NAME)
    lead.press("Save")
    lead.reads("Saved on the server")


def erase_somebody(lead: Person, shop: Shop) -> tuple[str, dict[str, Any]]:
    """A customer whose jobs are over: ref and card as it was."""
    _, contact, card = over_customer(shop)
    answered = lead.page.evaluate(
        "async (ref) => (await fetch(`/api/customers/${ref}/erase`, { method: 'POST' })).status", contact
    )
    assert answered == 200
    return contact, card


def test_nothing_acknowledged_is_lost_when_yesterdays_backup_is_restored(
    launch: Launch, shop: Shop, tmp_path: Path
) -> None:
    dice = random.Random(sha256(str(tmp_path).encode()).hexdigest())
    people = {role: Person(launch(role), shop.server.url) for role in STAFF}
    for role, person in people.items():
        person.join(shop.join_link(f"Desk of {role}", role), f"Desk of {role}")
        sign_on(person, shop.badge(role), STAFF[role])
    job = a_job(shop)
    note(people["counter"], job, "before the backup")
    photograph(people["bench"], job, "before the backup")
    for person in people.values():
        person.synced()
    file = tmp_path / "yesterday.backup"
    made = shop.server.run("backup", "--data", str(shop.server.data_dir), str(file))
    assert made.returncode == 0, made.stderr

    book_unsafe(people["counter"], "Ilse Marrow")
    for turn in range(dice.randint(2, 6)):
        for role, person in people.items():
            note(person, job, f"{role} {turn}")
    photograph(people["bench"], job, "after the backup")
    photograph(people["shipping"], job, "after the backup, too")
    rename_shop(people["lead"])
    contact, card = erase_somebody(people["lead"], shop)
    for person in people.values():
        person.synced()
    before = held(shop.server.data_dir)
    assert before.docs[contact] is None

    shop.server.kill()
    note(people["bench"], job, "while there was no server")
    shutil.rmtree(shop.server.data_dir)
    restored = shop.server.run("restore", "--data", str(shop.server.data_dir), str(file))
    assert restored.returncode == 0, restored.stderr
    lacking = held(shop.server.data_dir)
    assert lacking.events < before.events and lacking.photos < before.photos and len(lacking.docs) < len(before.docs)
    assert card["name"] in str(lacking.docs[contact]) and NEW_NAME not in str(lacking.docs["shop"])
    shop.server.use(("serve",))  # the demo serves no folder but its own
    shop.server.start()

    def is_back() -> bool:
        after = held(shop.server.data_dir)
        return (
            before.events <= after.events
            and before.photos <= after.photos
            and before.docs.items() <= after.docs.items()
        )

    people["counter"].wait(is_back, "everything that was acknowledged")
    for person in people.values():
        person.wait(lambda person=person: person.check_number() == shop.state_hash(), "the same state")
    assert "while there was no server" in notes_of(shop, job)
    assert NEW_NAME in held(shop.server.data_dir).docs["shop"]
    erased = [e for e in log_of(shop) if e.kind == "data.erased"]
    assert len(erased) == 1, "the log says once more that the customer was erased"
    shop.verify()
