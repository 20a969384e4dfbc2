"""Years ahead: this year's plants are the mothers of later ones.

a record -> how its plant multiplies (Life) -> laws of what each year gives -> the answer
"""

import datetime as dt
from collections.abc import Sequence
from typing import Final

from attrs import frozen

from propagate.errors import Refused
from propagate.names import PlantName
from propagate.planning.groups import Group
from propagate.records.answers import QUANTILES, PlantCount
from propagate.records.methods import MethodRecord
from propagate.records.years import StockGoal, YearAhead, YearsAhead
from propagate.science import counts
from propagate.science.generations import CountLaw, Life, law, means, stock_growth
from propagate.science.take import beta_from_range
from propagate.spans import span

YOUNG_LIVE: Final = 0.95
"""Share of young stock plants that live through a year (memory)."""

MOST_YEARS: Final = 10
"""So far a target is looked for; nobody plans further."""

TAKES: Final = 9
"""Equally likely takes by which what is unknown of the take is carried on."""

TRIAL: Final = 400
"""Propagules of the batch by whose forecast the take is asked for; more tell no more of it."""

FINENESS: Final = 0.01
"""The share to keep is found to this."""


@frozen
class Lineage:
    """What a projection starts from: a plant and its method, the mothers, how they multiply.

    `takes` are equally likely shares of propagules that become established plants.
    """

    plant: PlantName
    method: str
    mothers: int
    life: Life
    takes: tuple[float, ...]
    said: tuple[str, ...]

    @property
    def start(self) -> list[int]:
        """Plants of each stage today: mothers only."""
        return [self.mothers if at == self.life.mother else 0 for at in range(self.life.stages)]

    @property
    def middle_take(self) -> float:
        """The mean of the takes."""
        return sum(self.takes) / len(self.takes)

    def out(self, keeps: Sequence[float]) -> CountLaw:
        """The law of all that went out after the years."""
        return law(self.life, self.takes, keeps, self.start, [self.life.out])


def lineage(
    group: Group, at: int, record: MethodRecord, mothers: int, said: Sequence[str] = ()
) -> Lineage:
    """The lineage of a plant, its take learned from `group`, in which a trial batch stands.

    Raises Refused where the record does not say how its plant serves as a mother.
    """
    serving, a_year = record.mothers, record.a_year
    if serving is None or a_year is None:
        raise Refused(
            f"The record of {group.cases[at].state.name} by {record.method} does not say what a "
            "mother gives and when a plant can be one; seedlings differ from their mother."
        )
    life = Life(
        yield_low=round(a_year[0]),
        yield_high=max(round(a_year[0]), round(a_year[1])),
        after_years=max(1, round(sum(serving.after_years) / 2)),
        mother_stays=1 - 1 / max(1.0, sum(serving.serves_years) / 2),
        young_lives=YOUNG_LIVE,
    )
    takes = _takes(group, at, record)
    words = _in_words(life, record, takes)
    name = group.cases[at].state.name
    return Lineage(name, record.method, mothers, life, takes, (*words, *said))


def _takes(group: Group, at: int, record: MethodRecord) -> tuple[float, ...]:
    """Equally likely takes, after those that do not establish."""
    pmf = group.total_by([at], None)
    shares = [(n + 0.5) / TAKES for n in range(TAKES)]
    establishing, stays = record.establishing, 1.0
    if establishing is not None and establishing.take is not None:
        a, b = beta_from_range(establishing.take.low, establishing.take.high)
        stays = a / (a + b)
    return tuple(stays * k / (len(pmf) - 1) for k in counts.quantiles(pmf, shares))


def _in_words(life: Life, record: MethodRecord, takes: Sequence[float]) -> tuple[str, ...]:
    serving = record.mothers
    assert serving is not None
    gives = span(f"{life.yield_low}", f"{life.yield_high}")
    after = span(*(f"{years:g}" for years in serving.after_years))
    serves = span(*(f"{years:g}" for years in serving.serves_years))
    share = sum(takes) / len(takes)
    told = record.details.basis if record.per_mother and record.details else serving.basis
    return (
        f"a mother gives {gives} a year ({told}), of which {share * 100:.0f} % become plants",
        f"a plant is a mother after {after} years ({life.after_years} here) and serves {serves}"
        f" ({serving.basis})",
        f"{YOUNG_LIVE * 100:.0f} % of young stock plants live through a year (memory)",
    )


