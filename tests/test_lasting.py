"""How long labels last: what goes first counts, and every figure says where it is from."""

import pytest

from propagate.lasting import MATERIALS, PRINTINGS, life_of, months_said


@pytest.mark.parametrize("table", [MATERIALS, PRINTINGS])
def test_every_figure_has_a_source_and_an_order(table):
    for life in table.values():
        assert 0 < life.months[0] <= life.months[1]
        assert life.source
        assert life.basis in ("published", "common practice", "memory")


# Grower and vendor reports read for the table: ink-jet on anything fails within weeks; resin on
# top-coated polyester is sold for three to seven years outdoors.
@pytest.mark.parametrize(
    ("material", "printing", "months"),
    [
        ("polyester", "resin-transfer", (36, 84)),
        ("polyester", "dye-inkjet", (0.25, 1)),
        ("paper", "resin-transfer", (0.25, 2)),
        ("", "pencil", (36, 240)),
    ],
)
def test_a_label_lasts_as_long_as_what_goes_first(material, printing, months):
    life = life_of(material, printing)
    assert life is not None
    assert life.months == months


def test_nothing_is_known_where_nobody_said():
    assert life_of("", "") is None


@pytest.mark.parametrize(
    ("months", "words"),
    [
        ((0.25, 1), "1 to 4 weeks"),
        ((6, 12), "6 to 12 months"),
        ((36, 84), "3 to 7 years"),
        ((240, 240), "20 years"),
    ],
)
def test_months_in_words(months, words):
    assert months_said(months) == words
