"""What to type once a job is done, with a gap for each number."""

from propagate.planning.case import Case
from propagate.records.answers import DueTask
from propagate.records.nursery import Nursery

GAP = "__"


def typed_for(task: DueTask, case: Case, nursery: Nursery) -> str:
    """The command that records a job; empty where there is nothing to record."""
    code = task.batch
    if task.action in (case.method.pot_on_words, "lift the rest"):
        return f"pot-on {code} {GAP}"
    if task.action == "move to the fridge":
        return f"move {code} {_cold_place(nursery)}"
    return {
        "check": check_typed(code),
        "sever": f"sever {code}",
        "harden off": f"harden {code} {GAP}",
        "plant out": plant_out_typed(code),
        "empty the tray": f"lose {code} {GAP}",
        "move to warmth": f"move {code} {GAP}",
        "shelter from the cold": f"move {code} {GAP}",
        "print a new label": f"labels {code} -o label.pdf",
    }.get(task.action, "")


def check_typed(code: str) -> str:
    """The command for a look into the tray."""
    return f"check {code} --rooted {GAP} --dead {GAP}"


def plant_out_typed(code: str, bed: str = "") -> str:
    """The command for planting out, into the bed where one is known."""
    return f"plant-out {code} {GAP} --bed {in_shell(bed) if bed else GAP}"


def in_shell(words: str) -> str:
    """Words as one argument of a command, in double quotes where they need them."""
    plain = all(ch.isalnum() or ch in "-_." for ch in words)
    return words if plain else f'"{words}"'


def _cold_place(nursery: Nursery) -> str:
    cold = [place.name for place in nursery.places.values() if place.cold]
    return in_shell(cold[0]) if len(cold) == 1 else GAP
