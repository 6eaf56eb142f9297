"""What drivers recorded beside what was planned, and where the two differ."""

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from api.pages.drive import handed, sheet_called, sheet_links, taken_back
from api.store.record import DriverRecord, Handed, HandedStop
from routing.plan_record import Plan

_CLOCK_OFF_S = 120.0
"""A telephone's clock may be this far off before it is told. [s]"""


@dataclass(frozen=True)
class StopRecorded:
    """One stop: planned, and recorded."""

    stop: HandedStop
    records: tuple[DriverRecord, ...]
    """Those that count: none that was taken back."""

    def at(self, kind: str) -> dt.datetime | None:
        """Return when the first telephone said so, on the place's clock; None when none did."""
        found = next((one.at for one in self.records if one.event.kind == kind), None)
        return self.local(found) if found else None

    def local(self, moment: dt.datetime) -> dt.datetime:
        """Return a moment on the place's clock."""
        return moment.astimezone(ZoneInfo(self.stop.zone))

    def counts(self, kind: str) -> tuple[dict[str, int], ...]:
        """Return the hives by lot that each telephone counted last, where two differ both."""
        last = {one.event.phone: dict(sorted(one.event.counts.items())) for one in self.records if one.event.kind == kind}
        return tuple({tuple(one.items()): one for one in last.values()}.values())

    @property
    def notes(self) -> tuple[DriverRecord, ...]:
        """Records with words of the driver's own."""
        return tuple(one for one in self.records if one.event.note)

    @property
    def differs(self) -> bool:
        """Whether anything counted is not what was planned, or two telephones counted otherwise."""
        pairs = (("picked up", self.stop.picked_up), ("set down", self.stop.set_down))
        return any(counted != dict(sorted(planned.items())) for kind, planned in pairs for counted in self.counts(kind))


@dataclass(frozen=True)
class NightRecorded:
    """One truck-night: planned, and recorded."""

    handed: Handed
    records: tuple[DriverRecord, ...]

    @property
    def stops(self) -> tuple[StopRecorded, ...]:
        """Stops of which something was recorded."""
        gone = taken_back(self.records)
        counting = [one for one in self.records if one.event.kind != "taken back" and one.event.id not in gone]
        rows = (StopRecorded(stop, tuple(one for one in counting if one.event.stop == stop.number)) for stop in self.handed.stops)
        return tuple(row for row in rows if row.records)

    @property
    def differing(self) -> tuple[StopRecorded, ...]:
        """Stops at which another count was recorded than was planned."""
        return tuple(row for row in self.stops if row.differs)

    @property
    def phones(self) -> int:
        """Telephones that sent something."""
        return len({one.event.phone for one in self.records if one.event.phone})

    @property
    def of_another_sheet(self) -> int:
        """Records made while the sheet was changed, replaced or removed."""
        return sum(one.standing != "stands" for one in self.records)

    @property
    def clock_off_min(self) -> float:
        """How far the worst telephone's clock is ahead (or behind, below 0); 0 when none is far off. [min]"""
        worst = max((one.ahead_s or 0.0 for one in self.records), key=abs, default=0.0)
        return worst / 60.0 if abs(worst) > _CLOCK_OFF_S else 0.0


def nights_recorded(job: str, plan: Plan, records: Iterable[DriverRecord]) -> dict[str, NightRecorded]:
    """Return each truck-night of a plan of which something was recorded, by truck-night id, in the order of nights."""
    by_sheet: dict[str, list[DriverRecord]] = {}
    for one in records:
        by_sheet.setdefault(one.sheet, []).append(one)
    found = {}
    for link in sheet_links(plan):
        sheet = sheet_called(plan, link.name) if link.name in by_sheet else None
        if sheet is not None:
            found[link.truck_night.id] = NightRecorded(handed(job, link.name, plan=plan, sheet=sheet), tuple(by_sheet[link.name]))
    return found


def differing(plan: Plan, job: str, records: Iterable[DriverRecord]) -> tuple[tuple[NightRecorded, StopRecorded], ...]:
    """Return every stop of a plan at which another count was recorded than was planned, with its truck-night."""
    nights = nights_recorded(job, plan, records).values()
    return tuple((night, row) for night in nights for row in night.differing)
