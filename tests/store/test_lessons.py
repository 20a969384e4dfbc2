"""What was learned before answers as if learned anew, or it is not used."""

from pathlib import Path
from typing import Any

import numpy as np
import pytest
from attrs import evolve
from hypothesis import given, settings
from hypothesis import strategies as st

from propagate.science.learning import GroupData, GroupPosterior
from propagate.science.lessons import print_of
from propagate.science.pooling import learn_method
from propagate.science.prior import prior_from_ranges
from propagate.science.sightings import AtLeast, BatchData, Look, Removal, Sample
from propagate.store import lessons
from propagate.store.lessons import learned_or_recalled

FIG, WILLOW = prior_from_ranges(6, 10, 0.6, 0.8), prior_from_ranges(3, 8, 0.7, 0.95)
FAR = 1e6
LINGERING = (0.1, 0.5, 0.9)

TRAYS = (
    BatchData(40),
    BatchData(60, [Look(40, 12, 3), Look(70, 20)]),
    BatchData(30, [Sample(50, 5, 2), Look(80, 21, 9)]),
    BatchData(25, [AtLeast(45, 6), Removal(50, 2)]),
)


def book(*figs: BatchData) -> dict[str, GroupData]:
    willow = GroupData(WILLOW, TRAYS[1:3])
    return {"fig": GroupData(FIG, figs or TRAYS, LINGERING), "willow": willow}


@pytest.fixture(autouse=True)
def _always_worth_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(lessons, "WORTH_KEEPING", 1)


