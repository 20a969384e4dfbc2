"""Words as people mean them: alike but for case and spaces, or near enough to be offered."""

from collections.abc import Iterable


def nearest(word: str, known: Iterable[str], count: int = 3, likeness: float = 0.6) -> list[str]:
    """At most `count` of the known words, best first, at least so alike (0 to 1)."""
    # Imported here because only a mistake needs it, and it takes milliseconds.
    from difflib import get_close_matches

    return get_close_matches(word, list(known), n=count, cutoff=likeness)


def folded(text: str) -> str:
    """A name without case and spaces: what is called so is meant, however it was typed."""
    return "".join(text.split()).casefold()
