"""Sentences that remember how they were made, and are plain English text all the same."""

import copy
import datetime as dt
import json
import pickle

from propagate.days import written, written_month, written_short
from propagate.errors import NotFound, Refused
from propagate.spans import span
from propagate.worded import Worded, in_a_row, worded, worded_count


def test_a_worded_text_is_its_english() -> None:
    said = worded("{count} of {plant}", count=3, plant="Salix")
    assert said == "3 of Salix"
    assert f"{said}!" == "3 of Salix!"
    assert (said.pattern, said.values) == ("{count} of {plant}", {"count": 3, "plant": "Salix"})
    assert json.loads(json.dumps({"said": said})) == {"said": "3 of Salix"}


def test_a_text_without_holes_may_hold_braces() -> None:
    assert worded("a {strange} word") == "a {strange} word"


def test_a_text_may_depend_on_a_number() -> None:
    assert worded_count("{count} batch", "{count} batches", 1) == "1 batch"
    assert worded_count("{count} batch", "{count} batches", 2) == "2 batches"


def test_what_is_kept_is_the_text_alone() -> None:
    for said in (worded("{n} rooted", n=3), in_a_row(["a", "b"]), written(dt.date(2027, 3, 12))):
        for kept in (pickle.loads(pickle.dumps(said)), copy.deepcopy(said)):
            assert type(kept) is str
            assert kept == said


def test_days_stay_days_within_a_sentence() -> None:
    day = dt.date(2027, 3, 12)
    assert [written(day), written_short(day), written_month(3)] == ["12 Mar 2027", "12 Mar", "Mar"]
    between = span(written(day), written(day + dt.timedelta(days=1)))
    assert between == "12 Mar 2027 to 13 Mar 2027"
    assert isinstance(between, Worded)
    assert between.values["low"].day == day


def test_an_error_hands_on_what_its_sentence_was_made_of() -> None:
    error = NotFound(worded("There is no bed {bed}.", bed="x"), ["y", "z"])
    assert str(error) == 'There is no bed x. Did you mean "y" or "z"?'
    assert isinstance(error.said, Worded)
    assert error.said.values["said"].values == {"bed": "x"}
    assert Refused("plainly so").said == "plainly so"
