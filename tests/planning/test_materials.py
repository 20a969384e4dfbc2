"""What is needed for potting on and for planned starts, against sums done by hand."""

import datetime as dt

import pytest
from attrs import evolve

from propagate.library import Library
from propagate.paths import methods_folder
from propagate.planning.benchspace import Question
from propagate.planning.forecasting import pot_on_windows
from propagate.planning.groups import make_groups
from propagate.planning.materials import needs, wants_product
from propagate.records import events
from propagate.records.materials import Need
from propagate.records.methods import Figure, MethodRecord, Season, Stage
from propagate.records.nursery import Container

STRUCK = dt.date(2026, 6, 1)
SOON, LATER = dt.date(2026, 6, 8), dt.date(2026, 12, 1)
CODE = "M7KD"


def record(low: float, high: float) -> MethodRecord:
    taking = Stage("rooting", "take", Figure(4, 6, "memory"), Figure(low, high, "memory"))
    pot = Stage("establishing", "establish", Figure(8, 10, "memory"), Figure(0.9, 1, "memory"))
    return MethodRecord("way", None, (taking, pot), Season(("dormant",), (6,)))


@pytest.fixture
def stocked(north):
    pots = {"9 cm pot": Container("9 cm pot", 0.5, size_cm=(9, 9))}
    return evolve(north, containers=pots, in_hand={"9 cm pot": 30.0})


def asked(nursery, case, until, planned=()) -> dict[str, Need]:
    groups = make_groups([case, *planned], nursery)
    windows = {c.state.code: w for c, w in pot_on_windows(groups, nursery, STRUCK)}
    wanted = needs(groups, Question(nursery, STRUCK, windows), until, planned)
    return {need.item: need for need in wanted}


def test_nothing_is_needed_before_anything_is_potted_on(stocked, make_case) -> None:
    assert asked(stocked, make_case(record(0.5, 0.8), STRUCK), SOON) == {}


def test_a_pot_and_its_compost_to_each_plant(stocked, make_case) -> None:
    """All 40 are rooted: 40 pots of 0.5 l, 15 % lost on settling: 20 / 0.85 = 23.5 l."""
    seen = (dt.date(2026, 6, 1), events.Checked(CODE, rooted=40, dead=0))
    wanted = asked(stocked, make_case(record(0.5, 0.8), STRUCK, seen), LATER)
    pots = wanted["9 cm pot"]
    assert (pots.expected, pots.enough) == pytest.approx((40, 40))
    assert wanted["9 cm pot"].to_buy == 10  # 30 are in hand
    assert wanted["potting compost"].expected == pytest.approx(20 / 0.85, rel=0.01)
    assert wanted["potting compost"].to_buy == 24
    assert wanted["labels"].enough == 2  # one to 20 plants


def test_enough_is_more_than_expected_while_the_take_is_unknown(stocked, make_case) -> None:
    pots = asked(stocked, make_case(record(0.5, 0.8), STRUCK), LATER)["9 cm pot"]
    assert 20 < pots.expected < 33 < pots.enough + 5
    assert pots.expected < pots.enough <= 40


@pytest.fixture(scope="module")
def library() -> Library:
    return Library((methods_folder(),))


@pytest.mark.parametrize(
    ("plant", "method", "wanted"),
    [
        ("rosemary", "semi-ripe-cutting", False),  # "not needed"
        ("Ribes nigrum", "hardwood-cutting", False),  # "none needed; a powder makes ..."
        ("Camellia japonica", "leaf-bud-cutting", True),  # "IBA 3000 to 8000 mg/l"
    ],
)
def test_rooting_product_is_reckoned_where_the_record_speaks_for_it(
    library, plant, method, wanted
) -> None:
    found = library.record(method, library.resolve(plant)).record
    assert wants_product(found) == wanted
