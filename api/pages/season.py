"""The season in rows: each contract's nights in and out beside what the plan does, and every place's hives night by night."""

import datetime as dt
from dataclasses import dataclass
from functools import cached_property

from routing.nights.tour import Lot
from routing.plan_record import Delivery, Plan
from routing.sheets.season_calendar import season_calendar


@dataclass(frozen=True)
class Standing:
    """Hives at every place after one night."""

    night: dt.date
    hives: dict[str, int]
    moved: tuple[tuple[str, str, int], ...]
    """From, to, hives."""


@dataclass(frozen=True)
class Season:
    """The season of a plan."""

    plan: Plan

    @property
    def rows(self) -> tuple[tuple[int, Delivery], ...]:
        """Contracts by number, in the order in which they bloom."""
        numbers = {contract.name: number for number, contract in enumerate(self.plan.operation.contracts)}
        found = [(numbers[one.contract], one) for one in self.plan.deliveries]
        return tuple(sorted(found, key=lambda row: (row[1].in_from, row[0])))

    @property
    def figure_svg(self) -> str:
        """The season's calendar: blooms, windows, moves, hives in place; empty when nothing is promised."""
        return season_calendar(self.plan) if self.plan.deliveries else ""

    @property
    def places(self) -> tuple[str, ...]:
        """Places where hives stand at any time: yards, then orchards in the order of bloom."""
        yards = tuple(yard.name for yard in self.plan.operation.yards)
        names = (*yards, *(one.contract for _, one in self.rows))
        ever = {name for step in (self.start, *(one.hives for one in self.standings)) for name, hives in step.items() if hives}
        return tuple(name for name in names if name in ever)

    @cached_property
    def start(self) -> dict[str, int]:
        """Hives at every place before the first night."""
        found = {yard.name: 0 for yard in self.plan.operation.yards}
        for group in self.plan.operation.hive_groups:
            found[group.yard] += group.hives
        return found

    @cached_property
    def standings(self) -> tuple[Standing, ...]:
        """Hives at every place after each night on which something moves."""
        moved: dict[dt.date, list[Lot]] = {}
        for one in self.plan.truck_nights:
            moved.setdefault(one.night, []).extend(lot for stop in one.stops for lot in stop.picked_up)
        now, steps = dict(self.start), []
        for night in sorted(moved):
            ways: dict[tuple[str, str], int] = {}
            for lot in moved[night]:
                now[lot.origin] = now.get(lot.origin, 0) - lot.hives
                now[lot.destination] = now.get(lot.destination, 0) + lot.hives
                ways[lot.origin, lot.destination] = ways.get((lot.origin, lot.destination), 0) + lot.hives
            steps.append(Standing(night, dict(now), tuple((*way, hives) for way, hives in ways.items())))
        return tuple(steps)
