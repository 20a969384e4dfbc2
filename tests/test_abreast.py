"""Work shared out to processes: the same answers, whatever becomes of a copy."""

import json
import subprocess
import sys
import threading
from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from propagate.abreast import abreast, hands, shared_out

WEIGHTS = st.lists(st.floats(0.1, 1000), min_size=1, max_size=30)


@given(WEIGHTS, st.integers(1, 5))
def test_every_piece_is_in_one_share_and_no_share_is_much_heavier(
    weights: list[float], wanted: int
) -> None:
    shares = shared_out(weights, wanted)
    assert sorted(at for share in shares for at in share) == list(range(len(weights)))
    assert all(shares)
    assert len(shares) == min(wanted, len(weights))
    heaviest = max(sum(weights[at] for at in share) for share in shares)
    assert heaviest <= sum(weights) / len(shares) + max(weights) + 1e-6  # Graham 1969


def test_nothing_to_do_is_done() -> None:
    assert abreast(str, [], []) == []


def test_a_process_with_threads_is_never_forked() -> None:
    ends = threading.Event()
    thread = threading.Thread(target=ends.wait)
    thread.start()
    try:
        assert hands() == 1
    finally:
        ends.set()
        thread.join()


def alone(work: str, pieces: Sequence[int]) -> subprocess.CompletedProcess[str]:
    """What `abreast` answers with two hands, in a process of its own."""
    script = f"""
import json, os
import propagate.abreast as it
here, pieces = os.getpid(), {list(pieces)}
{work}
it.hands = lambda: 2
print(json.dumps(it.abreast(work, pieces, pieces)))
"""
    return subprocess.run([sys.executable, "-c", script], capture_output=True, text=True)


forked = pytest.mark.skipif(
    sys.platform != "linux",
    reason="work is forked on Linux alone; elsewhere one process does all of it",
)


@forked
def test_answers_come_from_two_processes_in_the_order_of_the_pieces() -> None:
    run = alone("work = lambda piece: (piece, os.getpid() == here)", [5, 1, 2, 3])
    answers = json.loads(run.stdout)
    assert [piece for piece, _ in answers] == [5, 1, 2, 3]
    assert {was_here for _, was_here in answers} == {True, False}


@forked
def test_what_a_lost_copy_should_have_done_is_done_here() -> None:
    lost = "def work(piece):\n    if os.getpid() != here: os.kill(os.getpid(), 9)\n    return piece"
    run = alone(lost, [5, 4, 3])
    assert json.loads(run.stdout) == [5, 4, 3]
    assert run.stderr == ""


@forked
def test_what_goes_wrong_in_a_copy_is_raised_here() -> None:
    run = alone("work = lambda piece: 1 / (piece - 4)", [5, 4, 3])
    assert run.returncode == 1
    assert run.stderr.count("ZeroDivisionError") == 1
