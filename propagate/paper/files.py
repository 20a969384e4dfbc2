"""Files that are either whole or not there."""

import os
from pathlib import Path

from propagate.errors import Refused


def replace_file(path: Path, content: bytes) -> Path:
    """Write `content` beside `path` first, then put it in its place in one step.

    Raises Refused, with the reason, when the folder cannot be written; an older file of that
    name is then still whole.
    """
    part = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        part.write_bytes(content)
        part.replace(path)
    except OSError as fault:
        part.unlink(missing_ok=True)
        raise Refused(f"{path} cannot be written: {fault.strerror or fault}.") from fault
    return path
