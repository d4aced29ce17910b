"""Every form of the database that a shop may have leads to the present one, and what the shop says stays the same."""

import json
import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from alembic.config import Config
from alembic.script import ScriptDirectory
from sqlalchemy import Connection

from tests.server.data.make_form import DATA, PHOTO, PHOTO_NAME, said
from traymark.__main__ import main
from traymark.blobs.files import BlobFiles
from traymark.log.database import DATABASE, Database
from traymark.log.form import FORM, FormUnknown
from traymark.log.migrate import MIGRATIONS, take_steps
from traymark.log.store import Store
from traymark.log.verify import verify

FORMS = sorted(int(path.stem.removeprefix("form_")) for path in DATA.glob("form_*.sql"))

Shape = dict[str, Any]


def shape_of(path: Path) -> Shape:
    """All tables with their columns and indexes. In which order columns came is no matter: nobody counts on it."""
    with closing(sqlite3.connect(path)) as database:
        tables = database.execute("SELECT name, sql FROM sqlite_master WHERE type = 'table'").fetchall()
        return {
            name: {
                "columns": {row[1]: row[2:] for row in database.execute(f"PRAGMA table_xinfo({name})")},
                "indexes": indexes_of(database, name),
                "without rowid": "WITHOUT ROWID" in sql.upper(),
            }
            for name, sql in tables
        }


def indexes_of(database: sqlite3.Connection, table: str) -> list[tuple[Any, ...]]:
    """Those with a name as they were written; of those that SQLite made for a constraint, the constraint."""
    found: list[tuple[Any, ...]] = []
    for _, name, unique, origin, partial in database.execute(f"PRAGMA index_list({table})"):
        columns = [row[2] for row in database.execute(f"PRAGMA index_info({name})")]
        # The primary key of a table without rowids is no entry of its own.
        [sql] = database.execute("SELECT sql FROM sqlite_master WHERE name = ?", (name,)).fetchone() or [None]
        written = None if sql is None else (name, " ".join(sql.split()))
        found.append((origin, unique, partial, columns, written))
    return sorted(found, key=repr)


def stored_shop(form: int, folder: Path) -> Path:
    """The shop that is stored in a form, in a folder of its own."""
    folder.mkdir()
    with closing(sqlite3.connect(folder / DATABASE)) as database:
        database.executescript((DATA / f"form_{form}.sql").read_text(encoding="utf-8"))
    BlobFiles(folder).write(PHOTO_NAME, PHOTO)
    return folder


def says(folder: Path) -> Any:
    with closing(Store(folder / DATABASE)) as store:
        assert verify(store) == []
        return json.loads(json.dumps(said(store)))


def said_before(form: int) -> Any:
    return json.loads((DATA / f"form_{form}.json").read_text(encoding="utf-8"))


def on_bare_file(path: Path, steps: Any) -> Shape:
    """The tables that these steps make in a file that has none."""
    sqlite3.connect(path).close()
    with closing(BareDatabase(path)) as database, database.write() as connection:
        steps(connection)
    return shape_of(path)


class BareDatabase(Database):
    """One that makes no tables by itself."""

    def form(self) -> int:
        return FORM


def test_all_steps_make_the_tables_of_a_new_file(tmp_path: Path) -> None:
    Store(tmp_path / "new.sqlite").close()

    def all_steps(connection: Connection) -> None:
        take_steps(connection, FORM)

    by_steps = on_bare_file(tmp_path / "steps.sqlite", all_steps)
    assert by_steps == shape_of(tmp_path / "new.sqlite")
    assert {"event", "doc", "alembic_version"} <= set(by_steps)
    assert by_steps["doc"]["indexes"] != [] and by_steps["event_code"]["without rowid"]


def test_steps_are_numbered_and_the_last_one_leads_to_the_present_form() -> None:
    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS))
    steps = list(ScriptDirectory.from_config(config).walk_revisions())
    assert [(step.revision, step.down_revision) for step in steps] == [
        (str(form), str(form - 1) if form > 1 else None) for form in range(FORM, 0, -1)
    ]


def test_a_shop_of_every_form_is_stored() -> None:
    """If one is missing: python -m tests.server.data.make_form."""
    assert list(range(1, FORM + 1)) == FORMS


def test_the_stored_shop_of_the_present_form_has_the_present_tables(tmp_path: Path) -> None:
    """If not, and no shop has this form yet: python -m tests.server.data.make_form. Else it takes a new form."""
    Store(tmp_path / "new.sqlite").close()
    assert shape_of(stored_shop(FORM, tmp_path / "shop") / DATABASE) == shape_of(tmp_path / "new.sqlite")


def test_the_stored_shop_has_something_of_everything(tmp_path: Path) -> None:
    with closing(sqlite3.connect(stored_shop(FORM, tmp_path / "shop") / DATABASE)) as database:
        tables = [row[0] for row in database.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        counts = {name: database.execute(f"SELECT count(*) FROM {name}").fetchone()[0] for name in tables}
    assert [name for name, count in counts.items() if count == 0] == []


@pytest.mark.parametrize("form", FORMS)
def test_a_shop_of_this_form_says_the_same_after_the_upgrade(
    tmp_path: Path, form: int, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = stored_shop(form, tmp_path / "shop")
    assert main(["upgrade", "--data", str(folder)]) == 0
    assert (f"had form {form} and has form {FORM} now" in capsys.readouterr().out) == (form < FORM)
    assert says(folder) == said_before(form)
    assert shape_of(folder / DATABASE) == shape_of(stored_shop(FORM, tmp_path / "present") / DATABASE)


def test_a_file_that_is_no_shop_is_refused_and_stays_as_it_is(tmp_path: Path) -> None:
    with closing(sqlite3.connect(tmp_path / DATABASE)) as database:
        database.execute("CREATE TABLE recipe (name TEXT)")
    before = shape_of(tmp_path / DATABASE)
    with pytest.raises(FormUnknown, match="not a shop"):
        Store(tmp_path / DATABASE)
    assert main(["upgrade", "--data", str(tmp_path)]) == 1
    assert shape_of(tmp_path / DATABASE) == before
