"""What entries of an older book need, to be read as those of a newer one."""

from collections.abc import Iterable, Iterator
from typing import Any

from propagate.ledger import about
from propagate.records.events import id_end
from propagate.store.ids import following

POINTERS = ("entry", "after")  # the fields of bodies that hold the id of another entry
Line = tuple[str, str, dict[str, Any]]


def in_order(lines: Iterable[Line]) -> Iterator[tuple[str, dict[str, Any], str]]:
    """From (id, kind, body) in the order written to (id, body, what its codes mean).

    An id that sorts before the one above it becomes the next after that one, and whatever
    points at it follows. Nothing is left to chance, so two copies change alike.
    """
    last, renamed, starts = "", dict[str, str](), dict[str, str]()
    for key, kind, body in lines:
        last = renamed[key] = key if key > last else following(last)
        body |= {name: renamed[body[name]] for name in POINTERS if body.get(name) in renamed}
        meant = body.get("batches") or [body.get("batch", "")]
        yield last, body, about(meant, starts)
        if kind == "Started":
            starts.setdefault(body["batch"], id_end(last))
