"""The book on disk. Nothing above this package knows how, or in which database."""

from propagate.store.interface import BookStore, Writing
from propagate.store.sqlite import SqliteBook

__all__ = ["BookStore", "SqliteBook", "Writing"]
