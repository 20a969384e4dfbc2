"""One record out of several: the genus' records laid together for a plant without its own."""

from collections.abc import Iterable, Sequence
from typing import TypeVar

from attrs import evolve

from propagate.records.methods import BASES, Details, Figure, MethodRecord, Season, Stage, Stand

Item = TypeVar("Item")


def widest(figures: Sequence[Figure]) -> Figure:
    """The range that holds all of these ranges, as well founded as the weakest of them."""
    scored = all(figure.scored for figure in figures)
    return Figure(
        low=min(figure.low if scored else figure.soonest for figure in figures),
        high=max(figure.high if scored else figure.latest for figure in figures),
        basis=min((figure.basis for figure in figures), key=BASES.index),
        sources=_once(source for figure in figures for source in figure.sources),
        scored=scored,
    )


def genus_record(genus: str, records: Sequence[MethodRecord]) -> MethodRecord:
    """The record of a genus from those of its species: each stage with its widest ranges.

    A treatment that any of the species needs is kept, since seed that did not need it
    seldom suffers from it. `records` is not empty.
    """
    first = records[0]
    alike: dict[str, list[Stage]] = {}
    for record in records:
        for stage in record.stages:
            alike.setdefault(stage.name, []).append(stage)
    # Treatments go before the rest: warm stands before cold because no record turns them round.
    order = sorted(alike, key=lambda name: (alike[name][0].role != "treat", name != "warm"))
    return evolve(
        first,
        plant=genus,
        stages=tuple(_laid_together(alike[name]) for name in order),
        season=Season(
            _once(phase for record in records for phase in record.season.stages),
            _once(month for record in records for month in record.season.months),
        ),
        length_cm=_span(record.length_cm for record in records),
        nodes=_span(record.nodes for record in records),
        medium_temp_c=_span(record.medium_temp_c for record in records),
        per_mother=_span(record.per_mother for record in records),
        mothers=first.mothers,
        soak_hours=_span(record.soak_hours for record in records),
        germination_c=_span(record.germination_c for record in records),
        seeds_per_gram=_span(record.seeds_per_gram for record in records),
        storage=first.storage if len({record.storage for record in records}) == 1 else "",
        wound=_common(record.wound for record in records),
        hormone=_common(record.hormone for record in records),
        medium=_common(record.medium for record in records),
        light=_common(record.light for record in records),
        spacing=_common(record.spacing for record in records),
        stand=_stand([record.stand for record in records]),
        container=_common(record.container for record in records),
        scarify=_common(record.scarify for record in records),
        steps=first.steps if len({record.steps for record in records}) == 1 else (),
        details=_details([record.details for record in records if record.details]),
        note=first.note if len(records) == 1 else "",
        see=_once(source for record in records for source in record.see),
    )


def _laid_together(stages: Sequence[Stage]) -> Stage:
    takes = [stage.take for stage in stages if stage.take is not None]
    return evolve(
        stages[0],
        weeks=widest([stage.weeks for stage in stages]),
        take=widest(takes) if takes else None,
        temp_c=_span(stage.temp_c for stage in stages),
    )


def _details(given: Sequence[Details]) -> Details | None:
    """All sources, on the weakest basis of any."""
    if not given:
        return None
    weakest = min((details.basis for details in given), key=BASES.index)
    return Details(weakest, _once(source for details in given for source in details.sources))


def _span(pairs: Iterable[tuple[float, float] | None]) -> tuple[float, float] | None:
    given = [pair for pair in pairs if pair is not None]
    return (min(low for low, _ in given), max(high for _, high in given)) if given else None


def _common(texts: Iterable[str]) -> str:
    """What all say alike, nothing where they differ."""
    said = set(texts)
    return said.pop() if len(said) == 1 else ""


def _once(items: Iterable[Item]) -> tuple[Item, ...]:
    return tuple(dict.fromkeys(items))


def _stand(stands: Sequence[Stand | None]) -> Stand | None:
    """The roomiest of several stands, so that there is bench for each of them."""
    given = [stand for stand in stands if stand is not None]
    return max(given, key=lambda stand: stand.m2, default=None)
