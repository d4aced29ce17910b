"""Python hashes chains as the vectors say (F3.2)."""

from hashlib import sha256
from itertools import accumulate

import pytest

from tests.vectors.vector_files import Vector, vectors, whole
from traymark.events.chain import genesis, link

VECTORS = vectors("chain")

ABC = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
"""NIST's example for SHA-256 of FIPS 180-4, message "abc" (printed in FIPS 180-2, appendix B.1)."""


def test_sha256_is_the_published_function() -> None:
    assert sha256(b"abc").hexdigest() == ABC


@pytest.mark.parametrize("vector", VECTORS, ids=[v["name"] for v in VECTORS])
def test_hashes_of_a_chain_are_as_the_vector_says(vector: Vector) -> None:
    raws = [whole(parts) for parts in vector["events"]]
    start = genesis(vector["station"], vector["incarnation"])
    assert [at.hex() for at in accumulate(raws, link, initial=start)] == vector["hashes"]
