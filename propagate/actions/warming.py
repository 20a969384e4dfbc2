"""A large book learned a piece at a time, so that questions can be answered in between.

learn_more, learn_more, ... until it says that nothing is left; then `due` is quick
"""

from collections import Counter

from attrs import frozen

from propagate.actions.answering import cases, due, learned_methods, methods_due
from propagate.actions.desk import Desk
from propagate.records.answers import DueTask


@frozen
class Progress:
    """How many of the book's batches are worked out."""

    done: int
    every: int


def learn_more(desk: Desk) -> bool:
    """Work out one more method, the quickest first, at last all that is due; False once done."""
    known = learned_methods(desk)
    left = Counter(case.method.id for case in cases(desk) if case.method.id not in known)
    if left:
        methods_due(desk, {min(left, key=lambda method: (left[method], method))})
        return True
    due(desk)
    return False


def progress(desk: Desk) -> Progress:
    """How far the learning has come."""
    every, known = cases(desk), learned_methods(desk)
    return Progress(sum(case.method.id in known for case in every), len(every))


def due_so_far(desk: Desk) -> list[DueTask]:
    """The jobs of the batches that are worked out; whether a bench overflows comes last."""
    return methods_due(desk, learned_methods(desk))
