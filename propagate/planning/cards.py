"""A method record put in words, for a card on the screen or above the bench."""

from collections.abc import Iterable

from propagate.days import written_month
from propagate.library import Library
from propagate.names import PlantName, parse
from propagate.planning.seasons import local_months
from propagate.records.methods import Figure, Method, MethodRecord, Mothering, Stage
from propagate.records.nursery import Nursery
from propagate.records.prints import CardStage, MethodCard
from propagate.spans import span, time_words
from propagate.units import System, fahrenheit, inches
from propagate.worded import in_a_row, worded, wording


def method_card(
    library: Library, record: MethodRecord, nursery: Nursery | None, system: System = "metric"
) -> MethodCard:
    """Everything a card says of one record; months fall as in the nursery's hemisphere.

    Lengths and temperatures that the record gives as figures come in the reader's units; those
    within its sentences stay as they were written.
    """
    method = library.method(record.method)
    name = parse(record.plant) if record.plant else None
    phases = in_a_row([worded(stage) for stage in record.season.stages])
    return MethodCard(
        name=name,
        common=library.common_name(name) if name else "",
        method=method.name,
        summary=method.summary,
        season=in_a_row([months_words(record, nursery), phases], "; "),
        facts=tuple(_facts(method, record, library, name, system)),
        stages=tuple(_stage(stage, library) for stage in record.stages),
        steps=record.steps or method.steps,
        note=record.note,
        reading=library.reading(record),
        cautions=library.cautions(method.id, name),
        nursery=nursery.name if nursery else "",
    )


def months_words(record: MethodRecord, nursery: Nursery | None) -> str:
    """The months of a record's season, those in a row as one: Sep, Nov to Mar."""
    months = record.season.months
    months = local_months(months, nursery) if nursery else months
    if set(months) == set(range(1, 13)):
        return worded("all year")
    firsts = [month for month in months if (month - 2) % 12 + 1 not in months]
    return in_a_row([_run(first, months) for first in firsts])


def range_words(low: float, high: float, *, share: bool = False) -> str:
    """A range, or the one number where both ends are the same; a share in percent."""
    if share:
        return worded("{share} %", share=span(f"{low * 100:.3g}", f"{high * 100:.3g}"))
    return span(f"{low:.3g}", f"{high:.3g}")


def weeks_words(low: float, high: float) -> str:
    """A range of weeks as nobody knows it closer: 2.4 to 17, 28 to 43."""
    return range_words(*(round(end) if end >= 10 else round(end, 1) for end in (low, high)))


def _facts(
    method: Method,
    record: MethodRecord,
    library: Library,
    name: PlantName | None,
    system: System,
) -> Iterable[tuple[str, str]]:
    """What is known of the material, the bed and the seed, a line each."""
    plant = library.plant(name) if name else None
    told = {
        "Length": _length(record.length_cm, system),
        "Buds": _spread(
            record.nodes, wording("node") if record.nodes == (1, 1) else wording("nodes")
        ),
        "Wound": record.wound,
        "Hormone": record.hormone,
        "Depth": method.depth,
        "Medium": record.medium or method.medium,
        "Base": _warmth(record.medium_temp_c, system, wording("in the medium")),
        "Light": record.light,
        "Spacing": record.spacing,
        "Pot": record.container,
        "Scarify": record.scarify,
        "Soak": _spread(record.soak_hours, wording("hours")),
        "Warmth": _warmth(record.germination_c, system, wording("to come up")),
        "Seeds": _spread(record.seeds_per_gram, wording("in a gram")),
        "Storage": record.storage,
        "Yield": _spread(record.per_mother, wording("a year from one mother plant")),
        "Mother": _mother(record.mothers),
        "Hardiness": plant.hardiness if plant else "",
        "Numbers": library.details_line(record),
    }
    return [(label, text) for label, text in told.items() if text]


def _mother(mothers: Mothering | None) -> str:
    """When a plant can be a mother and how long she serves, with what that rests on."""
    if mothers is None:
        return ""
    after, serves = range_words(*mothers.after_years), range_words(*mothers.serves_years)
    one = mothers.after_years == (1, 1)
    return worded(
        "after {after} {years}, serves {serves} ({basis})",
        after=after,
        years=worded("year") if one else worded("years"),
        serves=serves,
        basis=worded(mothers.basis),
    )


def _spread(pair: tuple[float, float] | None, unit: str) -> str:
    if not pair:
        return ""
    return worded("{range} {unit}", range=range_words(*pair), unit=worded(unit))


def _length(pair_cm: tuple[float, float] | None, system: System) -> str:
    if pair_cm and system == "imperial":
        return _spread((_halves(inches(pair_cm[0])), _halves(inches(pair_cm[1]))), "inches")
    return _spread(pair_cm, "cm")


def _halves(length: float) -> float:
    """A length to the half inch, which is as near as anybody cuts."""
    return max(0.5, round(length * 2) / 2)


def _warmth(pair_c: tuple[float, float] | None, system: System, where: str) -> str:
    if pair_c and system == "imperial":
        low, high = (float(round(fahrenheit(end))) for end in pair_c)
        return _in_place((low, high), "°F", where)
    return _in_place(pair_c, "°C", where)


def _in_place(pair: tuple[float, float] | None, unit: str, where: str) -> str:
    return in_a_row([_spread(pair, unit), worded(where)], " ") if pair else ""


def _stage(stage: Stage, library: Library) -> CardStage:
    take = stage.take
    return CardStage(
        name=stage.name,
        weeks=time_words(stage.weeks.low, stage.weeks.high, scored=stage.weeks.scored),
        take=range_words(take.low, take.high, share=True) if take else "",
        ends=stage.ends,
        origins=tuple(_origins(stage.weeks, take, library)),
    )


def _origins(weeks: Figure, take: Figure | None, library: Library) -> Iterable[str]:
    """Where the figures are from; time and take in one line when they are from the same place."""
    time = _origin(weeks, library)
    share = _origin(take, library) if take else time
    if share == time:
        yield time
    else:
        yield worded("time: {origin}", origin=time)
        yield worded("take: {origin}", origin=share)


def _origin(figure: Figure, library: Library) -> str:
    """Its basis, its source where that says more, and its note."""
    source = library.source_line(figure)
    named = [worded(figure.basis), *([source] if source not in ("", figure.basis) else [])]
    said = in_a_row(named, ": ")
    return in_a_row([said, figure.note], "; ") if figure.note else said


def _run(first: int, months: tuple[int, ...]) -> str:
    last = first
    while last % 12 + 1 in months:
        last = last % 12 + 1
    return span(*(written_month(month) for month in (first, last)))
