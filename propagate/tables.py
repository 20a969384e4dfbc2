"""One TOML table, read strictly: every slip becomes a Problem with file, key and reason.

A `Table` hands out checked values. What is missing or of the wrong type is noted and
replaced by an empty value, so that reading goes on and all problems are shown together;
whoever asked looks at `clean` before using what came out.
"""

import math
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any, Final

import tomli
from attrs import define, field

from propagate.errors import Problem
from propagate.nearness import nearest
from propagate.worded import worded, wording

_KINDS: Final[dict[type, str]] = {
    str: wording("a text"),
    bool: wording("true or false"),
    int: wording("a whole number"),
    float: wording("a number"),
    list: wording("a list"),
    dict: wording("a table"),
}

_HINTS: Final[dict[str, str]] = {
    "Illegal character": wording("a quote is missing"),
    'Expected "\'"': wording("a quote is missing"),
    "Expected newline": wording("texts and days stand in quotes"),
    "Invalid value": wording("texts and days stand in quotes, true and false do not"),
    "Expected ']' at the end of a table": wording("a name of several words stands in quotes"),
    "Expected '='": wording("it has no = and no # before it"),
    "Cannot declare": wording("that heading stands there twice"),
    "Cannot overwrite": wording("that stands there twice"),
}
"""What growers can do about what the TOML reader says, by how that begins."""


@define
class Table:
    """The values under one heading of a file, and the problems found in them so far."""

    values: dict[str, Any]
    where: str
    problems: list[Problem] = field(factory=list)
    _asked: set[str] = field(factory=set)

    @property
    def clean(self) -> bool:
        """Whether nothing wrong was found under this heading."""
        return not self.problems

    def complain(self, what: str, key: str = "") -> None:
        """Note that something is wrong here, or with one key of it."""
        self.problems.append(Problem(f"{self.where}, {key}" if key else self.where, what))

    def gives(self, key: str) -> bool:
        """Whether the file has this key."""
        self._asked.add(key)
        return key in self.values

    def text(self, key: str, default: str | None = None) -> str:
        """A text; required, and then not empty, when no default is given."""
        value = self._value(key, str, "" if default is None else default, default is None)
        if default is None and isinstance(self.values.get(key), str) and not value.strip():
            self.complain(worded("it is empty"), key)
        return str(value).strip()

    def flag(self, key: str, default: bool) -> bool:
        """A yes or no."""
        return bool(self._value(key, bool, default))

    def choice(self, key: str, choices: Sequence[str], default: str | None = None) -> str:
        """One of some words; the first of them stands in when it is missing or wrong."""
        chosen = self.text(key, default)
        if chosen and chosen not in choices:
            what = worded('"{word}" is none of {words}', word=chosen, words=", ".join(choices))
            self.complain(_offered(what, chosen, choices), key)
        return chosen if chosen in choices else choices[0]

    def number(self, key: str, default: float | None = None) -> float:
        """A finite number; required when no default is given."""
        value = self._value(key, float, 0.0 if default is None else default, default is None)
        if not math.isfinite(value):
            self.complain(worded("{number} is not a finite number", number=value), key)
        return float(value)

    def pair(
        self, key: str, default: tuple[float, float] | None, *, lowest: float = 0
    ) -> tuple[float, float] | None:
        """Two numbers, the smaller first, none below `lowest`."""
        if not self.gives(key):
            return default
        given = self.values[key]
        if not (isinstance(given, list) and len(given) == 2 and all(map(_is_number, given))):
            self.complain(
                worded(
                    "a list of two numbers is wanted, such as [20, 25], not {given!r}", given=given
                ),
                key,
            )
            return default
        if given[0] > given[1]:
            self.complain(
                worded(
                    "the range is upside down: {low:g} to {high:g}", low=given[0], high=given[1]
                ),
                key,
            )
        if given[0] < lowest:
            self.complain(
                worded("{number:g} is below {lowest:g}", number=given[0], lowest=lowest), key
            )
        return float(given[0]), float(given[1])

    def sizes(self, key: str) -> tuple[float, float] | None:
        """Two lengths above 0 in any order, None when they are not given."""
        if not self.gives(key):
            return None
        given = self.values[key]
        if not (isinstance(given, list) and len(given) == 2 and all(map(_is_length, given))):
            self.complain(
                worded(
                    "two lengths above 0 are wanted, such as [54, 28], not {given!r}", given=given
                ),
                key,
            )
            return None
        return float(given[0]), float(given[1])

    def texts(self, key: str, default: Sequence[str] | None = ()) -> tuple[str, ...]:
        """Several texts; a lone text counts as a list of one. Required when default is None."""
        if isinstance(self.values.get(key), str):
            return (self.text(key),)
        given = self._value(key, list, list(default or ()), default is None)
        wrong = [entry for entry in given if not isinstance(entry, str) or not entry.strip()]
        for entry in wrong:
            self.complain(worded("each entry is a text, {given!r} is not", given=entry), key)
        if default is None and self.values.get(key) == []:
            self.complain(worded("it is empty"), key)
        return tuple(entry.strip() for entry in given if entry not in wrong)

    def table(self, key: str) -> "Table":
        """A table inside this one; an empty one when it is missing, which is a problem."""
        return self._inner(self._value(key, dict, {}, required=True), key)

    def tables(self, key: str, naming: str) -> list["Table"]:
        """The tables of a list such as [[stage]]; `naming` is the key that tells them apart."""
        given = self._value(key, list, [])
        found = []
        for number, values in enumerate(given, start=1):
            if isinstance(values, dict):
                found.append(self._inner(values, f"{key} {values.get(naming, number)}"))
            else:
                self.complain(
                    worded(
                        "entry {number} is not a table; write [[{key}]]", number=number, key=key
                    ),
                    key,
                )
        return found

    def named_tables(self) -> list[tuple[str, "Table"]]:
        """Every value as a table under its own heading, as in a file of plants or sources."""
        found = []
        for heading, values in self.values.items():
            self._asked.add(heading)
            if isinstance(values, dict):
                found.append((heading, self._inner(values, heading)))
            else:
                self.complain(worded("it stands outside every table"), heading)
        return found

    def take_over(self, inner: "Table") -> None:
        """Collect the problems of a table inside this one."""
        self.problems.extend(inner.problems)

    def finish(self) -> None:
        """Complain about every key that nobody asked for."""
        for key in self.values:
            if key not in self._asked:
                self.complain(_offered(worded("unknown key"), key, sorted(self._asked)), key)

    def _inner(self, values: dict[str, Any], heading: str) -> "Table":
        return Table(values, f"{self.where}, {heading}")

    def _value(self, key: str, kind: type, default: Any, required: bool = False) -> Any:
        if not self.gives(key):
            if required:
                self.complain(worded("it is missing"), key)
            return default
        given = self.values[key]
        fits = _is_number(given) if kind is float else type(given) is kind
        if not fits:
            self.complain(
                worded("{kind} is wanted, not {given!r}", kind=worded(_KINDS[kind]), given=given),
                key,
            )
            return default
        return given


