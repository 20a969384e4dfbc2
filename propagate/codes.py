"""Batch codes: short enough to pencil on a stick and to read aloud.

A code is a serial and one check character by ISO/IEC 7064, hybrid system MOD 37,36, over the
standard alphabet 0-9A-Z. Any one character misread is refused instead of hitting another tray.
Only 18 characters appear in codes, the check character included; serials whose check character
falls outside them are skipped. Of each group that pencil, mud or the ear confuses, at most one
is left (judgement, not a published list):

    0 O Q D: D    1 I L: L    2 Z 7: 7    5 S: none    6 G C: C    8 B 3: 3
    4 9: 4        U V Y: Y    M N: M      N H: H       E F: F      E 3: 3

Spoken rhymes that stay, such as C, D, P and T, are left to the check character.
"""

from functools import cache
from math import gcd
from typing import Final

from propagate.errors import Refused
from propagate.worded import worded

STANDARD_ALPHABET: Final = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
SERIAL_ALPHABET: Final = "347ACDFHJKLMPRTWXY"
SHORTEST_SERIAL: Final = 3
SHORT_CODES: Final = 2911  # how many of four characters there are (a test counts them)
GOLDEN_RATIO: Final = 0.6180339887498949  # (sqrt(5) - 1) / 2

_MODULUS: Final = len(STANDARD_ALPHABET)
_LOOKS_LIKE: Final = {
    **dict.fromkeys("0OQ", "D"),
    **dict.fromkeys("1I", "L"),
    **dict.fromkeys("2Z", "7"),
    **dict.fromkeys("6G", "C"),
    **dict.fromkeys("8B", "3"),
    **dict.fromkeys("UV", "Y"),
    "9": "4",
    "E": "F or 3",
    "N": "M or H",
}


def code(number: int) -> str:
    """The `number`-th batch code, counted from 0; every number has its own code.

    Codes come in a fixed scrambled order, first all with 3 serial characters, then all with 4,
    and so on, so that batches stuck on one day do not have codes alike.
    Raises ValueError for a negative number.
    """
    if number < 0:
        raise ValueError(f"a batch number is 0 or more, got {number}")
    length = SHORTEST_SERIAL
    while number >= _serials(length, _MODULUS):
        number -= _serials(length, _MODULUS)
        length += 1
    count = _serials(length, _MODULUS)
    serial = _serial(length, (number + 1) * _stride(count) % count)
    return serial + check_character(serial)


def check_character(serial: str) -> str:
    """Check character of `serial` by ISO/IEC 7064 MOD 37,36, over 0-9A-Z.

    Raises ValueError for other characters.
    """
    product = _MODULUS
    for character in serial:
        product = _next_product(product, character)
    return STANDARD_ALPHABET[(1 - product) % _MODULUS]


def valid(text: str) -> bool:
    """Whether `text` is a batch code, however it is spaced or capitalised."""
    try:
        read(text)
    except Refused:
        return False
    return True


def read(text: str) -> str:
    """The code in `text`, which may have small letters, spaces, hyphens and a leading #.

    Raises Refused for a character that no code has, a wrong length or check character.
    """
    found = "".join(text.split()).removeprefix("#").replace("-", "").upper()
    foreign = next((ch for ch in found if ch not in SERIAL_ALPHABET), None)
    if foreign:
        raise Refused(_foreign_said(found, foreign))
    if len(found) <= SHORTEST_SERIAL:
        least = SHORTEST_SERIAL + 1
        raise Refused(
            worded(
                "“{code}” is not a batch code: a code has {least} characters or more.",
                code=found,
                least=least,
            )
        )
    if check_character(found[:-1]) != found[-1]:
        raise Refused(
            worded(
                "{code} is not a batch code: the last character does not fit the others; "
                "look at the label again.",
                code=found,
            )
        )
    return found


def _foreign_said(found: str, foreign: str) -> str:
    if foreign not in _LOOKS_LIKE:
        return worded(
            "{code} is not a batch code: no code has the character {letter}.",
            code=found,
            letter=foreign,
        )
    return worded(
        "{code} is not a batch code: no code has the character {letter}; it may be {like}.",
        code=found,
        letter=foreign,
        like=_LOOKS_LIKE[foreign],
    )


@cache
def _next_product(product: int, character: str) -> int:
    """One step of the hybrid system's recursion: add mod 36, double mod 37."""
    total = (product + STANDARD_ALPHABET.index(character)) % _MODULUS or _MODULUS
    return total * 2 % (_MODULUS + 1)


@cache
def _serials(length: int, product: int) -> int:
    """How many serial endings of `length` characters lead to a check character we use."""
    if length == 0:
        return int(STANDARD_ALPHABET[(1 - product) % _MODULUS] in SERIAL_ALPHABET)
    return sum(_serials(length - 1, _next_product(product, ch)) for ch in SERIAL_ALPHABET)


def _serial(length: int, rank: int) -> str:
    """The `rank`-th usable serial of `length` characters, in the order of the alphabet."""
    serial, product = "", _MODULUS
    for remaining in reversed(range(length)):
        for character in SERIAL_ALPHABET:
            following = _next_product(product, character)
            count = _serials(remaining, following)
            if rank < count:
                break
            rank -= count
        serial, product = serial + character, following
    return serial


@cache
def _stride(count: int) -> int:
    """Step through `count` serials that visits all of them, evenly spread.

    All, as it is coprime to `count`; evenly, as it is near the golden section.
    """
    stride = round(count * GOLDEN_RATIO)
    while gcd(stride, count) > 1:
        stride += 1
    return stride
