"""From what people type to a PlantName.

Accepted besides the canonical form: x, X or × for the hybrid sign, spaced or not; any quotes
around the cultivar; "cv." (dropped); ssp, var, f with or without full stop; wrong capitals.
A trade designation is typed in CAPITALS between species and cultivar (Rosa ICEBERG 'Korbin').
Capitals count as careless typing instead when the genus is not written with one capital either
(ribes NIGRUM). A genus in small letters needs an epithet with it: a single small word, such as
blackcurrant, is a common name, and those are the library's to resolve.
"""

import re
import unicodedata
from collections.abc import Sequence
from typing import Any, Literal

from attrs import evolve

from propagate.errors import Refused
from propagate.names import tokens
from propagate.names.name import GENUS, PlantName, is_epithet
from propagate.names.tokens import Token
from propagate.worded import worded

_INITIAL = re.compile(r"[^\W\d_]\.")
_JOINED_SIGN = re.compile(r"[xX](?=[A-ZÀ-ÖØ-Þ][a-zà-öø-þ])")


def parse(text: str) -> PlantName:
    """The plant name in `text`. Raises Refused, with one plain sentence, for anything else."""
    found = tokens.tokenise(_readable(text))
    parts, sign = _formula_parts(found)
    if len(parts) == 1:
        return _Reader(parts[0]).name()
    parents: list[PlantName] = []
    for part in parts:
        parents.append(_Reader(_with_genus(part, parents)).name())
    return PlantName(parents=tuple(parents), formula_sign=sign)


def split_cultivar(text: str) -> tuple[str, str]:
    """Cut `text` before whatever follows the species: selling name, cultivar, unknown mark, tag.

    "blackcurrant 'Ben Name'" gives ("blackcurrant", "'Ben Name'"); the second is "" when there
    is nothing of the kind. Raises Refused for empty text and for a quote left open.
    """
    tidy = _readable(text)
    found = tokens.tokenise(tidy)
    for at, token in enumerate(found):
        if _begins_rest(found, at):
            return tidy[: token.start].rstrip(), tidy[token.start :]
    return tidy, ""


def settle(name: PlantName, cultivar_or_name: str) -> PlantName:
    """`name` with its variety settled; see `PlantName.settled`."""
    text = _readable(cultivar_or_name)
    stem, rest = split_cultivar(text)
    first_word = stem.split(" ")[0].casefold()
    if stem and (rest or name.parents or first_word == name.genus.casefold()):
        known = parse(text)
        if name.tag and not (known.tag or known.parents):
            known = evolve(known, tag=_without_sp(name.tag))
    else:
        cultivar = text if rest else f"‘{text}’"
        base = evolve(name, cultivar="", variety_unknown=False, tag=_without_sp(name.tag))
        known = parse(f"{base} {cultivar}")
    if known.variety_unknown:
        raise Refused(worded("“{text}” does not say which variety it is.", text=text))
    return known


def _readable(text: str) -> str:
    tidy = tokens.clean(text)
    if not tidy:
        raise Refused(
            worded("A plant name is needed, such as Ribes nigrum 'Name', and none was given.")
        )
    if len(tidy) > tokens.LONGEST:
        raise Refused(worded("A plant name is shorter than {count} characters.", count=len(tidy)))
    return tidy


def _begins_rest(found: Sequence[Token], at: int) -> bool:
    token = found[at]
    if token.kind in ("quoted", "bracket", "mark"):
        return True
    if at == 0 or token.kind != "word":
        return False
    pair = " ".join(t.bare for t in found[at : at + 2])
    trade = tokens.begins_trade(token) and not tokens.begins_trade(found[0])
    return (
        trade
        or token.bare in tokens.TAG_WORDS
        or token.bare in ("cv", "unknown")
        or tokens.is_unknown(pair)
        or tokens.group_end(found, at) > at
    )


def _formula_parts(found: Sequence[Token]) -> tuple[list[list[Token]], Literal["×", "+"]]:
    """Cut a hybrid formula at the signs that stand between names, not before an epithet."""
    parts: list[list[Token]] = [[]]
    signs = set()
    for token in found:
        if token.kind == "sign" and sum(map(_counts_as_part, parts[-1])) > 1:
            signs.add(token.text)
            parts.append([])
        else:
            parts[-1].append(token)
    if len(signs) > 1:
        raise Refused(worded("A hybrid formula is joined by × or by +, not by both."))
    return parts, "+" if tokens.PLUS in signs else "×"


