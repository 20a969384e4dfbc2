"""No cell runs as a formula, and every text comes back as it was."""

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from propagate.csvcells import guard, unguard

# OWASP "CSV Injection": = + - @, tab, carriage return, line feed; full-width forms besides.
DANGEROUS = "=+-@\t\r\n＝＋－＠"
NASTY = st.text(st.sampled_from(DANGEROUS + "' \0aé"), max_size=6) | st.text(max_size=20)


@given(NASTY)
@example("'=1+1")
@example("''=1+1")
@example("'tis a rose")
def test_guard_and_unguard_are_a_round_trip(text):
    assert unguard(guard(text)) == text


@given(NASTY)
def test_no_guarded_cell_begins_like_a_formula(text):
    cell = guard(text)
    assert not cell.lstrip(" ").startswith(tuple(DANGEROUS))


@pytest.mark.parametrize("sign", DANGEROUS)
def test_every_dangerous_beginning_gets_an_apostrophe(sign):
    assert guard(sign + "1") == "'" + sign + "1"


def test_blanks_do_not_hide_a_formula():
    assert guard("  =1") == "'  =1"


@pytest.mark.parametrize("text", ["", "Ribes", "‘Alder Black’", "'Alder Black'", "7-8", "a=b"])
def test_harmless_text_is_left_alone(text):
    assert guard(text) == text
    assert unguard(text) == text
