"""Names for entries that are unique across copies of the book and sort by the order of writing."""

import datetime as dt
import secrets
import uuid

RANDOM_BITS = 74
STEP_BITS = 32  # how far a name may step past the one before, when the clock gives no later one


def entry_id(entered: dt.datetime, random_bits: int) -> str:
    """A UUID of version 7 (RFC 9562 section 5.7): milliseconds, then 74 random bits.

    `random_bits` is cut to 74 bits; `entered` is an aware datetime.
    """
    milliseconds = int(entered.timestamp() * 1000)
    return _spelt(milliseconds << RANDOM_BITS | random_bits & (1 << RANDOM_BITS) - 1)


def next_id(entered: dt.datetime, last: str = "") -> str:
    """A new name that sorts after `last`, the latest name in the book.

    It bears the time of writing; where the clock stands before the latest entry's (set back,
    or another copy's was ahead) it steps on from that one, as RFC 9562 section 6.2 allows. So
    what was written knowing of another entry always sorts after it.
    """
    fresh = entry_id(entered, secrets.randbits(RANDOM_BITS))
    return fresh if fresh > last else following(last, 1 + secrets.randbits(STEP_BITS))


def following(last: str, step: int = 1) -> str:
    """The name `step` places after `last`."""
    value = uuid.UUID(last).int
    high, low = value >> 64 & 0xFFF, value & (1 << 62) - 1
    return _spelt((value >> 80 << 12 | high) << 62 | low, step)


def _spelt(number: int, step: int = 0) -> str:
    """48 bits of milliseconds and 74 of chance as a UUID, with version and variant put in."""
    number = (number + step) & (1 << 122) - 1
    milliseconds, high, low = number >> 74, number >> 62 & 0xFFF, number & (1 << 62) - 1
    value = milliseconds << 80 | 7 << 76 | high << 64 | 0b10 << 62 | low
    return str(uuid.UUID(int=value))