def _counts_as_part(token: Token) -> bool:
    """Whether `token` is more than a sign or qualifier, which leave the epithet still to come."""
    is_qualifier = token.kind == "word" and token.bare in tokens.QUALIFIERS
    return token.kind != "sign" and not is_qualifier


def _with_genus(part: list[Token], parents: Sequence[PlantName]) -> list[Token]:
    """Spell out the genus of a later parent: "K. robusta", or "robusta" alone."""
    place = next((at for at, token in enumerate(part) if token.kind != "sign"), None)
    if place is None or part[place].kind != "word":
        raise Refused(worded("After × or + comes an epithet, or the other parent of a cross."))
    if not parents:
        return part
    word = part[place]
    if _INITIAL.fullmatch(word.text):
        letter = word.text[0].upper()
        genus = next((p.genus for p in parents if p.genus.startswith(letter)), None)
        if genus is None:
            raise Refused(
                worded(
                    "No genus before “{word}” in the formula begins with {letter}.",
                    word=word.text,
                    letter=letter,
                )
            )
        return [*part[:place], Token("word", genus, word.start), *part[place + 1 :]]
    following = part[place + 1] if place + 1 < len(part) else None
    is_pair = following and following.kind == "word" and is_epithet(following.text.lower())
    if is_epithet(word.text) and not is_pair:
        return [Token("word", parents[-1].genus, word.start), *part]
    return part


def _without_sp(tag: str) -> str:
    """`tag` less a leading "sp.", which has no place beside a variety, known or unknown."""
    return re.sub(r"^spp?\. ?", "", tag)


def _nfc(text: str) -> str:
    return unicodedata.normalize("NFC", text)


