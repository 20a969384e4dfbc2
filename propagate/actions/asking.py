"""Questions to the method library, with or without a nursery around."""

from collections.abc import Sequence
from pathlib import Path

from propagate.actions.desk import library_only, open_desk_if_any
from propagate.errors import NotFound
from propagate.library import Library
from propagate.nearness import nearest
from propagate.planning.seasons import local_months
from propagate.records.methods import MethodRecord
from propagate.records.nursery import Nursery
from propagate.worded import worded

SHIPPED = "methods"
"""How records that came with the program name their folder; others carry their nursery's."""


def library_at(start: Path) -> tuple[Library, Nursery | None]:
    """The library as seen from a folder: a nursery's own when it lies in one, else the shipped."""
    found = open_desk_if_any(start)
    return found if found else (library_only(), None)


def find_records(
    library: Library, words: Sequence[str], month: int | None = None, nursery: Nursery | None = None
) -> tuple[MethodRecord, ...]:
    """Records that all words speak of, taken in `month` as months fall in the nursery.

    Raises NotFound with the nearest names when words were given and nothing fits them.
    """
    records = library.search(words)
    if not records and words:
        raise NotFound(
            worded('The library has nothing for "{words}".', words=" ".join(words)),
            _near(library, words),
        )
    if month is None:
        return records
    return tuple(record for record in records if month in months_of(record, nursery))


def own_records(library: Library) -> list[tuple[str, str]]:
    """Each record that a nursery's own folder gives, and what it wins over."""
    shipped = library_only()
    told = []
    for method in library.methods():
        known = method.id in shipped.ids
        before = {r.plant: r for r in shipped.method(method.id).records} if known else {}
        for record in (method.general, *method.records):
            if record.origin.startswith(f"{SHIPPED}/"):
                continue
            name = f"{record.plant or 'any plant'} by {method.id}"
            over = record.plant in before or (record.plant is None and known)
            why = "wins over the shipped record, being your own" if over else "is new"
            told.append((name, f"{why} ({record.origin})"))
    return told


def months_of(record: MethodRecord, nursery: Nursery | None) -> tuple[int, ...]:
    """The months of a record's season, in the nursery's hemisphere, the north without one."""
    months = record.season.months
    return local_months(months, nursery) if nursery else months


def _near(library: Library, words: Sequence[str]) -> list[str]:
    """The nearest names for the words together, else for the words one by one."""
    names = [*library.ids, *library.names()]
    by_fold = {name.casefold(): name for name in names}
    tried = [" ".join(words), *words]
    near = [n for text in tried for n in nearest(text.casefold(), by_fold, count=2)]
    return [by_fold[name] for name in dict.fromkeys(near)][:3]
