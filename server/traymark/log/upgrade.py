"""A shop's database as this version uses it: migrated, and folded again where that is due."""

from collections.abc import Generator
from contextlib import closing, contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import NamedTuple

from traymark.log.database import DATABASE, Database
from traymark.log.derive import Progress
from traymark.log.form import FormOlder
from traymark.log.migrate import migrate
from traymark.log.rebuild import bring_up_to_date
from traymark.log.store import Store


class Upgraded(NamedTuple):
    """The form that the file had, and how many events were folded again; None when that was not due."""

    form_before: int
    folded: int | None


def upgrade(path: Path, progress: Progress = lambda _: None) -> Upgraded:
    """Bring a file to the present form and fold. Nobody else may have it for writing: the caller sees to that.

    A crash leaves the file as it was, or in the present form with the fold still due: then the next start does it.
    Raises StoreDamaged, FormUnknown or MigrationFailed.
    """
    with closing(Database(path, sole_writer=False, any_form=True)) as database:
        before = migrate(database)
    with closing(Store(path, sole_writer=False)) as store:
        folded = bring_up_to_date(store, progress)
    return Upgraded(before, folded)


@contextmanager
def reading_any_form(path: Path) -> Generator[Store]:
    """The shop in a file, for reading. One of an older form stays as it is: a copy of it is brought to the present one.

    Raises StoreDamaged, FormUnknown or MigrationFailed.
    """
    try:
        store = Store(path, sole_writer=False)
    except FormOlder:
        with TemporaryDirectory(dir=path.parent, prefix=".traymark-") as folder:
            copy = Path(folder) / DATABASE
            with closing(Database(path, sole_writer=False, any_form=True)) as older:
                older.copy_to(copy)
            upgrade(copy)
            with closing(Store(copy, sole_writer=False)) as store:
                yield store
        return
    with closing(store):
        yield store
