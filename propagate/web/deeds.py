"""What is done at a tray: the fields of each form, and the event that follows from them."""

from collections.abc import Callable, Mapping
from typing import Final, Literal

from attrs import frozen

from propagate.actions.parting import unseen
from propagate.errors import Refused
from propagate.ledger import GROWN, IN_TRAY, LIVING, BatchState, Kind
from propagate.records import events
from propagate.records.events import Event
from propagate.web.speech import marked
from propagate.worded import worded

MOST_PLANTS: Final = 100_000
"""So many are reckoned in a few seconds; a form with more is a slip, or several batches."""
LONGEST_WORDS: Final = 200

Values = Mapping[str, str]


@frozen
class Field:
    """One field of a form: a count of plants, or words, with what is offered for them."""

    name: str
    label: str
    kind: Literal["count", "words"] = "count"
    offers: str = ""
    required: bool = True


@frozen
class Deed:
    """Something a grower does to a batch; `kinds` are the accounts that must hold plants.

    What `parts` a batch moves some of it, which become a batch of their own.
    """

    key: str
    title: str
    button: str
    fields: tuple[Field, ...]
    make: Callable[[str, Values], Event]
    kinds: tuple[Kind, ...]
    help: str = ""
    parts: bool = False

    def fits(self, state: BatchState) -> bool:
        """Whether it can be done to a batch as it stands."""
        held = state.total(*self.kinds)
        return held > 1 and unseen(state) if self.parts else held > 0

    def most(self, state: BatchState) -> int:
        """The most plants it can be done to."""
        return state.total(*self.kinds) - self.parts  # some must stay


def whole(values: Values, name: str, label: str, *, empty: int | None = None) -> int:
    """A number of plants as typed; raises Refused for what is none."""
    typed = values.get(name, "").strip()
    if not typed and empty is not None:
        return empty
    if not (typed.isascii() and typed.isdigit()) or len(typed) > 7:
        raise Refused(
            worded(
                "{label}: write a whole number, such as 12; “{typed}” is none.",
                label=worded(label),
                typed=typed[:20],
            )
        )
    if int(typed) > MOST_PLANTS:
        raise Refused(
            worded(
                "{label}: {typed} is too many for one batch here; {most} is the most.",
                label=worded(label),
                typed=typed,
                most=MOST_PLANTS,
            )
        )
    return int(typed)


def words(values: Values, name: str) -> str:
    """A few words as typed, in one line; raises Refused for far too many."""
    typed = " ".join(values.get(name, "").split())
    if len(typed) > LONGEST_WORDS:
        raise Refused(
            worded(
                "That is {count} characters long; {most} is the most.",
                count=len(typed),
                most=LONGEST_WORDS,
            )
        )
    if not typed.isprintable():
        raise Refused(
            worded("There is a character in it that cannot be printed; write it with letters.")
        )
    return typed


def needed(values: Values, name: str, what: str) -> str:
    """Words that have to be given."""
    typed = words(values, name)
    if not typed:
        raise Refused(worded("{what} is missing; say it in a few words.", what=worded(what)))
    return typed


def _checked(code: str, values: Values) -> Event:
    sample = whole(values, "sample", marked("Lifted"), empty=0)
    rooted = values.get("rooted", "").strip()
    return events.Checked(
        code,
        whole(values, "rooted", marked("Rooted")) if rooted else None,
        whole(values, "dead", marked("Dead"), empty=0),
        sample or None,
    )


def count_of(values: Values) -> int:
    """The number of plants that a form is about."""
    return whole(values, "count", "How many")


COUNT: Final = Field("count", marked("How many"))

CHECK: Final = Deed(
    "check",
    marked("Look into the tray"),
    marked("Write it down"),
    (Field("rooted", marked("rooted")), Field("dead", marked("dead"))),
    _checked,
    IN_TRAY,
)

DEEDS: Final = {
    deed.key: deed
    for deed in (
        CHECK,
        Deed(
            "pot-on",
            marked("Pot on"),
            marked("Potted on"),
            (COUNT, Field("container", marked("Into"), "words", "container", False)),
            lambda code, v: events.PottedOn(code, count_of(v), words(v, "container")),
            IN_TRAY,
        ),
        Deed(
            "move",
            marked("Move"),
            marked("Moved"),
            (Field("place", marked("To"), "words", "place"),),
            lambda code, v: events.Moved(code, needed(v, "place", marked("The place"))),
            LIVING,
        ),
        Deed(
            "part",
            marked("Move a part"),
            marked("They are moved"),
            (COUNT, Field("place", marked("To"), "words", "place")),
            lambda code, v: events.Moved(code, needed(v, "place", marked("The place"))),
            (Kind.WAITING,),
            marked("They become a batch with a code of its own: print a new label for both."),
            parts=True,
        ),
        Deed(
            "lose",
            marked("Lost"),
            marked("Write off"),
            (COUNT, Field("cause", marked("Why"), "words", "cause", False)),
            lambda code, v: events.Lost(code, count_of(v), words(v, "cause")),
            LIVING,
            marked("For mice, drought, a dropped tray. The dead found while counting go above."),
        ),
        Deed(
            "plant-out",
            marked("Plant out"),
            marked("Planted out"),
            (COUNT, Field("bed", marked("Bed"), "words", "bed", False)),
            lambda code, v: events.PlantedOut(code, count_of(v), words(v, "bed")),
            GROWN,
        ),
        Deed(
            "give",
            marked("Give or sell"),
            marked("Given"),
            (COUNT, Field("to", marked("To whom"), "words", "to", False)),
            lambda code, v: events.Given(code, count_of(v), words(v, "to")),
            GROWN,
        ),
        Deed(
            "promise",
            marked("Promise"),
            marked("Promised"),
            (COUNT, Field("to", marked("To whom"), "words", "to")),
            lambda code, v: events.Promised(code, count_of(v), needed(v, "to", marked("The name"))),
            LIVING,
        ),
        Deed(
            "harden",
            marked("Harden off"),
            marked("Out by day"),
            (COUNT,),
            lambda code, v: events.HardenedOff(code, count_of(v)),
            (Kind.POTTED,),
        ),
        Deed(
            "ready",
            marked("Strong enough"),
            marked("They are ready"),
            (COUNT,),
            lambda code, v: events.MadeReady(code, count_of(v)),
            (Kind.POTTED, Kind.HARDENING),
        ),
        Deed(
            "recount",
            marked("Count again"),
            marked("That is right"),
            (
                Field("count", marked("Alive here, all together")),
                Field("why", marked("Why the book was wrong"), "words"),
            ),
            lambda code, v: events.Recounted(
                code, count_of(v), needed(v, "why", marked("The reason"))
            ),
            LIVING,
            marked("For miscounts only; plants that died are found dead or lost."),
        ),
    )
}
"""In the order of the tray page."""

SEVER: Final = Deed(
    "sever",
    marked("Cut from the mother"),
    marked("They are cut free"),
    (),
    lambda code, _: events.StepDone(code, "severed"),
    IN_TRAY,
)


def deed_of(key: str) -> Deed | None:
    """The deed of this key, None when there is none."""
    return SEVER if key == SEVER.key else DEEDS.get(key)
