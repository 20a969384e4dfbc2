"""Where things are: the shipped data folders, and the nursery a command was called in."""

from pathlib import Path
from typing import Final

from propagate.errors import NotFound

NURSERY_FILE: Final = "nursery.toml"
BOOK_FILE: Final = "book.db"

_PACKAGE: Final = Path(__file__).parent


def methods_folder() -> Path:
    """The folder of the method records that came with the program."""
    return _shipped_folder("methods")


def labels_folder() -> Path:
    """The folder of the label templates and formats that came with the program."""
    return _shipped_folder("labels")


def find_nursery(start: Path) -> Path | None:
    """The nearest folder from `start` upwards that holds a nursery, None when there is none."""
    start = start.resolve()
    return next((at for at in (start, *start.parents) if (at / NURSERY_FILE).is_file()), None)


def _shipped_folder(name: str) -> Path:
    # An installed package carries its data inside; a checkout has it beside the package.
    for folder in (_PACKAGE / "_shipped" / name, _PACKAGE.parent / name):
        if folder.is_dir():
            return folder
    raise NotFound(f"The {name} folder is missing; install propagate again.")
