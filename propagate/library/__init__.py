"""The method library: which ways there are to multiply a plant, and what each one gives."""

from propagate.library.library import Library, Match

__all__ = ["Library", "Match"]
