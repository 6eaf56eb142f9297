"""The loads of a draft plan, each planned once however often the draft around it changes."""

from dataclasses import dataclass, field

from routing.inputs.rigging import RoadLimit
from routing.loads.capacity import Unit, unit
from routing.loads.load import Load
from routing.loads.loadable import units_that_ride
from routing.loads.on_the_way import road_limits_on
from routing.loads.solve import plan_loads
from routing.loads.verdict import can_ride
from routing.nights.draft import DraftNight
from routing.nights.problem import Problem, night_date
from routing.nights.schedule import schedule
from routing.nights.tour import Stop, TruckNight

Nights = tuple[DraftNight, ...]


@dataclass
class DeckLoads:
    """Loads planned so far; who drives makes no difference to a load."""

    problem: Problem
    known: dict[tuple[str, tuple[Stop, ...]], tuple[Load, ...]] = field(default_factory=dict)
    rode: dict[tuple[str, Unit, int, tuple[RoadLimit, ...]], int] = field(default_factory=dict)

    def of(self, truck_night: TruckNight) -> tuple[Load, ...]:
        """Return the loads of one truck-night."""
        key = (truck_night.id, truck_night.stops)
        if key not in self.known:
            self.known[key] = plan_loads(self.problem.operation, (truck_night,))
        return self.known[key]

    def that_cannot_ride(self, nights: Nights) -> dict[DraftNight, tuple[Load, ...]]:
        """Return the truck-nights still to come with a load that no strap, screen or paper cures, with those loads."""
        by_truck = {(self.problem.rigs[one.rig].name, night_date(self.problem.operation, one.night)): one for one in nights}
        found = {}
        for truck_night in schedule(self.problem, nights):
            draft = by_truck[truck_night.truck, truck_night.night]
            if draft.night >= self.problem.next_night:
                found[draft] = tuple(load for load in self.of(truck_night) if not can_ride(load))
        return {draft: loads for draft, loads in found.items() if loads}

    def fit(self, draft: DraftNight) -> dict[int, int]:
        """Return the units of each kind that the truck really carries by itself on a move like that of a truck-night.

        Kinds that do not ride that night keep what the deck's area and the payload allow.
        """
        operation, rig = self.problem.operation, self.problem.rigs[draft.rig]
        aboard = {kind for stop in draft.stops for kind, _ in stop.picked_up}
        limits = road_limits_on(operation, night_date(operation, draft.night), {stop.place for stop in draft.stops})
        return {kind: self._rode(rig.name, kind, most, limits) if kind in aboard else most for kind, most in rig.fit.items()}

    def _rode(self, truck: str, kind: int, most: int, limits: tuple[RoadLimit, ...]) -> int:
        operation, name = self.problem.operation, self.problem.kinds[kind].group
        group = next(one for one in operation.hive_groups if one.name == name)
        key = (truck, unit(operation, group), most, limits)
        if key not in self.rode:
            self.rode[key] = units_that_ride(operation, truck, name, most=most, road_limits=limits)
        return self.rode[key]
