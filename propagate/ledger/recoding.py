"""What each batch is called now, where two copies of the book had given one code twice.

An entry says which start its codes meant (`about`), so a batch that goes by another code takes
all its entries along, those too that were written by somebody who did not know yet.
"""

from collections.abc import Iterator, Sequence, Set

from attrs import evolve

from propagate.records import events
from propagate.records.events import Entry, id_end

Renames = dict[str, str]
"""The end of the id of a start, and the code its batch has now."""


def renames_of(entries: Sequence[Entry], voided: Set[str]) -> Renames:
    """What the recodings that count say; of several for one batch the last."""
    said = [e for e in entries if isinstance(e.event, events.Recoded) and e.id not in voided]
    return {
        id_end(entry.event.start): entry.event.batch
        for entry in sorted(said, key=lambda entry: entry.id)
        if isinstance(entry.event, events.Recoded)
    }


def as_called_now(
    entries: Sequence[Entry], voided: Set[str]
) -> tuple[Sequence[Entry], frozenset[tuple[str, str]]]:
    """The entries with the codes of today, and which prints bear a code of yesterday."""
    renames = renames_of(entries, voided)
    if not renames:
        return entries, frozenset()
    misprints: set[tuple[str, str]] = set()
    return [_called(entry, renames, misprints) for entry in entries], frozenset(misprints)


def _called(entry: Entry, renames: Renames, misprints: set[tuple[str, str]]) -> Entry:
    event = entry.event
    if isinstance(event, events.Started):
        code = renames.get(id_end(entry.id), event.batch)
        return evolve(entry, event=evolve(event, batch=code)) if code != event.batch else entry
    if not entry.about or not renames.keys() & set(entry.about.split()):
        return entry
    if isinstance(event, events.LabelsPrinted):
        pairs = list(_pairs(event.batches, entry.about, renames))
        misprints |= {(entry.id, now) for was, now in pairs if was != now}
        return evolve(entry, event=evolve(event, batches=tuple(now for _, now in pairs)))
    if isinstance(event, events.Parted):
        (_, whole), (_, part) = _pairs((event.batch, event.into), entry.about, renames)
        return evolve(entry, event=evolve(event, batch=whole, into=part))
    ((_, now),) = _pairs((getattr(event, "batch", ""),), entry.about, renames)
    return evolve(entry, event=evolve(event, batch=now))  # type: ignore[arg-type]


def _pairs(codes: Sequence[str], about: str, renames: Renames) -> Iterator[tuple[str, str]]:
    """Each code as written, and as it is now."""
    for code, end in zip(codes, about.split(), strict=True):
        yield code, renames.get(end, code)
