"""Known words like a mistyped one."""

from propagate.nearness import nearest

KNOWN = ("runner", "offset", "division")


def test_the_likest_word_comes_first_and_no_more_than_asked():
    assert nearest("runer", KNOWN) == ["runner"]
    assert nearest("raspbery", ["raspberry", "red raspberry", "rasp"], count=1) == ["raspberry"]


def test_what_is_like_nothing_gives_nothing():
    assert nearest("xyzzy", KNOWN) == []
