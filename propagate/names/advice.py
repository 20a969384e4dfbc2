"""Advice on names that can be understood but are not written as the codes ask.

The rules are of ICNCP, 9th edition 2016 (cultivar and Group), and ICN (hybrid signs, ranks).
Whether a name is right for the plant, or a Latin cultivar epithet old enough, is not judged.
"""

import re
from collections.abc import Iterator, Sequence
from typing import Final

from propagate.errors import Refused
from propagate.names import tokens
from propagate.names.name import PlantName, is_epithet
from propagate.names.parse import parse
from propagate.names.tokens import Token
from propagate.worded import worded

LONGEST_CULTIVAR: Final = 30  # letters, digits and marks without spaces, ICNCP, from 1996 on
_OWN_NUMBER: Final = re.compile(r"[A-Z]{1,4}[- ]?\d+")


def remarks(name_text: str) -> tuple[str, ...]:
    """What to write otherwise in `name_text`, one plain sentence each; () when it is well.

    A name that cannot be understood at all gets the sentence of its refusal.
    """
    try:
        name = parse(name_text)
    except Refused as refusal:
        return (refusal.said,)
    text = tokens.clean(name_text)
    found = tokens.tokenise(text)
    plants = name.parents or (name,)
    advice = [
        *_on_signs(text, found),
        *(remark for plant in plants for remark in _on_latin(plant, found)),
        *_on_quotes(text, found),
        *(remark for plant in plants for remark in _on_variety(plant, text)),
    ]
    return tuple(dict.fromkeys(advice))


def _on_signs(text: str, found: Sequence[Token]) -> Iterator[str]:
    for at, token in enumerate(found):
        if token.kind != "sign":
            continue
        typed = text[token.start]
        if typed == "X":
            yield worded("The hybrid sign is × or a small x, not a capital X.")
        if text[token.start + 1 : token.start + 2] == "-":
            yield worded("No hyphen comes after the hybrid sign.")
        orphan = found[at + 1].kind == "word" and is_epithet(found[at + 1].text)
        if orphan and len([t for t in found[:at] if t.kind != "sign"]) > 1:
            yield worded("Each parent in a cross has its genus or its initial, as in × K. robusta.")


def _on_latin(name: PlantName, found: Sequence[Token]) -> Iterator[str]:
    words = [token.text for token in found if token.kind == "word"]
    if name.genus not in words and name.genus.casefold() in map(str.casefold, words):
        yield worded("A genus has one capital, its first letter: {word}.", word=name.genus)
    for epithet in filter(None, (name.species, name.infra)):
        if epithet not in words and epithet in map(str.lower, words):
            yield worded(
                "A species epithet has no capital: {word}. A cultivar goes in quotes.", word=epithet
            )
    for token in found:
        rank = tokens.RANKS.get(token.bare) if token.kind == "word" else None
        if rank and rank == name.rank and token.text != rank:
            yield worded("The rank is written {rank}, not {word}.", rank=name.rank, word=token.text)


def _on_quotes(text: str, found: Sequence[Token]) -> Iterator[str]:
    for token in found:
        quoted = token.kind == "quoted"
        if quoted and text[token.start] in tokens.DOUBLE_QUOTES:
            yield worded("A cultivar stands in single quotes, not in double quotes.")
        if quoted and tokens.is_unknown(token.text):
            yield worded("Quotes are for a cultivar’s name; an unknown variety has none.")
        if quoted and token.text.casefold().endswith(" group"):
            yield worded("A Group has no quotes.")
        if token.kind == "word" and token.bare == "cv":
            yield worded("“cv.” is no longer written; the single quotes say it.")


def _on_variety(name: PlantName, text: str) -> Iterator[str]:
    shown = f"‘{name.cultivar}’"
    if name.cultivar[:1].islower():
        yield worded("A cultivar epithet begins with a capital, unlike {name}.", name=shown)
    length = sum(not ch.isspace() for ch in name.cultivar)
    if length > LONGEST_CULTIVAR:
        yield worded(
            "{name} has {count} characters without spaces; a cultivar named since 1996 has {most} "
            "at most.",
            name=shown,
            count=length,
            most=LONGEST_CULTIVAR,
        )
    if _OWN_NUMBER.fullmatch(name.cultivar):
        yield worded(
            "A number of your own is no cultivar: write seedling {number}, no quotes.",
            number=name.cultivar,
        )
    if name.group and name.group not in text:
        yield worded("A Group name has capitals: {name}.", name=name.group)
    if name.trade and not name.cultivar:
        yield worded(
            "{name} in capitals is taken for a selling name, without its cultivar.",
            name=name.trade,
        )
