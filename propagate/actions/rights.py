"""Which plants of a nursery are marked as protected."""

from collections.abc import Callable

from propagate.actions.desk import Desk
from propagate.errors import PropagateError, Refused
from propagate.names import PlantName
from propagate.paths import NURSERY_FILE
from propagate.records.rights import is_protected
from propagate.worded import worded


def protection(desk: Desk) -> Callable[[PlantName], bool]:
    """Make the question whether a plant is marked as protected in the settings.

    Raises Refused for a mark that names no plant.
    """
    marked = [_plant(desk, text) for text in desk.nursery.protected]
    return lambda name: is_protected(name, marked)


def _plant(desk: Desk, text: str) -> PlantName:
    try:
        return desk.library.resolve(text)
    except PropagateError as error:
        raise Refused(
            worded("{where}: {what}", where=f"{NURSERY_FILE}, protected", what=error.said)
        ) from error
