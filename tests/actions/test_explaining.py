"""Every figure is explained by entries that add up to it."""

import datetime as dt
from pathlib import Path

import pytest
from attrs import asdict

from propagate.actions import demo
from propagate.actions.desk import Desk
from propagate.actions.explaining import explain
from propagate.actions.founding import found_nursery
from propagate.errors import NotFound, Refused
from propagate.ledger import Kind

DAY = dt.date(2026, 11, 20)


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Desk:
    folder: Path = tmp_path_factory.mktemp("why") / "demo"
    now = dt.datetime(2026, 11, 20, 18, tzinfo=dt.UTC)
    found_nursery(folder, "Alderbrook", "north")
    desk = Desk(folder, DAY, now)
    demo._book_the_season(desk, "north")  # the demo without its prints, which take seconds
    return desk


def test_every_account_of_every_batch_is_explained_to_the_plant(desk: Desk) -> None:
    for code, state in desk.book.batches.items():
        named = {figure.name: figure for figure in explain(desk, code).figures}
        for kind, count in asdict(state.standing).items():
            assert (named[kind].count if kind in named else 0) == count
        for figure in named.values():
            assert figure.steps[-1].balance == figure.count
            assert sum(step.change for step in figure.steps) == figure.count
        assert explain(desk, code, "started").figures[0].count == state.count
        assert explain(desk, code, "here").figures[0].count == state.living
        assert explain(desk, code, "promised").figures[0].count == state.promised.total()


def test_a_figure_of_the_whole_sheet_adds_up_over_batches(desk: Desk) -> None:
    for kind in Kind:
        figure = explain(desk, "", str(kind)).figures[0]
        assert figure.count == sum(s.total(kind) for s in desk.book.batches.values())


def test_an_account_goes_by_the_methods_words_and_by_its_detail(desk: Desk) -> None:
    assert explain(desk, "COMF", "sprouted").figures[0].name == "rooted"
    assert explain(desk, "COMF", "hilda").figures[0].count == 20
    assert explain(desk, "COMF", "Given: Hilda").figures[0].count == 20


def test_what_was_taken_back_is_told_with_its_reason(desk: Desk) -> None:
    (line,) = explain(desk, "COMF", "given").taken_back
    assert line.said == "give 9 to Hilda"
    assert line.void_why.endswith("was the same as the gift of 30 May")


def test_a_forecast_is_explained_elsewhere(desk: Desk) -> None:
    with pytest.raises(Refused, match="forecast --why COMF"):
        explain(desk, "COMF", "likely")


def test_an_account_nobody_has_is_refused_with_those_there_are(desk: Desk) -> None:
    with pytest.raises(NotFound, match='no account "in bloom" here; there are started'):
        explain(desk, "COMF", "in bloom")
