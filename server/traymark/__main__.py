"""The command `traymark`."""

import sys

from traymark.cli.arguments import read_arguments
from traymark.cli.say import CliError


def main(arguments: list[str] | None = None) -> int:
    """Run one command. 0: done; 1: not done, or faults were found; 2: wrong usage; 130: interrupted."""
    asked = read_arguments(sys.argv[1:] if arguments is None else arguments)
    try:
        return asked.run(asked.options)
    except CliError as error:
        print(f"traymark: {error}", file=sys.stderr)
        return error.code
    except KeyboardInterrupt:
        return 130


if __name__ == "__main__":
    sys.exit(main())
