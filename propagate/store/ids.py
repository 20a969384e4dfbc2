"""Names for entries that are unique across copies of the book and sort by time."""

import datetime as dt
import uuid


def entry_id(entered: dt.datetime, random_bits: int) -> str:
    """A UUID of version 7 (RFC 9562 section 5.7): milliseconds, then 74 random bits.

    `random_bits` is cut to 74 bits; `entered` is an aware datetime.
    """
    milliseconds = int(entered.timestamp() * 1000) & (1 << 48) - 1
    high, low = random_bits >> 62 & 0xFFF, random_bits & (1 << 62) - 1
    value = milliseconds << 80 | 7 << 76 | high << 64 | 0b10 << 62 | low
    return str(uuid.UUID(int=value))
