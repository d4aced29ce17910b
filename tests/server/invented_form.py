"""A form of the database that does not exist, one above the present one, to try out how a shop is led to it."""

import sys
from pathlib import Path
from shutil import copytree, ignore_patterns

from traymark.cli import upgrade
from traymark.log import form, migrate

PRESENT = form.FORM
INVENTED = PRESENT + 1

SOUND = """
    with op.batch_alter_table("station", recreate="always") as table:
        table.add_column(sa.Column("bench", sa.String(), nullable=False, server_default="none"))
    stop("altered")
    op.execute("DELETE FROM event_code")
    op.execute("UPDATE record SET json_text = '{}'")
    op.execute("UPDATE meta SET value = '' WHERE key = 'fold'")
    stop("emptied")
"""
"""Makes a table anew, with a column more, and throws away what derives from the log."""
OF_THE_LOG = """
    op.execute("UPDATE event SET received_at_ms = 0 WHERE position = 1")
"""
BROKEN = """
    op.execute("DROP TABLE invite")
    op.execute("DROP TABLE lamp")
"""

_STEP = '''
import os
import signal

import sqlalchemy as sa
from alembic import op

revision = "{invented}"
down_revision = "{present}"


def stop(at):
    """As in a power cut, where a test asks for one."""
    if os.environ.get("STOP_AT") == at:
        os.kill(os.getpid(), signal.SIGKILL)


def upgrade():
    stop("begun")
{body}
    stop("done")
'''


def write_steps(folder: Path, body: str = SOUND) -> Path:
    """The steps that there are and one more, in a folder."""
    copytree(migrate.MIGRATIONS, folder, ignore=ignore_patterns("__pycache__"))
    step = _STEP.format(invented=INVENTED, present=PRESENT, body=body)
    (folder / "versions" / f"form_{INVENTED}.py").write_text(step, encoding="utf-8")
    return folder


PATCHED = [(form, "FORM"), (migrate, "FORM"), (upgrade, "FORM")]
"""Where the number of the present form is read."""


def main() -> int:
    """`traymark` of a version with the invented form: the folder of its steps, then what the command takes."""
    from traymark.__main__ import main as traymark

    for module, name in PATCHED:
        setattr(module, name, INVENTED)
    migrate.MIGRATIONS = Path(sys.argv[1])
    return traymark(sys.argv[2:])


if __name__ == "__main__":
    sys.exit(main())
