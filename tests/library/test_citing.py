"""Where a figure comes from, in one line."""

import pytest

from propagate.library.citing import source_line
from propagate.records.methods import Figure, MethodRecord, Season, Source, Stage

SOURCES = {
    "asanica": Source("asanica", "Asanica et al.", "Currant cuttings", "2017"),
    "luna": Source("luna", "Luna", "Dogwood"),
}
PUBLISHED = Figure(0.7, 0.8, "published", ("asanica", "luna"))


@pytest.mark.parametrize(
    ("figure", "said"),
    [
        (PUBLISHED, "Asanica et al., Currant cuttings, 2017; Luna, Dogwood"),
        (Figure(1, 2, "memory", ("luna",)), "Luna, Dogwood; the rest from memory"),
        (Figure(1, 2, "common practice", ("luna",)), "Luna, Dogwood; the rest common practice"),
        (Figure(1, 2, "memory"), "memory"),
        (Figure(1, 2, "common practice"), "common practice"),
    ],
)
def test_a_figure_cites_and_says_what_else_it_rests_on(figure, said):
    assert source_line(figure, SOURCES) == said


def test_a_record_cites_each_source_of_its_figures_once():
    both = Figure(2, 3, "published", ("luna",))
    record = MethodRecord("m", None, (Stage("rooting", "take", both, PUBLISHED),), Season((), ()))
    assert source_line(record, SOURCES) == "Luna, Dogwood; Asanica et al., Currant cuttings, 2017"