def read_table(path: Path, where: str) -> Table:
    """The whole of a TOML file as one table; a file that cannot be read is an empty one."""
    try:
        text = path.read_text(encoding="utf-8-sig")
        return Table(tomli.loads(text), where)
    except tomli.TOMLDecodeError as error:
        problem = _slip(error, text, where)
    except UnicodeDecodeError:
        problem = Problem(where, worded("it cannot be read: save it as UTF-8 text"))
    except OSError as error:
        problem = Problem(where, worded("it cannot be read: {why}", why=error.strerror))
    return Table({}, where, [problem])


def _slip(error: tomli.TOMLDecodeError, text: str, where: str) -> Problem:
    """What is wrong with the line at which TOML could not be read any further."""
    line = text.splitlines()[error.lineno - 1].strip() if error.lineno <= text.count("\n") else ""
    hint = next(
        (worded(hint) for sign, hint in _HINTS.items() if error.msg.startswith(sign)), error.msg
    )
    # A line with an address is not shown: it may hold a password.
    shown = f": {line}" if line and "://" not in line else ""
    what = worded("it cannot be read ({hint}){shown}", hint=hint, shown=shown)
    return Problem(worded("{file}, line {number}", file=where, number=error.lineno), what)


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _is_length(value: object) -> bool:
    return _is_number(value) and 0 < float(value) < math.inf  # type: ignore[arg-type]


def _offered(what: str, word: str, known: Iterable[str]) -> str:
    """What is wrong, with the nearest word that would be right."""
    near = nearest(word, known, count=1)
    return worded('{what}; did you mean "{near}"?', what=what, near=near[0]) if near else what
