"""What every test run needs before anything is imported, and what all its tests share."""

import gc
import os
from collections.abc import Iterator, Sequence
from functools import cache
from pathlib import Path

# The arrays are small: threads of numpy's linear algebra would only fight the test workers.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import pytest
from hypothesis import settings

settings.register_profile("usual", max_examples=50, deadline=None)  # a machine may be busy
settings.register_profile("thorough", max_examples=1_000, deadline=None)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "usual"))

LONGEST_FIRST = (
    "web/test_browser.py",
    "reference/test_forecast_sampler.py",
    "actions/test_demo.py",
    "paper/test_sheets.py",
    "actions/test_sheets.py",
    "ledger/test_ledger_machine.py",
    "science/test_calibration.py",
    "paper/test_labels.py",
    "cli/test_screen.py",
)
"""A worker takes file after file: the long ones first, so that both end at about one time."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Bring the long files to the front, each kept together."""
    here = Path(__file__).parent
    ranks = {here / name: rank for rank, name in enumerate(LONGEST_FIRST)}
    items.sort(key=lambda item: ranks.get(item.path, len(ranks)))


@pytest.fixture(scope="session", autouse=True)
def one_library() -> Iterator[None]:
    """The shipped records are read once for all tests; a nursery's own are read each time."""
    from propagate.actions import desk
    from propagate.library import Library

    shipped = cache(Library)

    def library(folders: Sequence[Path]) -> Library:
        return shipped(tuple(folders)) if len(folders) == 1 else Library(folders)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(desk, "Library", library)
        yield


def pytest_collection_finish() -> None:
    """What was imported and collected stays: rubbish need not be looked for in it again."""
    gc.collect()
    gc.freeze()
