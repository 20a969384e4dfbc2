"""Lengths and areas as people write them: 50 cm, 18 in, 1' 6", 2.5 m, 2,5 m, 12 m2, 300 sq ft.

One inch is 25.4 mm exactly (international yard and pound agreement, 1959).
"""

import re
from typing import Final

from propagate.errors import Refused
from propagate.worded import worded, wording

METRES: Final[dict[str, float]] = {
    **dict.fromkeys(("mm", "millimetre", "millimetres", "millimeter", "millimeters"), 0.001),
    **dict.fromkeys(("cm", "centimetre", "centimetres", "centimeter", "centimeters"), 0.01),
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), 1.0),
    **dict.fromkeys(("in", "inch", "inches", '"'), 0.0254),
    **dict.fromkeys(("ft", "foot", "feet", "'"), 0.3048),
    **dict.fromkeys(("yd", "yds", "yard", "yards"), 0.9144),
}
"""How many metres each unit has."""

MOST_M: Final = 10_000.0
"""No bed is longer; a greater number is a slip."""

_NUMBER = r"(?:\d+[ -])?\d+/\d+|\d+(?:[.,]\d+)?|[.,]\d+"
_PART = re.compile(rf"\s*({_NUMBER})\s*([a-z]+|['\"])?\s*")
_AREA_UNIT = re.compile(r"(?:sq(?:uare)?\.?\s*([a-z]+)|([a-z]+)\s*(?:2|²|\^2))$")
_SIGNS = str.maketrans({"’": "'", "′": "'", "”": '"', "″": '"', "“": '"', "½": " 1/2", "¼": " 1/4"})
_HOW = wording("write 50 cm, 2.5 m, 18 in or 1' 6\"")


def read_length(text: str) -> float:
    """The length [m] that somebody typed; a part in smaller units may follow (1 m 20 cm, 5 ft 6).

    Raises Refused for what is no length above nought, for one without a unit and for one
    longer than any bed.
    """
    typed = " ".join(text.lower().translate(_SIGNS).replace("''", '"').split())
    total_m, at, before = 0.0, 0, ""
    while at < len(typed) or not at:
        part = _PART.match(typed, at)
        if not part:
            raise Refused(worded('"{text}" is not a length; {how}.', text=text, how=worded(_HOW)))
        unit = part[2] or _smaller(before)
        if unit not in METRES or (before and METRES[unit] >= METRES[before]):
            why = worded('"{unit}" is no unit of length here', unit=unit)
            raise Refused(
                worded(
                    '"{text}" cannot be read as a length, for {why}; {how}.',
                    text=text,
                    why=why if unit else worded("it has no unit"),
                    how=worded(_HOW),
                )
            )
        total_m += _number(part[1], text) * METRES[unit]
        at, before = part.end(), unit
    return _sensible(total_m, text)


def read_size(text: str) -> tuple[float, float]:
    """Length and width [m] as in "6 m x 1.2 m" or "20 x 4 ft"; raises Refused for anything else."""
    sides = re.split(r"\s*[x×*]\s*|\s+by\s+", text.strip().lower())
    if len(sides) != 2:
        raise Refused(
            worded('"{text}" is not a size; write length x width, such as 6 m x 1.2 m.', text=text)
        )
    first, second = sides
    if not re.search(r"[a-z'\"’′”″]", first):  # the unit of the second serves for both
        unit = re.sub(rf"^\s*(?:{_NUMBER})\s*", "", second)
        first = f"{first} {unit}".strip()
    return read_length(first), read_length(second)


def read_area(text: str) -> float:
    """The area [m2] that somebody typed: 12 m2, 12 m², 300 sq ft, 300 square feet, 2,5 m^2.

    Raises Refused for what is no area above nought.
    """
    typed = text.strip().lower()
    unit = _AREA_UNIT.search(typed)
    name = (unit[1] or unit[2]) if unit else ""
    number = typed[: unit.start()].strip() if unit else ""
    if name not in METRES or not re.fullmatch(_NUMBER, number):
        raise Refused(worded('"{text}" is not an area; write 12 m2 or 300 sq ft.', text=text))
    return _sensible(_number(number, text) * METRES[name] ** 2, text)


def _smaller(unit: str) -> str:
    """What a number without a unit after this one is counted in: 5 ft 6, 1 m 20."""
    return {"ft": "in", "foot": "in", "feet": "in", "'": "in", "m": "cm"}.get(unit, "")


def _number(written: str, text: str) -> float:
    whole = 0.0
    for piece in re.split(r"[ -]", written):
        above, slash, below = piece.replace(",", ".").partition("/")
        if slash and not int(below):
            raise Refused(
                worded(
                    '"{text}" has a fraction with nothing below the line; {how}.',
                    text=text,
                    how=worded(_HOW),
                )
            )
        whole += float(above) / (float(below) if slash else 1.0)
    return whole


def _sensible(number: float, text: str) -> float:
    if not 0 < number <= MOST_M:
        raise Refused(
            worded('"{text}" is no size of a bed; it must lie above 0 and below 10 km.', text=text)
        )
    return number
