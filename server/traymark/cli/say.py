"""What a command says when it cannot do its work, and while it does much."""

import sys
from collections.abc import Callable

_SAID_EVERY = 100_000


class CliError(Exception):
    """The text is meant for a person and says what to do next."""

    def __init__(self, text: str, code: int = 1) -> None:
        super().__init__(text)
        self.code = code


def said_every(last: int) -> Callable[[int], None]:
    """Tells the person at which of the events up to `last` a long command is, now and then."""

    def told(position: int) -> None:
        if position % _SAID_EVERY < 1_000 and position >= _SAID_EVERY:
            print(f"{position:,} of {last:,} events", file=sys.stderr, flush=True)

    return told
