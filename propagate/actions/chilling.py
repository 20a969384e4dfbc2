"""The cold that a batch's places bring by themselves, for the spells of its record."""

import datetime as dt
from typing import TYPE_CHECKING

from propagate.actions.desk import Desk
from propagate.ledger import BatchState
from propagate.planning.case import Chilling
from propagate.records.methods import MethodRecord, Stage

if TYPE_CHECKING:
    from propagate.planning.warmthclocks import Clocks


class ChillingMaker:
    """What the places of batches do for their cold spells; the weather is read when asked."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._clocks: Clocks | None = None

    def of(self, state: BatchState, record: MethodRecord) -> Chilling | None:
        """The chilling of one batch; None where it needs none or no weather is known."""
        weather = self._desk.nursery.weather
        cold = any(stage.clock == "chill" for stage in record.treatments)
        if not cold or not (weather.files or weather.normals):
            return None

        def chilled(stage: Stage, start: dt.date) -> tuple[dt.date, dt.date] | None:
            if self._clocks is None:
                from propagate.actions.weathering import every_clock

                self._clocks = every_clock(self._desk)
            return self._clocks.chilled(stage, state.places, start)

        return chilled
