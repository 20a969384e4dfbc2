"""Known words that look like a mistyped one, for messages that offer them."""

from collections.abc import Iterable


def nearest(word: str, known: Iterable[str], count: int = 3, likeness: float = 0.6) -> list[str]:
    """At most `count` of the known words, best first, at least so alike (0 to 1)."""
    # Imported here because only a mistake needs it, and it takes milliseconds.
    from difflib import get_close_matches

    return get_close_matches(word, list(known), n=count, cutoff=likeness)
