"""A plant name taken apart, by the codes for wild (ICN) and cultivated plants (ICNCP)."""

import re
import unicodedata
from collections.abc import Callable
from functools import cached_property
from typing import Final, Literal

from attrs import fields, frozen

from propagate.errors import Refused
from propagate.names import tokens, typeset
from propagate.worded import worded, wording

_LOWER: Final = "[a-zà-öø-þ]"
_UPPER: Final = "[A-ZÀ-ÖØ-Þ]"
GENUS: Final = re.compile(f"{_UPPER}{_LOWER}+(?:-{_LOWER}+)*")
EPITHET: Final = re.compile(f"{_LOWER}+(?:-{_LOWER}+)*")
LONGEST_NAME: Final = 200  # characters; more is no name, and fits no label


@frozen
class PlantName:
    """One plant name in separate fields, "" where it has none of that kind.

    `trade` is the selling name, in capitals; `cultivar` stands without quotes; `group` ends with
    the word "Group"; `tag` is free upright text such as "sp." or "seedling FC-12". A hybrid
    formula has `parents` joined by `formula_sign`, and nothing else.
    Every name equals `parse(str(name))`; fields that could not are refused (Refused).
    """

    genus: str = ""
    genus_sign: Literal["", "×", "+"] = ""
    species: str = ""
    species_sign: Literal["", "×"] = ""
    qualifier: Literal["", "cf.", "aff."] = ""
    rank: Literal["", "subsp.", "var.", "f."] = ""
    infra: str = ""
    group: str = ""
    trade: str = ""
    cultivar: str = ""
    variety_unknown: bool = False
    tag: str = ""
    sex: Literal["", "♀", "♂"] = ""
    parents: tuple["PlantName", ...] = ()
    formula_sign: Literal["", "×", "+"] = ""

    def __attrs_post_init__(self) -> None:
        if self.parents:
            _check_formula(self)
        else:
            _check_latin(self)
            _check_rest(self)
        if len(str(self)) > LONGEST_NAME:
            raise Refused(worded("A plant name has at most {most} characters.", most=LONGEST_NAME))

    def __str__(self) -> str:
        return self._text

    @cached_property
    def _text(self) -> str:
        return "".join(span.text for span in self.spans())

    def __lt__(self, other: "PlantName") -> bool:
        return (self.sort_key, str(self)) < (other.sort_key, str(other))

    def spans(self) -> tuple[typeset.Span, ...]:
        """The name in styled stretches; their texts joined equal `str(name)`."""
        return typeset.spans(self)

    @property
    def species_name(self) -> str:
        """Genus, species and rank below it, with their signs: the key to the methods.

        "cf." and "aff." are left out: the methods of the plant it is thought to be apply.
        """
        if self.parents:
            return f" {self.formula_sign} ".join(parent.species_name for parent in self.parents)
        parts = (self.genus_sign, self.genus, self.species_sign, self.species)
        return " ".join(part for part in (*parts, self.rank, self.infra) if part)

    @property
    def key(self) -> str:
        """The same for all spellings of one name: small letters, no hybrid sign."""
        if self.parents:
            return f" {self.formula_sign} ".join(parent.key for parent in self.parents)
        return " ".join(self._words(f"'{self.cultivar}'" if self.cultivar else "")).casefold()

    @property
    def sort_key(self) -> str:
        """Where the name stands in a list: signs, quotes, case and accents do not count."""
        if self.parents:
            return " ".join(parent.sort_key for parent in self.parents)
        decomposed = unicodedata.normalize("NFKD", " ".join(self._words(self.cultivar)))
        letters = (ch for ch in decomposed if ch.isalnum() or ch in " .-")
        return "".join(letters).casefold()

    @property
    def is_cultivar(self) -> bool:
        """Whether the name is that of one cultivar, by its epithet or by its selling name."""
        return bool(self.cultivar or self.trade)

    def settled(self, cultivar_or_name: str) -> "PlantName":
        """Put the variety in, once it is known: a cultivar, quoted or not, or a whole name.

        An accession number and other free text stay. Raises Refused for what is no name.
        """
        from propagate.names.parse import settle  # parse builds names, so it comes after them

        return settle(self, cultivar_or_name)

    def _words(self, cultivar: str) -> tuple[str, ...]:
        unknown = typeset.UNKNOWN_VARIETY if self.variety_unknown else ""
        latin = (self.genus, self.qualifier, self.species, self.rank, self.infra)
        rest = (self.group, self.trade, cultivar, unknown, self.tag, self.sex)
        return tuple(word for word in (*latin, *rest) if word)


def _require(holds: object, pattern: str, **values: object) -> None:
    if not holds:
        raise Refused(worded(pattern, **values))


def _check_formula(name: PlantName) -> None:
    plain = {field.name: getattr(name, field.name) for field in fields(PlantName)}
    del plain["parents"], plain["formula_sign"]
    _require(not any(plain.values()), "A hybrid formula has parents and no other field.")
    _require(name.formula_sign in ("×", "+"), "A hybrid formula is joined by × or +.")
    _require(len(name.parents) > 1, "A hybrid formula has two parents at least.")
    for parent in name.parents:
        _require(not parent.parents, "The parents of a formula are no formulas themselves.")
        more = len(parent._words(parent.cultivar)) > 1
        _require(more, wording("{name} in a formula needs a species, or “sp.”."), name=parent)


