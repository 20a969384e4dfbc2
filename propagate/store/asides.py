"""Files beside the book that only save time: written whole or not at all, and missed by nobody."""

from contextlib import suppress
from pathlib import Path


def put(path: Path, text: str) -> bool:
    """Write a file in one go over the one that is there; False where that cannot be done."""
    partial = path.with_name(path.name + ".partial")
    try:
        partial.write_text(text, encoding="utf-8")
        partial.replace(path)
    except OSError:
        with suppress(OSError):
            partial.unlink(missing_ok=True)
        return False
    return True
