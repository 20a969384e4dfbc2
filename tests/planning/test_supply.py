"""What beds get from batches with something in common, against counting every outcome."""

import datetime as dt
from collections.abc import Callable, Sequence
from itertools import product

import numpy as np
import pytest

from propagate.ledger import fold
from propagate.names import parse
from propagate.planning.beds import assigned, make_supplies
from propagate.planning.case import Case
from propagate.planning.groups import Group, make_groups
from propagate.planning.supply import Supply, free_given_shared
from propagate.records import events
from propagate.records.beds import Want
from propagate.records.events import Entry, Started
from propagate.records.methods import Figure, Method, MethodRecord, Season, Stage
from propagate.records.nursery import Nursery

STRUCK, TODAY, SPRING = dt.date(2026, 11, 12), dt.date(2027, 1, 10), dt.date(2027, 4, 1)
NOW = dt.datetime(2026, 1, 1, tzinfo=dt.UTC)
RED, BLACK = "Ribes rubrum", "Ribes nigrum"


def record(method: str) -> MethodRecord:
    take = Figure(0.5, 0.9, "memory")
    taking = Stage("rooting", "take", Figure(8, 16, "memory"), take)
    return MethodRecord(method, None, (taking,), Season(("dormant",), (11,)))


def method(name: str) -> Method:
    words = (name, name, "A way.", "cutting", "cuttings", "rooting", "rooted", "pot on")
    return Method(*words, ("Do it.",), "sand", record(name))


def case(code: str, plant: str, count: int, way: str = "way", *happened: events.Event) -> Case:
    lines = [Started(code, parse(plant), way, count), *happened]
    entries = [Entry(n, f"{code}{n}", STRUCK, NOW, e) for n, e in enumerate(lines, start=1)]
    book = fold(entries)
    assert book.conflicts == []
    return Case(book.batch(code), method(way), record(way), "A record.")


def want(bed: str, plant: str, count: int, by: dt.date = SPRING, **more) -> Want:
    return Want(bed, parse(plant), count, by, more.pop("chance", 0.9), more.pop("priority", 2))


@pytest.fixture
def supply(north) -> Callable[..., Supply]:
    def made(cases: Sequence[Case], *wants: Want) -> Supply:
        (one,) = make_supplies(make_groups(cases, north), wants, north, TODAY).values()
        return one

    return made


def outcomes(groups: Sequence[Group], by: dt.date, nursery: Nursery):
    """Every combination of shared nodes and of counts of single batches, with its chance."""
    nodes = [range(len(group.posterior.shared_weight)) for group in groups]
    for chosen in product(*nodes):
        weight = np.prod(
            [g.posterior.shared_weight[n] for g, n in zip(groups, chosen, strict=True)]
        )
        if weight < 1e-9:
            continue
        laws = {
            case.state.code: free_given_shared(group, [at], by, nursery, TODAY)[node]
            for group, node in zip(groups, chosen, strict=True)
            for at, case in enumerate(group.cases)
        }
        for counts in product(*(range(len(law)) for law in laws.values())):
            chances = [law[k] for law, k in zip(laws.values(), counts, strict=True)]
            yield weight * np.prod(chances), dict(zip(laws, counts, strict=True))


def test_two_beds_on_two_batches_share_what_comes_by_rank(supply) -> None:
    batches = [case("M7KD", BLACK, 3), case("CC7P", BLACK, 4)]
    first, second = want("row", BLACK, 2), want("walk", BLACK, 3)
    made = supply(batches, first, second)
    row, walk = np.zeros(3), np.zeros(4)
    for chance, counts in outcomes(made.groups, SPRING, made.nursery):
        total = sum(counts.values())
        row[min(2, total)] += chance
        walk[min(3, max(0, total - 2))] += chance
    assert np.allclose(made.get(first), row, atol=1e-6)
    assert np.allclose(made.get(second), walk, atol=1e-6)


def test_methods_are_summed_too(supply) -> None:
    batches = [case("M7KD", BLACK, 2), case("CC7P", BLACK, 3, "other way")]
    row = want("row", BLACK, 4)
    made = supply(batches, row)
    got = np.zeros(5)
    for chance, counts in outcomes(made.groups, SPRING, made.nursery):
        got[min(4, sum(counts.values()))] += chance
    assert np.allclose(made.get(row), got, atol=1e-6)


