"""Make a nursery: a folder with a settings file and an empty book."""

from pathlib import Path

from propagate.errors import Refused
from propagate.paths import BOOK_FILE, NURSERY_FILE
from propagate.records.nursery import MonthDay
from propagate.settings import settings_text
from propagate.store import SqliteBook


def found_nursery(
    folder: Path,
    name: str = "",
    hemisphere: str = "north",
    *,
    last_frost: MonthDay | None = None,
    first_frost: MonthDay | None = None,
) -> Path:
    """Make `folder` a nursery and return its settings file.

    Raises Refused when it is one already, or cannot be made.
    """
    settings = folder / NURSERY_FILE
    if settings.exists():
        raise Refused(f"{folder} is a nursery already; its settings are in {settings}.")
    if folder.exists() and not folder.is_dir():
        raise Refused(f"{folder} is a file; give the name of a folder.")
    text = settings_text(
        name.strip() or folder.resolve().name.strip() or "Nursery",
        hemisphere,
        last_frost=last_frost,
        first_frost=first_frost,
    )
    try:
        folder.mkdir(parents=True, exist_ok=True)
        SqliteBook(folder / BOOK_FILE).close()
        settings.write_text(text, encoding="utf-8")
    except OSError as error:
        raise Refused(f"{folder} cannot be made a nursery: {error.strerror}.") from None
    return settings
