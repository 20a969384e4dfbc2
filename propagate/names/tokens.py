"""The pieces a typed plant name falls into: words, quoted epithets, brackets, signs and marks.

Quotes are the hard part, because an apostrophe looks like one: 'Mother's Choice', 'Rock 'n' Roll',
'Growers' Pride'. A quote opens an epithet at the start of a word; it closes one at the end of a
word, unless a later quote that ends a word comes before the next that starts one.
"""

import re
import unicodedata
from collections.abc import Sequence
from itertools import zip_longest
from typing import Final, Literal

from attrs import frozen

from propagate.errors import Refused
from propagate.worded import worded

TIMES: Final = "×"
PLUS: Final = "+"
SIGNS: Final = {"x": TIMES, "X": TIMES, TIMES: TIMES, PLUS: PLUS}
SEXES: Final = "♀♂"
APOSTROPHE: Final = "’"
SINGLE_QUOTES: Final = "'‘’‚‛`´′"
DOUBLE_QUOTES: Final = '"“”„‟«»″'
QUOTES: Final = SINGLE_QUOTES + DOUBLE_QUOTES
_CV_BEFORE_QUOTE: Final = re.compile(rf"cv\.?(?=[{QUOTES}])", re.IGNORECASE)
LONGEST: Final = 1000  # characters of typed text; the canonical text is held shorter

RANKS: Final = {
    "subsp": "subsp.",
    "ssp": "subsp.",
    "subspecies": "subsp.",
    "var": "var.",
    "f": "f.",
    "forma": "f.",
}
QUALIFIERS: Final = {"cf": "cf.", "aff": "aff."}
TAG_WORDS: Final = {
    "sp": "sp.",
    "spp": "spp.",
    "acc": "acc.",
    "agg": "agg.",
    "hort": "hort.",
    "accession": "accession",
    "clone": "clone",
    "hybrid": "hybrid",
    "seedling": "seedling",
    "seedlings": "seedlings",
    "selection": "selection",
    "sport": "sport",
}
UNKNOWN: Final = {
    "?",
    "unknown",
    "unknown variety",
    "variety unknown",
    "unknown cultivar",
    "cultivar unknown",
}
RESERVED: Final = {
    *RANKS,
    *QUALIFIERS,
    *TAG_WORDS,
    *("cv", "cultivar", "group", "unknown", "variety"),
}
"""Words that mean something in a name, so that none can be an epithet."""

Kind = Literal["word", "quoted", "bracket", "sign", "mark"]


@frozen
class Token:
    """One piece of a name. `start` is where it begins in the cleaned text.

    `text` is the word itself, the text inside the quotes or brackets, the sign as × or +,
    or one of the marks ?, ♀ and ♂.
    """

    kind: Kind
    text: str
    start: int

    @property
    def bare(self) -> str:
        """The word in small letters without its full stop, to look it up."""
        return self.text.casefold().rstrip(".")


def clean(text: str) -> str:
    """Composed (NFC) text with single spaces and no invisible characters.

    The joiners U+200C and U+200D stay, as some scripts are spelt with them.
    Raises Refused for control characters and broken text.
    """
    kept = "".join(ch for ch in text if not _is_invisible(ch))
    tidy = " ".join(unicodedata.normalize("NFC", kept).split())
    if any(unicodedata.category(ch) in ("Cc", "Cs", "Co") for ch in tidy):
        raise Refused(
            worded("The name {name!r} contains characters that cannot be printed.", name=tidy)
        )
    return tidy


def _is_invisible(ch: str) -> bool:
    if ch in "\u200c\u200d":
        return False
    return ch in "\ufe0e\ufe0f" or unicodedata.category(ch) == "Cf"


def tokenise(text: str) -> list[Token]:
    """Cut cleaned `text` into tokens. Raises Refused for a quote or bracket left open."""
    tokens: list[Token] = []
    at = 0
    while at < len(text):
        if text[at] == " ":
            at += 1
            continue
        found, at = _token_at(text, at)
        tokens.append(found)
    return tokens


def _token_at(text: str, at: int) -> tuple[Token, int]:
    if text[at] in QUOTES:
        end = closing_quote(text, at)
        return Token("quoted", curl_quotes(text[at + 1 : end].strip()), at), end + 1
    if text[at] == "(":
        end = text.find(")", at)
        if end < 0:
            raise Refused(worded("A bracket in “{text}” is opened and never closed.", text=text))
        return Token("bracket", curl_apostrophes(text[at + 1 : end].strip()), at), end + 1
    word = text[at:].split(" ", 1)[0]
    sign = _sign_of(word)
    if sign:
        return Token("sign", SIGNS[sign[0]], at), at + len(sign)
    if word == "?" or word in SEXES:
        return Token("mark", word, at), at + 1
    if glued := _CV_BEFORE_QUOTE.match(word):
        word = glued[0]
    return Token("word", curl_apostrophes(word), at), at + len(word)


