"""How a page speaks to one reader: language, days, decimals, metric or imperial.

The texts stand in English in the templates; `locale/LANGUAGE.po` holds another language's. A
catalogue is read from its text when first wanted, so there is nothing to compile.
"""

import datetime as dt
import gettext
import io
import re
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from string import Formatter
from typing import Any, Final

from attrs import frozen

from propagate.records.answers import PlantCount, PotOn
from propagate.units import System, square_feet
from propagate.worded import Worded, WrittenDay

LANGUAGES: Final = {"en": "English", "de": "Deutsch"}
LOCALES: Final = {"en": "en_GB", "en-us": "en_US", "de": "de_DE"}
"""Ways to write days and numbers; the first part of each is its language."""

Units = System
_YEAR: Final = re.compile(r",? y+")
FOLDER: Final = Path(__file__).parent / "locale"


def marked(text: str) -> str:
    """The text itself: marks it for the catalogue where it is not yet known who reads it."""
    return text


ON_THE_PAGE: Final = {
    "record: recount {code} NUMBER_ALIVE --why REASON": marked(
        "use “Count again” below and say why"
    ),
    "propagate void {number} --why REASON": marked("“Take back”, in the history of the tray"),
    "{code} has nothing in pots yet; say how many with --copies.": marked(
        "{code} has nothing in pots yet; say how many under “Copies of each”."
    ),
    "; see: propagate trace {name}": "",
    " (--from waiting takes from there)": "",  # nor is there anything on a page that would
    "If that is a slip: propagate undo.": marked("If that is a slip, undo it."),
}
"""What to do on these pages, by the wording that names a command to type."""


class Decimals(float):
    """A number that is written with a comma."""

    def __format__(self, spec: str) -> str:
        return super().__format__(spec).replace(".", ",")


@frozen
class Speech:
    """One reader's way; `tag` is a key of LOCALES."""

    tag: str = "en"
    units: Units = "metric"

    @property
    def language(self) -> str:
        """The language of the texts, as HTML names it."""
        return self.tag.split("-")[0]

    @property
    def locale(self) -> str:
        """The locale of days and decimals."""
        return LOCALES[self.tag]

    def text(self, text: str, /, **values: object) -> str:
        """A text of the catalogue in this language, with its {values} put in."""
        said = _catalogue(self.language).gettext(text) if text else ""
        return said.format(**values) if values else said

    def counted(self, one: str, many: str, count: int, /, **values: object) -> str:
        """A text that depends on a number, which stands in it as {count}."""
        said = _catalogue(self.language).ngettext(one, many, count)
        return said.format(count=self.number(count), **values)

    def own(self, names: Mapping[str, str]) -> str:
        """What a plant is called in this language, else in English; empty where in neither."""
        return names.get(self.language) or names.get("en", "")

    def tell(self, said: str) -> str:
        """A sentence from below the pages in this language, as far as its catalogue goes."""
        if isinstance(said, WrittenDay):
            return self._written(said)
        if not isinstance(said, Worded):
            return self.text(said)
        if said.parts:
            return said.pattern.join(self.tell(part) for part in said.parts)
        pattern = ON_THE_PAGE.get(said.pattern, said.pattern)
        if said.many:
            found = _catalogue(self.language).ngettext(pattern, said.many, said.values["count"])
        else:
            found = self.text(pattern)
        values = {name: self._value(value) for name, value in said.values.items()}
        return found.format(**values) if values else found

    def knows(self, said: str) -> bool:
        """Whether a sentence can be told wholly in this language; its names need no telling."""
        if self.language == "en" or isinstance(said, WrittenDay):
            return True
        if not isinstance(said, Worded):
            return said in known_texts(self.language)
        inner = [*said.parts, *said.values.values()]
        if not all(self.knows(each) for each in inner if isinstance(each, Worded)):
            return False
        pattern = ON_THE_PAGE.get(said.pattern, said.pattern)
        return not has_words(pattern) or pattern in known_texts(self.language)

    def _value(self, value: object) -> object:
        if isinstance(value, Worded | WrittenDay):
            return self.tell(value)
        return Decimals(value) if isinstance(value, float) and self.language == "de" else value

    def _written(self, day: WrittenDay) -> str:
        if day.style == "month":
            return self.short_month(day.day)
        return self.short_day(day.day) if day.style == "short" else self.day(day.day)

    def day(self, day: dt.date) -> str:
        """A day with its month in letters, which nobody can misread: 12 Mar 2027."""
        return self._date(day, "yMMMd")

    def short_day(self, day: dt.date) -> str:
        """A day without its year: 12 Mar."""
        return self._date(day, "MMMd")

    def weekday(self, day: dt.date) -> str:
        """A day with its name, for the head of the round: Friday, 20 November."""
        from babel.dates import format_date, get_date_format

        # The locale's own longest form, as only that has the name of the day in full.
        whole = get_date_format("full", self.locale).pattern
        return str(format_date(day, _YEAR.sub("", whole), self.locale))

    def short_month(self, day: dt.date) -> str:
        """The month of a day, shortened: Mar."""
        from babel.dates import format_date

        return str(format_date(day, "LLL", self.locale))

    def month(self, month: int) -> str:
        """The name of a month."""
        from babel.dates import get_month_names

        return str(get_month_names("wide", "stand-alone", self.locale)[month])

    def span(self, first: dt.date, last: dt.date) -> str:
        """Two days, the year once where it is the same."""
        if first == last:
            return self.day(first)
        begin = self.short_day(first) if first.year == last.year else self.day(first)
        return self.text("{first} to {last}", first=begin, last=self.day(last))

    def number(self, value: float, digits: int = 0) -> str:
        """A number with the locale's decimal sign."""
        from babel.numbers import format_decimal

        return str(format_decimal(round(value, digits), locale=self.locale))

    def area(self, area_m2: float) -> str:
        """An area of bench, in the reader's units."""
        if self.units == "imperial":
            return self.text("{area} sq ft", area=self.number(square_feet(area_m2), 1))
        return self.text("{area} m²", area=self.number(area_m2, 2 if area_m2 < 1 else 1))

    def spread(self, plants: PlantCount) -> str:
        """The range of a count: 22 to 33, 8 times in 10; empty where it is certain."""
        if plants.low == plants.high:
            return ""
        return self.text(
            "{low} to {high}, {times} times in 10",
            low=self.number(plants.low),
            high=self.number(plants.high),
            times=self.number(plants.chance * 10, 1),
        )

    def window(self, window: PotOn) -> str:
        """The likely day of a window, and its ends."""
        if window.early == window.late:
            return self.day(window.likely)
        ends = self.span(window.early, window.late)
        return self.text("{day} likely ({ends})", day=self.day(window.likely), ends=ends)

    def _date(self, day: dt.date, skeleton: str) -> str:
        from babel.dates import format_skeleton

        return str(format_skeleton(skeleton, day, locale=self.locale))


