"""What all pages of one running program share."""

from attrs import define

from propagate.web.guarding import Guard
from propagate.web.room import Room


@define(eq=False)
class Bench:
    """The nursery's room, its name for the head of the pages, and who may come in."""

    room: Room
    guard: Guard
    name: str
