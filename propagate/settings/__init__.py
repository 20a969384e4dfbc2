"""The settings file of a nursery: read strictly into a Nursery, written once by `init`."""

from propagate.settings.book import read_book_settings
from propagate.settings.reading import read_settings
from propagate.settings.text import COMMON_FROSTS, settings_text
from propagate.settings.values import month_day

__all__ = ["COMMON_FROSTS", "month_day", "read_book_settings", "read_settings", "settings_text"]
