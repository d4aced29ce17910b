"""Codes against python-stdnum, against published examples, and against every typing slip of some kinds (F1)."""

import random
from itertools import count

import pytest
from hypothesis import given
from hypothesis import strategies as st
from stdnum import imei as stdnum_imei
from stdnum import luhn
from stdnum.iso7064 import mod_37_2

from traymark_labels import (
    ALPHABET,
    Code,
    Rejected,
    check_character,
    imei_check_digit,
    make_badge,
    mint,
    parse_code,
    parse_imei,
)

CHECK_ALPHABET = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
CODES = [mint(kind, prefix, counter).code for kind, prefix, counter in (
    ("J", "7K2", 0), ("D", "000", 4_711), ("T", "ZZZ", 32**5 - 40), ("P", "A0B", 31), ("C", "9XY", 123_456),
)]  # fmt: skip
BADGE = make_badge("W00A", ["Q4ZT81MXB7D0KVN", "Q4ZT81MXB7D0KVM", "Q4ZT81MXB7D0KVP", "Q4ZT81MXB7D0KVR"])
SAMPLES = [*CODES, BADGE]


@pytest.mark.parametrize(
    ("body", "check"),
    [
        ("G123498654321", "H"),  # UK blood services, Guidelines (Red Book), Annex 2, worked example
        ("G123489654321", "Y"),  # python-stdnum, iso7064.mod_37_2
    ],
)
def test_check_character_equals_the_published_example(body: str, check: str) -> None:
    assert check_character(body) == check


@given(st.text(CHECK_ALPHABET, max_size=30))
def test_check_character_equals_that_of_stdnum(body: str) -> None:
    assert check_character(body) == mod_37_2.calc_check_digit(body)


@pytest.mark.parametrize("letter", ["*", "a", " ", "Ä", "٣"])
def test_check_character_of_a_foreign_letter_is_an_exception(letter: str) -> None:
    with pytest.raises(ValueError, match="no check character"):
        check_character("T7K2" + letter)


@pytest.mark.parametrize("code", SAMPLES)
def test_every_wrong_letter_is_noticed(code: str) -> None:
    for place in range(len(code)):
        for letter in CHECK_ALPHABET:
            slip = code[:place] + letter + code[place + 1 :]
            if slip != code:
                assert check_character(slip[:-1]) != slip[-1]
                assert slip_of(code, slip)


@pytest.mark.parametrize("code", SAMPLES)
def test_every_swap_of_neighbours_is_noticed(code: str) -> None:
    for place in range(len(code) - 1):
        slip = code[:place] + code[place + 1] + code[place] + code[place + 2 :]
        if slip != code:
            assert slip_of(code, slip)


@pytest.mark.parametrize("code", SAMPLES)
def test_every_swap_around_a_third_letter_is_noticed(code: str) -> None:
    for place in range(len(code) - 2):
        slip = code[:place] + code[place + 2] + code[place + 1] + code[place] + code[place + 3 :]
        if slip != code:
            assert slip_of(code, slip)


def test_no_swap_at_all_passes_the_check_in_any_state() -> None:
    """Every running sum and every two letters, not just samples: a swap shifts the sum by the difference."""
    values = range(36)
    blind = [
        (total, a, b, between)
        for total in range(37)
        for a in values
        for b in values
        for between in (None, 0, 17, 35)
        if a != b and run(total, a, between, b) == run(total, b, between, a)
    ]
    assert blind == []


def run(total: int, *values: int | None) -> int:
    for value in values:
        if value is not None:
            total = (total + value) * 2 % 37
    return total


def slip_of(code: str, slip: str) -> bool:
    """A slip is refused, or forgiven into the code that was meant, never into another."""
    read = parse_code(slip)
    return isinstance(read, Rejected) or read.text == code


@pytest.mark.parametrize("kind", "JDTPCB")
def test_minted_codes_are_read_back_and_are_valid_for_stdnum(kind: str) -> None:
    counter = 0
    seen: set[str] = set()
    for _ in range(200):
        minted = mint(kind, "7K2", counter)
        assert minted.counter >= counter
        assert minted.code not in seen
        assert set(minted.code) <= set(ALPHABET)
        assert mod_37_2.is_valid(minted.code)
        assert parse_code(minted.code) == Code(minted.code, kind)
        seen.add(minted.code)
        counter = minted.next_counter