def test_a_variety_goes_first_to_the_bed_that_asks_for_it(supply) -> None:
    batches = [case("M7KD", f"{BLACK} 'Alder Jet'", 3), case("CC7P", BLACK, 3)]
    jet, takes_any = want("row", f"{BLACK} 'Alder Jet'", 2), want("walk", BLACK, 3)
    made = supply(batches, takes_any, jet)
    own, rest = np.zeros(3), np.zeros(4)
    for chance, counts in outcomes(made.groups, SPRING, made.nursery):
        own[min(2, counts["M7KD"])] += chance
        rest[min(3, max(0, counts["M7KD"] - 2) + counts["CC7P"])] += chance
    assert np.allclose(made.get(jet), own, atol=1e-6)
    assert np.allclose(made.get(takes_any), rest, atol=1e-6)


def test_what_batches_have_in_common_makes_two_short_beds_likelier_than_apart(supply) -> None:
    """Two trays of one plant fail together; summed as if apart they would look too safe."""
    batches = [case("M7KD", BLACK, 40), case("CC7P", BLACK, 40)]
    row = want("row", BLACK, 40)
    made = supply(batches, row)
    (group,) = made.groups
    weight = group.posterior.shared_weight
    apart = [
        free_given_shared(group, [at], SPRING, made.nursery, TODAY).T @ weight for at in (0, 1)
    ]
    independent = np.convolve(*apart)[:30].sum()
    together = made.get(row)[:30].sum()
    assert together > 1.3 * independent > 0.001


def test_shortage_given_what_a_group_shares_mixes_to_the_whole(supply) -> None:
    batches = [case("M7KD", BLACK, 3), case("CC7P", BLACK, 4, "other way")]
    row = want("row", BLACK, 5)
    made = supply(batches, row)
    for group in made.groups:
        short = made.short_given([row], group)
        mixed = group.posterior.shared_weight @ short
        assert np.allclose(mixed[::-1], made.get(row), atol=1e-9)


def test_planted_given_and_promised_plants_are_not_there_for_beds(supply) -> None:
    happened = (
        events.Checked("M7KD", rooted=12, dead=0),
        events.PlantedOut("M7KD", 4, "row"),
        events.Given("M7KD", 2, "Ann"),
        events.Promised("M7KD", 3, "Ben"),
    )
    made = supply([case("M7KD", BLACK, 12, "way", *happened)], walk := want("walk", BLACK, 5))
    assert made.get(walk)[3] == pytest.approx(1)


def test_a_day_gone_by_is_answered_as_of_today(supply) -> None:
    late = want("row", BLACK, 3, by=dt.date(2026, 12, 1))
    now = want("row", BLACK, 3, by=TODAY)
    batches = [case("M7KD", BLACK, 12)]
    assert np.allclose(supply(batches, late).get(late), supply(batches, now).get(now))


def test_batches_are_meant_for_beds_by_rank_and_several_may_serve_one(supply) -> None:
    known = [
        case("M7KD", BLACK, 10, "way", events.Checked("M7KD", rooted=10, dead=0)),
        case("CC7P", BLACK, 8, "way", events.Checked("CC7P", rooted=8, dead=0)),
    ]
    first, second = want("row", BLACK, 12, priority=1), want("walk", BLACK, 9)
    meant = assigned(supply(known, first, second))
    assert meant == {first: [("CC7P", 8), ("M7KD", 4)], second: [("M7KD", 6)]}


def test_spare_is_what_all_wants_leave(supply) -> None:
    known = [case("M7KD", BLACK, 10, "way", events.Checked("M7KD", rooted=10, dead=0))]
    made = supply(known, want("row", BLACK, 4), want("walk", BLACK, 3))
    ((one, left),) = made.spare()
    assert one.state.code == "M7KD"
    assert left[3] == pytest.approx(1)


def test_without_any_batch_a_bed_gets_nothing(north) -> None:
    row = want("row", RED, 4)
    (made,) = make_supplies([], [row], north, TODAY).values()
    assert made.get(row).tolist() == [1, 0, 0, 0, 0]
