"""The frames of bees that a season counts on, group by group and night by night, each looked up once."""

import datetime as dt
from dataclasses import dataclass, field

from routing.inputs.constants import constant
from routing.inputs.contract import Contract
from routing.inputs.operation import Operation
from routing.inputs.yard import HiveGroup
from routing.strength.on_date import share_below_for, strength_for, strength_on


@dataclass(frozen=True)
class Counted:
    """Strength as a plan may count on it, of one operation."""

    operation: Operation
    _frames: dict[tuple[str, str, dt.date], float] = field(default_factory=dict)
    _strong: dict[tuple[str, str, dt.date], bool] = field(default_factory=dict)

    def frames(self, group: HiveGroup, night: dt.date, contract: Contract | None = None) -> float:
        """Return the frames counted on, each hive of a group, on a night; as a contract counts them, if one is given."""
        key = (group.name, contract.name if contract else "", night)
        if key not in self._frames:
            operation = self.operation
            found = strength_for(operation, group, contract, night) if contract else strength_on(operation, group, night)
            self._frames[key] = found.counted_frames
        return self._frames[key]

    def strong_enough(self, group: HiveGroup, contract: Contract, night: dt.date) -> bool:
        """Tell whether few enough hives of a group are under a contract's least for a single colony on a night."""
        key = (group.name, contract.name, night)
        if key not in self._strong:
            most = constant(self.operation, "below_floor_share")
            self._strong[key] = share_below_for(self.operation, group, contract, night) <= most
        return self._strong[key]
