"""The section [book] of the settings: who writes, on which device, where the book is kept."""

from pathlib import Path

from propagate.errors import refuse_all
from propagate.paths import BOOK_FILE, NURSERY_FILE
from propagate.records.nursery import BookSettings
from propagate.settings.values import close
from propagate.tables import Table, read_table
from propagate.worded import worded, wording

REFUSAL = wording("The settings cannot be used:")
URL_STARTS = ("postgresql://", "postgres://")


def read_book(table: Table) -> BookSettings:
    """The section, or its defaults where it is not there."""
    if not table.gives("book"):
        return BookSettings()
    inner = table.table("book")
    url = inner.text("url", "")
    if url and not url.startswith(URL_STARTS):
        # The value is not shown: a url may hold a password.
        inner.complain(
            worded("it must start with {start}; leave it out for a file here", start=URL_STARTS[0]),
            "url",
        )
    found = BookSettings(inner.text("by", ""), inner.text("device", ""), url)
    close(table, inner)
    return found


def read_book_settings(folder: Path) -> BookSettings:
    """What nursery.toml says of the book, whatever else is wrong with that file.

    A slip in the settings must not keep anybody from the book: where they cannot be read the
    file in the folder is taken, if it is there. Raises Refused otherwise.
    """
    if not (folder / NURSERY_FILE).is_file():
        return BookSettings()
    table = read_table(folder / NURSERY_FILE, NURSERY_FILE)
    if not table.clean and (folder / BOOK_FILE).is_file():
        return BookSettings()
    found = read_book(table)
    refuse_all(table.problems, REFUSAL)
    return found
