"""No module that only one family of systems has is needed to start."""

import subprocess
import sys

WITHOUT = """
import sys
for name in ("fcntl", "grp", "pwd", "resource", "termios"):
    sys.modules[name] = None
sys.modules["uvloop"] = None
import traymark.__main__
from traymark.cli.arguments import read_arguments
from traymark.app import create_app
from traymark.log.database import Database
"""


def test_all_modules_load_where_there_are_no_unix_modules() -> None:
    run = subprocess.run([sys.executable, "-c", WITHOUT], capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stderr
