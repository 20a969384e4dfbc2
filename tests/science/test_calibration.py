"""A small, seeded run of the calibration bench: honest intervals, near to the oracle.

With 200 batches the standard error of an 80 % coverage is 2.8 points; the margins are three.
"""

import importlib.util
import sys
from pathlib import Path

import pytest

BENCH = Path(__file__).parents[1] / "bench" / "calibration.py"
BATCHES = 200


def _bench():
    spec = importlib.util.spec_from_file_location("calibration_bench", BENCH)
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module  # classes made by attrs look their module up
    spec.loader.exec_module(module)
    return module


bench = _bench()
AS_MODELLED, LOGNORMAL = bench.WORLDS[0], bench.WORLDS[1]


@pytest.mark.parametrize("stage", ["start, no past", "start, 5 past batches", "one check, 10 past"])
def test_intervals_hold_as_often_as_they_say(stage):
    found = bench.score(AS_MODELLED, stage, BATCHES)
    assert found.coverage(0.5) == pytest.approx(0.5, abs=0.105)
    assert found.coverage(0.8) == pytest.approx(0.8, abs=0.085)
    assert found.coverage(0.95) == pytest.approx(0.95, abs=0.05)
    assert found.uneven() < 1.63  # one even sample in a hundred is more uneven


def test_other_laws_of_time_cost_little():
    found = bench.score(LOGNORMAL, "three checks, 10 past", BATCHES)
    assert found.coverage(0.8) == pytest.approx(0.8, abs=0.085 + 0.06)


def test_past_batches_bring_the_forecast_near_the_oracle_and_below_the_rule():
    found = bench.score(AS_MODELLED, "start, 10 past batches", BATCHES)
    assert found.ours.mean() < 1.2 * found.oracle.mean()
    assert found.ours.mean() < 0.85 * found.rule.mean()
