"""Join codes and cookie tokens: random, and kept as hashes only."""

import secrets
from hashlib import sha256

from traymark.events.field_types import ALPHABET

# 10 letters of 32: 50 bits. Guessing is bounded by the rate limit and the few minutes a code lives.
JOIN_CODE_LETTERS = 10
_GROUP = 5
_FORGIVEN = str.maketrans({"O": "0", "I": "1", "L": "1", " ": None, "-": None})


def new_join_code() -> str:
    """A join code as people type it: two groups of five letters."""
    letters = "".join(secrets.choice(ALPHABET) for _ in range(JOIN_CODE_LETTERS))
    return f"{letters[:_GROUP]}-{letters[_GROUP:]}"


def read_join_code(typed: str) -> str | None:
    """The ten letters of a typed code, read as in F1.4; None when it cannot be one."""
    if len(typed) > 4 * JOIN_CODE_LETTERS:
        return None
    letters = typed.upper().translate(_FORGIVEN)
    return letters if len(letters) == JOIN_CODE_LETTERS and all(c in ALPHABET for c in letters) else None


def new_token() -> str:
    """256 random bits for a station's cookie."""
    return secrets.token_urlsafe(32)


def hash_of(secret: str) -> str:
    """What is stored of a random secret. It cannot be guessed word by word, so one round of hashing is enough."""
    return sha256(secret.encode()).hexdigest()
