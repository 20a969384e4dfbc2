"""The book on disk. Nothing above this package knows how, or in which database."""

from propagate.store.interface import BookStore, Reading, Writing
from propagate.store.opening import back_up_daily, open_book
from propagate.store.sqlite import SqliteBook

__all__ = ["BookStore", "Reading", "SqliteBook", "Writing", "back_up_daily", "open_book"]