def speech_for(cookies: Mapping[str, str], accepted: str) -> Speech:
    """The reader's own choice where there is one, else what the browser asks for."""
    chosen = cookies.get("language", "")
    tag = chosen if chosen in LOCALES else _best(accepted)
    given = cookies.get("units", "")
    imperial = given == "imperial" or (not given and tag == "en-us")
    return Speech(tag, "imperial" if imperial else "metric")


def _best(accepted: str) -> str:
    """The first language of an Accept-Language header that the pages speak (RFC 9110, 12.5.4)."""
    weighed: list[tuple[float, int, str]] = []
    for at, part in enumerate(accepted[:200].split(",")):
        tag, _, rest = part.strip().lower().partition(";")
        try:
            weight = float(rest.strip().removeprefix("q=") or 1)
        except ValueError:
            weight = 0.0
        weighed.append((-weight, at, tag))
    for weight, _, tag in sorted(weighed):
        if weight < 0 and (known := _known(tag)):
            return known
    return "en"


def _known(tag: str) -> str:
    if tag in LOCALES:
        return tag
    language = tag.split("-")[0]
    return language if language in LANGUAGES else ""


def has_words(pattern: str) -> bool:
    """Whether anything is said between the holes of a pattern."""
    return any(letter.isalpha() for text, *_ in Formatter().parse(pattern) for letter in text)


@cache
def known_texts(language: str) -> frozenset[str]:
    """The English texts that a language has; of those that count, the one for 1."""
    from babel.messages.pofile import read_po

    with (FOLDER / f"{language}.po").open("rb") as file:
        ids = [message.id for message in read_po(file, locale=language) if message.id]
    return frozenset(each if isinstance(each, str) else each[0] for each in ids)


@cache
def _catalogue(language: str) -> gettext.NullTranslations:
    """The texts of a language; English is what the templates say already."""
    path = FOLDER / f"{language}.po"
    if not path.is_file():
        return gettext.NullTranslations()
    from babel.messages.mofile import write_mo
    from babel.messages.pofile import read_po

    compiled: Any = io.BytesIO()
    with path.open("rb") as file:
        write_mo(compiled, read_po(file, locale=language))
    compiled.seek(0)
    return gettext.GNUTranslations(compiled)
