"""One night of a plan: truck by truck, stop by stop."""

import datetime as dt
from dataclasses import dataclass
from functools import cached_property

from api.files.sheets import truck_night_names
from routing.inputs.constants import constant
from routing.nights.tour import TruckNight
from routing.plan_record import Plan
from routing.sheets.drop_sheet import drop_sheet
from routing.sheets.sheet_record import DropSheet


@dataclass(frozen=True)
class TruckRow:
    """One truck's night, with its sheet."""

    truck_night: TruckNight
    sheet: DropSheet
    loads: tuple[int, ...]
    """Numbers of its loads in the plan."""
    most_duty_min: float
    """The least of the person's own limit and the fatigue limit. [min]"""
    sheet_name: str
    """As in the address of the driver's page."""


@dataclass(frozen=True)
class NightPage:
    """The page of one night."""

    plan: Plan
    night: dt.date

    @cached_property
    def trucks(self) -> tuple[TruckRow, ...]:
        """Trucks that go out."""
        return tuple(
            TruckRow(
                truck_night=one,
                sheet=drop_sheet(self.plan, one.id),
                loads=tuple(number for number, load in enumerate(self.plan.loads) if load.truck_night == one.id),
                most_duty_min=_most_duty_min(self.plan, one),
                sheet_name=truck_night_names(self.plan)[one.id],
            )
            for one in self.plan.truck_nights
            if one.night == self.night
        )

    @property
    def nights(self) -> tuple[dt.date, ...]:
        """Every night of the plan, in order."""
        return tuple(sorted({one.night for one in self.plan.truck_nights}))

    @property
    def before(self) -> dt.date | None:
        """The night out before this."""
        return max((one for one in self.nights if one < self.night), default=None)

    @property
    def after(self) -> dt.date | None:
        """The night out after this."""
        return min((one for one in self.nights if one > self.night), default=None)


def _most_duty_min(plan: Plan, truck_night: TruckNight) -> float:
    own = [one.most_duty_hours for one in plan.operation.drivers if one.name == truck_night.driver and one.most_duty_hours]
    return 60.0 * min([*own, constant(plan.operation, "fatigue_duty_h")])