class _Reader:
    """Reads the tokens of one name from left to right into the fields of a PlantName."""

    def __init__(self, found: Sequence[Token]) -> None:
        self.found = found
        self.at = 0
        self.fields: dict[str, Any] = {}
        self.tags: list[str] = []

    def name(self) -> PlantName:
        careless = self._genus()
        self._species(careless)
        self._rank()
        steps = (self._group, self._unknown, self._cultivar, self._sex, self._tag, self._trade)
        while self.at < len(self.found):
            if not any(step(self.found[self.at]) for step in steps):
                raise Refused(self._puzzle())
        tag = " ".join(self.tags)
        if self.fields.keys() & {"group", "trade", "cultivar", "variety_unknown"}:
            tag = _without_sp(tag)
        return PlantName(**self.fields, tag=tag)

    def _word(self, ahead: int = 0) -> Token | None:
        at = self.at + ahead
        token = self.found[at] if at < len(self.found) else None
        return token if token and token.kind == "word" else None

    def _set(self, field: str, value: object) -> None:
        if field in self.fields:
            raise Refused(worded("The name gives its {part} twice.", part=field.replace("_", " ")))
        self.fields[field] = value

    def _sign(self, field: str) -> None:
        if self.at < len(self.found) and self.found[self.at].kind == "sign":
            self._set(field, self.found[self.at].text)
            self.at += 1

    def _genus(self) -> bool:
        """Read the genus; tell whether its capitals are careless."""
        self._sign("genus_sign")
        token = self._word()
        if token is None:
            raise Refused(worded("A plant name begins with its genus, as in Ribes nigrum 'Name'."))
        written = token.text
        if _JOINED_SIGN.match(written) and "genus_sign" not in self.fields:
            self._set("genus_sign", tokens.TIMES)
            written = written[1:]
        if _INITIAL.fullmatch(written):
            raise Refused(worded("Write the genus in full instead of “{word}”.", word=written))
        genus = written[0].upper() + written[1:].lower()
        if any(sign in written for sign in "×+"):
            raise Refused(
                worded("The sign stands before the genus, not inside “{word}”.", word=written)
            )
        if not GENUS.fullmatch(genus):
            raise Refused(worded("“{word}” is no genus name, such as Salix.", word=written))
        self.fields["genus"] = genus
        self.at += 1
        if written.islower() and not self._latin_follows():
            raise Refused(
                worded(
                    "“{word}” is not a Latin plant name; a genus has a capital, as in Salix.",
                    word=written,
                )
            )
        return written != genus

    def _latin_follows(self) -> bool:
        if self.at < len(self.found) and self.found[self.at].kind == "sign":
            return True
        token = self._word()
        if token is None or tokens.group_end(self.found, self.at) > self.at:
            return False
        word = token.text.lower()
        return is_epithet(word) or token.bare in (*tokens.QUALIFIERS, "sp", "spp")

    def _species(self, careless: bool) -> None:
        token = self._word()
        if token and token.bare in tokens.QUALIFIERS:
            self._set("qualifier", tokens.QUALIFIERS[token.bare])
            self.at += 1
        self._sign("species_sign")
        token = self._word()
        if token is None or tokens.group_end(self.found, self.at) > self.at:
            return
        word = token.text
        loud = careless or "species_sign" in self.fields
        meant = word.islower() or word[1:].islower() or (word.isupper() and loud)
        if meant and is_epithet(word.lower()):
            self.fields["species"] = word.lower()
            self.at += 1

    def _rank(self) -> None:
        """Read subsp., var. and f.; of several the last, which names the plant by itself."""
        while (token := self._word()) and token.bare in tokens.RANKS:
            epithet = self._word(1)
            self.fields["rank"] = tokens.RANKS[token.bare]
            self.fields["infra"] = epithet.text.lower() if epithet else ""
            self.at += 2

    def _group(self, token: Token) -> bool:
        if token.kind in ("quoted", "bracket") and token.text.casefold().endswith(" group"):
            self._set_group(token.text.split(" "))
            self.at += 1
            return True
        end = tokens.group_end(self.found, self.at)
        if end == self.at:
            return False
        self._set_group([t.text for t in self.found[self.at : end]])
        self.at = end
        return True

    def _set_group(self, words: list[str]) -> None:
        words = [_nfc(words[0][0].upper() + words[0][1:]), *words[1:-1], "Group"]
        self._set("group", " ".join(words))

    def _unknown(self, token: Token) -> bool:
        second = self._word(1) if token.kind == "word" else None
        if second and tokens.is_unknown(f"{token.text} {second.text}"):
            self.at += 2
        elif tokens.is_unknown(token.text):
            self.at += 1
        else:
            return False
        self.fields["variety_unknown"] = True
        return True

    def _cultivar(self, token: Token) -> bool:
        if token.kind == "quoted":
            if not token.text:
                raise Refused(
                    worded("There is nothing between the quotes; write the cultivar there.")
                )
            self._set("cultivar", token.text)
            self.at += 1
            return True
        if token.kind != "word" or token.bare != "cv":
            return False
        self.at += 1
        words = []
        while word := self._word():
            words.append(word.text)
            self.at += 1
        if words:
            self._set("cultivar", " ".join(words))
        elif self.at == len(self.found):
            raise Refused(worded("After “cv.” comes the cultivar, in quotes."))
        return True

    def _sex(self, token: Token) -> bool:
        if token.kind != "mark" or token.text not in tokens.SEXES:
            return False
        self._set("sex", token.text)
        self.at += 1
        return True

    def _tag(self, token: Token) -> bool:
        end = tokens.tag_end(self.found, self.at)
        if end == self.at:
            return False
        last = self.found[end - 1]
        quoted_next = end < len(self.found) and self.found[end].kind == "quoted"
        if quoted_next and last.bare in ("of", "from", "ex", "by"):
            raise Refused(
                worded(
                    "After “{word}” write ‘{cultivar}’ without quotes: the plant itself is not "
                    "that cultivar.",
                    word=last.text,
                    cultivar=self.found[end].text,
                )
            )
        self.tags.append(tokens.tag_text(self.found[self.at : end]))
        self.at = end
        return True

    def _trade(self, token: Token) -> bool:
        if not tokens.begins_trade(token):
            return False
        words = []
        while (word := self._word()) and tokens.is_trade_word(word):
            words.append(word.text)
            self.at += 1
        self._set("trade", " ".join(words))
        return True

    def _puzzle(self) -> str:
        token = self.found[self.at]
        if token.kind == "sign":
            return worded(
                "× or + stands before a genus, before a species epithet or between two names."
            )
        if tokens.has_loose_quote(token.text):
            return worded(
                "The quotes do not pair at “{word}”; quote the whole cultivar epithet.",
                word=token.text,
            )
        if is_epithet(token.text):
            return worded("Before “{word}” write its rank: subsp., var. or f.", word=token.text)
        return worded(
            "“{word}” cannot be understood: put a cultivar in quotes, as in Ribes nigrum 'Name'; "
            "leave out authors.",
            word=token.text,
        )
