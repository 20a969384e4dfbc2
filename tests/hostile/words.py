"""Words that have broken programs before, and strategies that mix them with random text."""

from hypothesis import strategies as st

ESCAPES = ("\x1b[31mred\x1b[0m", "\x1b]0;title\x07", "\x9b2J", "\x1b[2J\x1b[H", "\x08\x08\x7f")
"""What a terminal obeys instead of showing: ECMA-48 control sequences, C1 controls, deletes."""

TURNING = ("\u202egnp.exe", "\u2066x\u2069", "\u200fa\u200f", "a\u202e\u202db")
"""Marks that turn the reading direction (Unicode UAX 9; CVE-2021-42574)."""

UNSEEN = ("\u200b", "a\u200bb", "\ufeffx", "\u00ad", "\u2060", "\u200d", "\u180e")
FORMULAS = ("=1+1", "+2", "-3", "@SUM(A1)", "=cmd|' /C calc'!A0", "\t=1", "＝1", "'=1")
MARKUP = (
    "<script>alert(1)</script>",
    "</svg><b>",
    "&amp;",
    "]]>",
    "{{ 7*7 }}",
    "{% raw %}",
    "<!--",
)
PATHS = ("../up", "a/b", "a\\b", "/etc/passwd", "con", "~", ".", "..", "a\x00b")
ODD = ("", " ", "\n", "a\nb", "\r\n", "\u2028", "'", '"', "‘", "'’", "×", "x" * 5000, "é" * 400)
ODD_NUMBERS = ("0", "-1", "1e9", "NaN", "inf", "１２", "²", "9" * 400, "1_000", "0x10", "1.5", "")
ODD_DAYS = ("2027-02-30", "0000-00-00", "9999-12-31", "31 Feb", "٣ Mar", "1/2/3", "12 Mar 99999")

HOSTILE = (*ESCAPES, *TURNING, *UNSEEN, *FORMULAS, *MARKUP, *PATHS, *ODD, *ODD_NUMBERS, *ODD_DAYS)

hostile = st.one_of(
    st.sampled_from(HOSTILE),
    st.text(max_size=20),
    st.tuples(st.sampled_from(HOSTILE), st.text(max_size=5)).map("".join),
)