def _sign_of(word: str) -> str:
    """The hybrid sign that `word` is or begins with, as typed; "x-" counts, "xanthina" not."""
    if word in SIGNS:
        return word
    if word[0] in (TIMES, PLUS):
        return word[:2] if word[1] == "-" else word[0]
    return word[:2] if word[0] in SIGNS and word[1] == "-" else ""


def closing_quote(text: str, opening: int) -> int:
    """Position of the quote that closes the one at `opening`. Raises Refused without one."""
    family = SINGLE_QUOTES if text[opening] in SINGLE_QUOTES else DOUBLE_QUOTES
    quotes = [
        at
        for at in range(opening + 1, len(text))
        if text[at] in family and (_starts_word(text, at) or _ends_word(text, at))
    ]
    for at, following in zip_longest(quotes, quotes[1:]):
        if _ends_word(text, at) and (following is None or _starts_word(text, following)):
            return at
    raise Refused(
        worded(
            "A quote in “{text}” is opened and never closed; close it after the cultivar.",
            text=text,
        )
    )


def _starts_word(text: str, at: int) -> bool:
    return at == 0 or text[at - 1] in " ("


def _ends_word(text: str, at: int) -> bool:
    return at + 1 == len(text) or text[at + 1] in " ),;"


def curl_quotes(text: str) -> str:
    """`text` with every single quote as the typographic apostrophe."""
    return "".join(APOSTROPHE if ch in SINGLE_QUOTES else ch for ch in text)


def curl_apostrophes(text: str) -> str:
    """`text` with the single quotes inside words as typographic apostrophes."""
    return "".join(
        APOSTROPHE if ch in SINGLE_QUOTES and not _at_edge(text, at) else ch
        for at, ch in enumerate(text)
    )


def has_loose_quote(text: str) -> bool:
    """Whether `text` holds a quote that is not an apostrophe inside a word."""
    return any(
        ch in DOUBLE_QUOTES or (ch in SINGLE_QUOTES and _at_edge(text, at))
        for at, ch in enumerate(text)
    )


def _at_edge(text: str, at: int) -> bool:
    return _starts_word(text, at) or _ends_word(text, at)


def is_unknown(text: str) -> bool:
    """Whether `text` says that the variety is not known."""
    return " ".join(text.casefold().replace("cv.", "cultivar").split()) in UNKNOWN


def group_end(tokens: Sequence[Token], at: int) -> int:
    """Position after a Group name that begins at `at`, or `at` when none does.

    A Group name is one word, or several with capitals, before the word "Group".
    """
    end = at
    while end < len(tokens) and tokens[end].kind == "word" and tokens[end].bare not in RESERVED:
        end += 1
    is_group = at < end < len(tokens) and tokens[end].kind == "word" and tokens[end].bare == "group"
    if is_group and (end == at + 1 or not any(t.text[0].islower() for t in tokens[at:end])):
        return end + 1
    return at


def tag_end(tokens: Sequence[Token], at: int) -> int:
    """Position after a piece of free text that begins at `at`, or `at` when none does.

    Free text is a bracket, or a word such as "sp." or "seedling" with the words after it.
    """
    if tokens[at].kind == "bracket":
        return at + 1
    if tokens[at].kind != "word" or tokens[at].bare not in TAG_WORDS:
        return at
    while at < len(tokens) and tokens[at].kind == "word":
        at += 1
    return at


def tag_text(tokens: Sequence[Token]) -> str:
    """The free text of `tokens`, with its first word in its usual form."""
    first, *rest = tokens
    if first.kind == "bracket":
        return f"({first.text})"
    return " ".join([TAG_WORDS[first.bare], *(token.text for token in rest)])


def is_trade_word(token: Token) -> bool:
    """Whether `token` can be one word of a trade designation: all in capitals."""
    return (
        token.kind == "word"
        and token.text == token.text.upper()
        and token.bare not in RESERVED
        and (token.text[0].isalnum() or token.text[0] == "&")
    )


def begins_trade(token: Token) -> bool:
    """Whether a trade designation can begin with `token`: two capital letters at least."""
    return is_trade_word(token) and sum(ch.isupper() for ch in token.text) >= 2
