"""What spans rows: names, hives, contracts, land and fleet that do not agree with each other.

No trucks, no hives, or a promise that cannot be kept are no faults: the planner answers them with a reason.
"""

from routing.inputs.cross_check_arranged import arranged_flaws
from routing.inputs.cross_check_contracts import contract_flaws
from routing.inputs.cross_check_features import feature_flaws
from routing.inputs.cross_check_fleet import fleet_flaws
from routing.inputs.cross_check_hives import hive_flaws
from routing.inputs.cross_check_land import land_flaws
from routing.inputs.cross_check_names import name_flaws
from routing.inputs.cross_check_outlines import outline_flaws
from routing.inputs.cross_check_rigging import rigging_flaws
from routing.inputs.cross_check_season import season_flaws
from routing.inputs.cross_check_weather import weather_flaws
from routing.inputs.faults import Flaw
from routing.inputs.operation import Operation

CHECKS = (name_flaws, season_flaws, hive_flaws, contract_flaws, land_flaws, outline_flaws, feature_flaws, fleet_flaws, rigging_flaws,
          arranged_flaws, weather_flaws)


def cross_check(operation: Operation) -> tuple[Flaw, ...]:
    """Return everything that spans rows and is wrong.

    Parameters
    ----------
    operation
        Every row has passed the rules of its own columns.

    Returns
    -------
    tuple[Flaw, ...]
        Empty when the operation may be planned.
    """
    return tuple(flaw for check in CHECKS for flaw in check(operation))
