"""Numbers said in words: forty, twenty-four, a dozen, one hundred and twenty.

Every number that can be said is written out once and looked up, so that nothing is guessed:
what is not one of these ways to say it is no number.
"""

import re
from functools import cache
from typing import Final

MOST_SAID: Final = 999
"""Longer numbers are written in figures by everybody."""

_DOZEN: Final = 12
_TO_NINETEEN: Final = (
    *("nought", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"),
    *("eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen"),
    "nineteen",
)
_TENS: Final = ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]
_A_OF: Final = re.compile(r"^a (?=hundred\b|dozen\b)|^(?=dozen$)")
_BETWEEN: Final = re.compile(r"(?<=hundred) and(?= )")


def said(number: int) -> str:
    """A number of 0 to 999 in words, without hyphens and without an "and"."""
    hundreds, rest = divmod(number, 100)
    tens, units = divmod(rest, 10)
    words = [f"{_TO_NINETEEN[hundreds]} hundred"] if hundreds else []
    if rest >= 20:
        words.append(_TENS[tens - 2])
        rest = units
    if rest or not words:
        words.append(_TO_NINETEEN[rest])
    return " ".join(words)


def read_words(text: str) -> int | None:
    """The number that words say, 0 to 999, by dozens, too; None where they say none.

    Hyphens, capitals and an "and" after the hundreds may be there or not.
    """
    words = " ".join(text.lower().replace("-", " ").split())
    return _numbers().get(_BETWEEN.sub("", _A_OF.sub("one ", words)))


@cache
def _numbers() -> dict[str, int]:
    dozens = {f"{said(n)} dozen": n * _DOZEN for n in range(1, MOST_SAID // _DOZEN + 1)}
    others = {"zero": 0, "none": 0, "half a dozen": _DOZEN // 2}
    return {said(number): number for number in range(MOST_SAID + 1)} | dozens | others
