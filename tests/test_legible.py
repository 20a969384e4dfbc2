"""Texts are cleaned before they are kept and harmless where they are shown."""

import pytest

from propagate.errors import Refused
from propagate.legible import LONGEST, legible, shown, told_shortly


def test_a_text_is_kept_without_what_nobody_sees() -> None:
    assert legible(" north\u200b  bed\n") == "north bed"
    assert legible("e\u0301") == "\u00e9"  # NFC, Unicode UAX 15
    assert legible("\u202egnp.exe") == "gnp.exe"
    assert legible("\u0928\u094d\u200d") == "\u0928\u094d\u200d"  # a joiner that spells


@pytest.mark.parametrize("text", ["a\x1b[2J", "a\x00b", "\x9b2J", "\ud800", "\ue000"])
def test_a_text_that_cannot_be_printed_is_refused(text: str) -> None:
    with pytest.raises(Refused, match="cannot be printed"):
        legible(text)


def test_a_text_as_long_as_a_file_is_refused() -> None:
    with pytest.raises(Refused, match=f"{LONGEST} is the most"):
        legible("x" * (LONGEST + 1))


def test_a_screen_is_shown_codes_instead_of_orders() -> None:
    assert shown("a\x1b[31mb\u202ec\x7f") == r"a\u001b[31mb\u202ec\u007f"
    assert shown("two\nlines\tand × ’ שלום") == "two\nlines\tand × ’ שלום"


def test_a_refusal_does_not_say_back_a_whole_file() -> None:
    assert len(told_shortly("short\n" + "x" * 100_000)) < 700
