"""A book learned piece by piece answers in between what it knows, and in the end the same."""

import shutil
from pathlib import Path

import pytest

from propagate.actions.answering import due
from propagate.actions.desk import Desk
from propagate.actions.warming import Progress, due_so_far, learn_more, progress
from tests.demos import NOW, shared_demo


@pytest.fixture
def folder(tmp_path: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return Path(shutil.copytree(shared_demo(tmp_path_factory), tmp_path / "demo"))


def test_each_piece_adds_jobs_until_all_is_known(folder) -> None:
    with Desk(folder, NOW.date(), NOW) as desk:
        assert progress(desk).done == 0
        assert due_so_far(desk) == []
        done, jobs = [], []
        while learn_more(desk):
            done.append(progress(desk).done)
            jobs.append(len(due_so_far(desk)))
        assert done == sorted(set(done))
        assert jobs == sorted(jobs)
        assert len(done) > 3
        assert progress(desk) == Progress(done[-1], done[-1])
        at_once = [task for task in due(desk) if task.action != "make room"]
        assert due_so_far(desk) == at_once


def test_nothing_is_learned_of_an_empty_book(tmp_path) -> None:
    from propagate.actions.founding import found_nursery

    found_nursery(tmp_path / "n", "Empty")
    with Desk(tmp_path / "n", NOW.date(), NOW) as desk:
        assert not learn_more(desk)
        assert progress(desk) == Progress(0, 0)
