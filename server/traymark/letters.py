"""Random letters: three that nobody has yet, for incarnations and the ids of stations and staff (F1.6, F3.1); salts."""

import secrets
from collections.abc import Iterator
from itertools import product

from traymark.events.field_types import ALPHABET

LETTERS = 3
_SALT_LETTERS = 26
_TRIES = 32


def unused_letters(taken: set[str]) -> str:
    """Three letters that are not among these, at random."""
    for _ in range(_TRIES):
        candidate = "".join(secrets.choice(ALPHABET) for _ in range(LETTERS))
        if candidate not in taken:
            return candidate
    free = ["".join(p) for p in product(ALPHABET, repeat=LETTERS) if "".join(p) not in taken]
    return secrets.choice(free)


def new_salts() -> Iterator[str]:
    """Salts of texts (F7.9): 130 random bits each, as many as are wanted."""
    while True:
        yield "".join(secrets.choice(ALPHABET) for _ in range(_SALT_LETTERS))