def test_minting_skips_exactly_the_counters_whose_check_character_is_excluded() -> None:
    used: list[int] = []
    counter = 0
    while counter < 2_000:
        minted = mint("T", "7K2", counter)
        used.append(minted.counter)
        counter = minted.next_counter
    unused = set(range(2_000)) - set(used)
    letters = {n: mod_37_2.calc_check_digit("T7K2" + base32(n)) for n in range(2_000)}
    assert unused == {n for n, letter in letters.items() if letter in "ILOU*"}
    assert 0.12 < len(unused) / 2_000 < 0.15  # 5 of 37 letters


def base32(number: int) -> str:
    text = ""
    for _ in range(5):
        number, digit = divmod(number, 32)
        text = ALPHABET[digit] + text
    return text


@pytest.mark.parametrize(
    ("kind", "prefix", "counter"),
    [
        ("W", "7K2", 0),
        ("", "7K2", 0),
        ("TT", "7K2", 0),
        ("T", "7K", 0),
        ("T", "7KU", 0),
        ("T", "7k2", 0),
        ("T", "7K2", -1),
    ],
)
def test_minting_from_invalid_parts_is_an_exception(kind: str, prefix: str, counter: int) -> None:
    with pytest.raises(ValueError, match="no code of kind"):
        mint(kind, prefix, counter)


def test_badge_takes_the_first_secret_whose_check_character_is_in_the_alphabet() -> None:
    draw = random.Random(37)
    secrets = ["".join(draw.choice(ALPHABET) for _ in range(15)) for _ in range(200)]
    fitting = [s for s in secrets if mod_37_2.calc_check_digit("W0A9" + s) in ALPHABET]
    assert fitting[0] != secrets[0] or len(fitting) < len(secrets)
    for start in range(100):
        badge = make_badge("W0A9", iter(secrets[start:]))
        assert badge[4:19] == next(s for s in secrets[start:] if s in fitting)
        assert parse_code(badge) == Code(badge, "W")


@pytest.mark.parametrize("staff_id", ["", "W00", "W0001", "X001", "W0U1", "w001"])
def test_badge_without_a_staff_id_is_an_exception(staff_id: str) -> None:
    with pytest.raises(ValueError, match="staff id"):
        make_badge(staff_id, ("0" * 15 for _ in count()))


def test_running_out_of_badge_secrets_is_an_exception() -> None:
    with pytest.raises(ValueError, match="no secret left"):
        make_badge("W001", [])


@given(st.text(max_size=40))
def test_any_text_is_read_or_refused_and_what_is_read_is_stable(text: str) -> None:
    read = parse_code(text)
    if isinstance(read, Code):
        assert parse_code(read.text) == read
        assert mod_37_2.is_valid(read.text)
    else:
        assert read.slug in ("code-unreadable", "code-check-failed")


@given(st.text("0123456789", min_size=14, max_size=14))
def test_imei_check_digit_equals_that_of_stdnum(digits: str) -> None:
    check = imei_check_digit(digits)
    assert check == luhn.calc_check_digit(digits)
    assert parse_imei(digits + check) == digits + check
    for other in set("0123456789") - {check}:
        assert parse_imei(digits + other) == Rejected("imei-check-failed", "the last digit does not fit the others")


@pytest.mark.parametrize("digits", ["26053179311383", "3568680000414120", "2605317931138371"])
def test_imei_without_a_check_digit_is_refused_where_stdnum_takes_it(digits: str) -> None:
    assert stdnum_imei.is_valid(digits)
    read = parse_imei(digits)
    assert isinstance(read, Rejected)
    assert read.slug == "imei-length"


@pytest.mark.parametrize("digits", ["", "123", "2605317931138٣", "260531793113837"])
def test_imei_check_digit_of_anything_but_14_digits_is_an_exception(digits: str) -> None:
    with pytest.raises(ValueError, match="14 digits"):
        imei_check_digit(digits)