def _check_latin(name: PlantName) -> None:
    _require(
        GENUS.fullmatch(name.genus),
        wording("“{word}” is no genus name, such as Salix."),
        word=name.genus,
    )
    _require(name.genus_sign in ("", "×", "+"), "Before a genus stands × or +.")
    _require(name.species_sign in ("", "×"), "Before a species epithet stands only ×.")
    _require(
        not name.species or is_epithet(name.species),
        wording("“{word}” is no epithet."),
        word=name.species,
    )
    _require(
        name.species or not (name.species_sign or name.qualifier or name.rank),
        wording("“{word}” needs a species epithet after ×, cf., aff. and before a rank."),
        word=name.genus,
    )
    _require(name.qualifier in ("", "cf.", "aff."), "A qualifier is cf. or aff.")
    _require(name.rank in ("", "subsp.", "var.", "f."), "The rank is subsp., var. or f.")
    _require(bool(name.rank) == bool(name.infra), "After subsp., var. or f. comes an epithet.")
    _require(
        not name.infra or is_epithet(name.infra),
        wording("“{word}” is no epithet."),
        word=name.infra,
    )
    _require(name.sex in ("", "♀", "♂"), "The sex mark is ♀ or ♂.")


def _check_rest(name: PlantName) -> None:
    checks: tuple[tuple[str, Callable[[str], None]], ...] = (
        (name.group, _check_group),
        (name.trade, _check_trade),
        (name.cultivar, _check_cultivar),
        (name.tag, _check_tag),
    )
    for text, check in checks:
        if text:
            _require(
                text == tokens.clean(text),
                wording("“{text}” has stray spaces or characters."),
                text=text,
            )
            check(text)
    _require(
        not (name.cultivar and name.variety_unknown),
        wording("The variety is either unknown or ‘{cultivar}’, not both."),
        cultivar=name.cultivar,
    )
    if name.tag.startswith(("sp.", "spp.")):
        known = name.species or name.variety_unknown or name.group or name.is_cultivar
        _require(
            not known,
            wording("“sp.” stands for a species without a name; leave it out of {name}."),
            name=name,
        )


def is_epithet(word: str) -> bool:
    """Whether `word` can be a species epithet: two small letters or more, and no rank word."""
    return len(word) > 1 and bool(EPITHET.fullmatch(word)) and word not in tokens.RESERVED


def _check_group(group: str) -> None:
    found = tokens.tokenise(group)
    whole = tokens.group_end(found, 0) == len(found) and group.endswith(" Group")
    _require(whole, wording("“{word}” is no Group name, such as “Capitata Group”."), word=group)
    for token in found[:-1]:
        capital = token.text[0].isalnum() and not token.text[0].islower()
        _check_text(group, capital and _is_plain(token))


def _check_trade(trade: str) -> None:
    found = tokens.tokenise(trade)
    _require(
        tokens.begins_trade(found[0]),
        wording("A selling name is in capitals, unlike “{word}”."),
        word=trade,
    )
    _check_text(trade, all(tokens.is_trade_word(token) and _is_plain(token) for token in found))


def _check_tag(tag: str) -> None:
    found = tokens.tokenise(tag)
    pieces, at = [], 0
    while at < len(found):
        end = tokens.tag_end(found, at)
        _check_text(tag, end > at)
        pieces.append(tokens.tag_text(found[at:end]))
        at = end
    _check_text(tag, " ".join(pieces) == tag and all(map(_is_plain, found)))


def _is_plain(token: tokens.Token) -> bool:
    """Whether `token` reads as the same word or bracket wherever it stands in a name."""
    if token.kind == "word":
        return not set("()") & set(token.text)
    text = token.text
    special = "(" in text or tokens.is_unknown(text) or text.casefold().endswith(" group")
    return bool(text) and not special


def _check_text(text: str, holds: object) -> None:
    _require(
        holds, wording("“{text}” cannot be understood here; a cultivar goes in quotes."), text=text
    )
    _require(
        not tokens.has_loose_quote(text),
        wording("The quotes in “{text}” are not needed here."),
        text=text,
    )


def _check_cultivar(cultivar: str) -> None:
    shown = f"‘{cultivar}’"
    _require(
        sum(ch.isalpha() for ch in cultivar) > 0,
        wording("{name} has no letter; a cultivar epithet is more than digits and marks."),
        name=shown,
    )
    single = len(cultivar) == 1 and cultivar.upper() != cultivar.lower()
    _require(not single, wording("{name} is one letter; a cultivar epithet is longer."), name=shown)
    _require(
        not tokens.is_unknown(cultivar), wording("An unknown variety has no cultivar epithet.")
    )
    _require(
        "group" not in cultivar.casefold().split(),
        wording(
            "A Group stands outside the quotes, as in (Capitata Group) ‘Brunswick’, unlike {name}."
        ),
        name=shown,
    )
    doubled = len(cultivar) > 1 and cultivar[0] in tokens.QUOTES and cultivar[-1] in tokens.QUOTES
    curled = tokens.curl_quotes(cultivar) == cultivar
    inner = any(ch in tokens.DOUBLE_QUOTES for ch in cultivar)
    closes = tokens.closing_quote(shown, 0) == len(shown) - 1
    _require(
        curled and closes and not (doubled or inner),
        wording("The quotes around {name} are not clear; use one pair of single quotes."),
        name=shown,
    )