@pytest.fixture
def learnings(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Grows by one whenever something is learned anew."""
    counted: list[str] = []

    def spying(groups: Any) -> dict[str, GroupPosterior]:
        counted.append("anew")
        return learn_method(groups)

    monkeypatch.setattr(lessons, "learn_method", spying)
    return counted


def same(found: dict[str, GroupPosterior], anew: dict[str, GroupPosterior]) -> None:
    assert found.keys() == anew.keys()
    for key, posterior in anew.items():
        assert found[key].shared_take_interval() == posterior.shared_take_interval()
        for one, other in zip(found[key].batches, posterior.batches, strict=True):
            assert np.array_equal(one.rooted_by(60), other.rooted_by(60))
            assert one.pot_on_days(0.8) == other.pot_on_days(0.8)
            assert one.take_interval() == other.take_interval()
        assert np.array_equal(
            found[key].fresh(20).rooted_by(FAR), posterior.fresh(20).rooted_by(FAR)
        )


def test_what_is_recalled_answers_to_the_last_digit(tmp_path: Path, learnings: list[str]) -> None:
    for _ in range(3):
        same(learned_or_recalled(tmp_path, "hardwood-cutting", book()), learn_method(book()))
    assert learnings == ["anew"]


def test_a_new_batch_changes_no_lesson(tmp_path: Path, learnings: list[str]) -> None:
    learned_or_recalled(tmp_path, "runner", book())
    more = book(BatchData(200), *TRAYS, BatchData(77))
    same(learned_or_recalled(tmp_path, "runner", more), learn_method(more))
    assert learnings == ["anew"]


def test_a_method_that_nobody_looked_at_leaves_nothing(tmp_path: Path) -> None:
    unseen = book(BatchData(40))
    unseen["willow"] = GroupData(WILLOW, [BatchData(9)])
    same(learned_or_recalled(tmp_path, "runner", unseen), learn_method(unseen))
    assert not list(tmp_path.iterdir())


def test_few_batches_are_learned_anew(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(lessons, "WORTH_KEEPING", 30)
    learned_or_recalled(tmp_path, "runner", book())
    assert not list(tmp_path.iterdir())


def test_each_method_has_its_own(tmp_path: Path, learnings: list[str]) -> None:
    learned_or_recalled(tmp_path, "runner", book())
    learned_or_recalled(tmp_path, "seed", book(BatchData(9, [Look(20, 4)])))
    learned_or_recalled(tmp_path, "runner", book())
    assert len(learnings) == 2
    assert sorted(file.name for file in tmp_path.iterdir()) == ["runner", "seed"]


CHANGED = {
    "one more rooted": book(*TRAYS[:3], BatchData(25, [AtLeast(45, 7), Removal(50, 2)])),
    "a look a hundredth of a day later": book(
        TRAYS[0], BatchData(60, [Look(40.01, 12, 3), Look(70, 20)]), *TRAYS[2:]
    ),
    "the dead were sought": book(
        TRAYS[0], BatchData(60, [Look(40, 12, 3), Look(70, 20, dead_sought=True)]), *TRAYS[2:]
    ),
    "a removal instead": book(*TRAYS[:3], BatchData(25, [Removal(45, 6), Removal(50, 2)])),
    "another order": book(TRAYS[0], TRAYS[2], TRAYS[1], TRAYS[3]),
    "another record": {**book(), "fig": GroupData(WILLOW, TRAYS, LINGERING)},
    "other shares of lingerers": {**book(), "fig": GroupData(FIG, TRAYS, (0.6, 0.8))},
    "another plant": {"quince": book()["fig"], "willow": book()["willow"]},
    "a plant less": {"fig": book()["fig"]},
}


@pytest.mark.parametrize("changed", CHANGED.values(), ids=CHANGED)
def test_what_was_seen_otherwise_is_learned_anew(
    tmp_path: Path, learnings: list[str], changed: dict[str, GroupData]
) -> None:
    learned_or_recalled(tmp_path, "runner", book())
    same(learned_or_recalled(tmp_path, "runner", changed), learn_method(changed))
    assert len(learnings) == 2


counted = st.integers(0, 9)
days = st.floats(1, 300).map(lambda day: round(day, 2))
sightings = st.one_of(
    st.builds(Look, days, counted, counted, st.sampled_from([None, True, False])),
    st.builds(AtLeast, days, counted),
    st.builds(Removal, days, counted),
    st.builds(Sample, days, counted, counted, counted),
)
batches = st.builds(BatchData, st.integers(1, 99), st.lists(sightings, max_size=3))
groups = st.dictionaries(
    st.sampled_from(["fig", "willow", "quince"]),
    st.builds(GroupData, st.sampled_from([FIG, WILLOW]), st.lists(batches, max_size=3)),
    max_size=3,
)


def told(those: dict[str, GroupData]) -> list[Any]:
    return [
        (key, group.prior, [b for b in group.batches if b.sightings], group.lingering)
        for key, group in those.items()
    ]


@settings(deadline=None)
@given(groups, groups)
def test_prints_are_equal_where_the_numbers_are(
    one: dict[str, GroupData], other: dict[str, GroupData]
) -> None:
    again = {key: evolve(group) for key, group in one.items()}
    assert print_of(one) == print_of(again)
    assert (print_of(one) == print_of(other)) == (told(one) == told(other))


def _cut(path: Path) -> None:
    path.write_bytes(path.read_bytes()[:-40])


def _one_digit_off(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    path.write_text(text[:-30] + ("A" if text[-30] != "A" else "B") + text[-29:], encoding="utf-8")


def _empty(path: Path) -> None:
    path.write_bytes(b"")


def _not_text(path: Path) -> None:
    path.write_bytes(b"\xff\xfe\n\x00")


@pytest.mark.parametrize("harm", [_cut, _one_digit_off, _empty, _not_text, Path.unlink])
def test_a_harmed_file_is_not_believed(tmp_path: Path, learnings: list[str], harm: Any) -> None:
    learned_or_recalled(tmp_path, "runner", book())
    harm(tmp_path / "runner")
    same(learned_or_recalled(tmp_path, "runner", book()), learn_method(book()))
    learned_or_recalled(tmp_path, "runner", book())
    assert len(learnings) == 2  # the second time it was written again


def test_lessons_of_other_code_are_not_believed(
    tmp_path: Path, learnings: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    learned_or_recalled(tmp_path, "runner", book())
    monkeypatch.setattr(lessons, "code_print", lambda: "of another program")
    learned_or_recalled(tmp_path, "runner", book())
    assert len(learnings) == 2


def test_where_nothing_can_be_written_it_is_learned_each_time(
    tmp_path: Path, learnings: list[str]
) -> None:
    in_the_way = tmp_path / "a file"
    in_the_way.write_text("", encoding="utf-8")
    for _ in range(2):
        same(learned_or_recalled(in_the_way, "runner", book()), learn_method(book()))
    assert len(learnings) == 2