def years_ahead(line: Lineage, keeps: Sequence[float], as_of: dt.date, chance: float) -> YearsAhead:
    """Year by year, when such shares of each year's plants are kept as mothers."""
    stock = _mean_rows(line, keeps)
    return YearsAhead(
        as_of=as_of,
        plant=line.plant,
        method=line.method,
        mothers=line.mothers,
        keeps=tuple(keeps),
        years=tuple(
            _year(line, keeps[: at + 1], stock, _later(as_of, at + 1), chance)
            for at in range(len(keeps))
        ),
        growth=stock_growth(line.life, line.middle_take),
        said=line.said,
    )


def goal(line: Lineage, wanted: int, sure: float) -> StockGoal:
    """The fewest years in which so many plants are out, and the smallest share to keep for it.

    Plants are kept only in years that leave time for what they will give, so the last years'
    all go out. Keeping more of the early ones never gives fewer in time where a mother gives
    more than herself; so all or none is tried first, then the smallest share that will do.
    """
    best: tuple[float, ...] = (0.0,)
    for years in range(1, MOST_YEARS + 1):
        none, every = _keeping(line, 0.0, years), _keeping(line, 1.0, years)
        if line.out(none).at_least(wanted) >= sure:
            return _reached(line, none, wanted, sure)
        if line.out(every).at_least(wanted) >= sure:
            return _reached(line, _least(line, years, wanted, sure), wanted, sure)
        best = every
    return StockGoal(wanted, sure, None, best, line.out(best).at_least(wanted))


def _reached(line: Lineage, keeps: tuple[float, ...], wanted: int, sure: float) -> StockGoal:
    return StockGoal(wanted, sure, len(keeps), keeps, line.out(keeps).at_least(wanted))


def _keeping(line: Lineage, share: float, years: int) -> tuple[float, ...]:
    """The share in each year whose plants can still be mothers in time, then none."""
    worth = max(0, years - line.life.after_years)
    return (share,) * worth + (0.0,) * (years - worth)


def _least(line: Lineage, years: int, wanted: int, sure: float) -> tuple[float, ...]:
    too_few, plenty = 0.0, 1.0
    while plenty - too_few > FINENESS:
        middle = (too_few + plenty) / 2
        if line.out(_keeping(line, middle, years)).at_least(wanted) >= sure:
            plenty = middle
        else:
            too_few = middle
    return _keeping(line, plenty, years)


def _mean_rows(line: Lineage, keeps: Sequence[float]) -> list[list[float]]:
    """Expected number of each stage at the start and after each year, over the takes."""
    rows = [means(line.life, take, keeps, line.start) for take in line.takes]
    summed: list[list[float]] = (sum(rows[1:], rows[0]) / len(rows)).tolist()
    return summed


def _year(
    line: Lineage,
    keeps: Sequence[float],
    stock: Sequence[Sequence[float]],
    by: dt.date,
    chance: float,
) -> YearAhead:
    life, year = line.life, len(keeps)
    all_out = (*keeps[:-1], 0.0)  # so that all that the year gave is counted
    made = law(life, line.takes, all_out, line.start, [life.out], of_last=True)
    return YearAhead(
        by=by,
        mothers=stock[year - 1][life.mother],
        kept=keeps[-1] * made.mean,
        made=_count(made, chance),
        out=_count(line.out(keeps), chance),
    )


def _count(made: CountLaw, chance: float) -> PlantCount:
    tail = (1 - chance) / 2
    low, likely, high = (made.quantile(share) for share in (tail, 0.5, 1 - tail))
    quantiles = {share: made.quantile(share) for share in QUANTILES}
    return PlantCount(low, likely, high, made.mean, chance, quantiles)


def _later(day: dt.date, years: int) -> dt.date:
    """The same day so many years on; 28 February for a 29th that there is not."""
    try:
        return day.replace(year=day.year + years)
    except ValueError:
        return day.replace(year=day.year + years, day=28)
