"""The driver's page: one truck-night on a telephone, the drop sheet's rows in the drop sheet's order."""

import datetime as dt
import hashlib
import json
import re
import uuid
from dataclasses import dataclass
from functools import cached_property

from api.files.sheets import truck_night_names
from api.pages.reading import Reader
from api.pages.say import say, words
from api.store.record import DriverRecord, Handed, HandedStop, Standing
from routing.inputs.places import places
from routing.nights.tour import TruckNight
from routing.plan_record import Plan
from routing.sheets.drop_sheet import drop_sheet
from routing.sheets.sheet_record import DropSheet, StopSheet

_NUMBER = re.compile(r"\+?\(?\d[\d\s().-]*\d")
_CLOCK = re.compile(r"\b(1[0-2]|[1-9]):([0-5]\d) (am|pm|noon|midnight)\b")


@dataclass(frozen=True)
class SheetLink:
    """One truck-night in the list of them."""

    name: str
    """As in the address and in the names of its sheets."""
    truck_night: TruckNight


@dataclass(frozen=True)
class SheetState:
    """How a sheet stands by now."""

    standing: Standing
    version: str = ""
    """Of the sheet; empty when it is gone."""
    newer: str = ""
    """Address of what stands in its place, when it was replaced."""


@dataclass(frozen=True)
class DrivePage:
    """The page of one truck-night."""

    job: str
    name: str
    sheet: DropSheet
    records: tuple[DriverRecord, ...]
    state: SheetState
    zones: dict[str, str]
    """Place -> name of its time zone."""
    truck_night: TruckNight

    @property
    def miles(self) -> float:
        """Length of the whole way. [mi]"""
        return self.truck_night.miles

    @property
    def address(self) -> str:
        """Where the page is."""
        return f"/drive/{self.job}/{self.name}"

    @cached_property
    def taken_back(self) -> frozenset[str]:
        """Ids of the records that were taken back."""
        return taken_back(self.records)

    def at(self, stop: StopSheet) -> tuple[DriverRecord, ...]:
        """Return what was recorded at a stop, without the takings back."""
        return tuple(one for one in self.records if one.event.stop == stop.number and one.event.kind != "taken back")

    def left(self, stop: StopSheet) -> bool:
        """Tell whether the truck was recorded to have left."""
        return any(one.event.kind == "left" and one.event.id not in self.taken_back for one in self.at(stop))

    def way(self, stop: StopSheet, read: Reader) -> str:
        """Return the way from the stop before, in the reader's units."""
        row = next(one for one in self.truck_night.stops if one.number == stop.number)
        if row.miles == 0 and row.drive_min == 0:
            return say("drive.same_place") if stop.way_words else ""
        _, _, rest = stop.way_words.partition(", ")
        return say("drive.from_before", way=f"{read.miles(row.miles)}, {rest}.")

    def after(self, stop: StopSheet) -> StopSheet | None:
        """Return the stop after ``stop``."""
        return next((one for one in self.sheet.stops if one.number == stop.number + 1), None)


def taken_back(records: tuple[DriverRecord, ...]) -> frozenset[str]:
    """Return the ids of the records that were taken back."""
    return frozenset(one.event.about for one in records if one.event.kind == "taken back")


def truck_night_called(plan: Plan, name: str) -> TruckNight | None:
    """Return the truck-night whose sheet has that name, or None."""
    ids = {sheet: truck_night for truck_night, sheet in truck_night_names(plan).items()}
    return next((one for one in plan.truck_nights if one.id == ids.get(name)), None)


def sheet_called(plan: Plan, name: str) -> DropSheet | None:
    """Return the drop sheet of that name, or None."""
    found = truck_night_called(plan, name)
    return drop_sheet(plan, found.id) if found else None


def sheet_links(plan: Plan) -> tuple[SheetLink, ...]:
    """Return every truck-night by night and truck."""
    names = truck_night_names(plan)
    return tuple(SheetLink(names[one.id], one) for one in sorted(plan.truck_nights, key=lambda one: (one.night, one.truck)))


def this_night(now: dt.datetime) -> dt.date:
    """Return the date of the evening that a moment belongs to: until noon it is still last night."""
    return (now - dt.timedelta(hours=12)).date()


def version_of(sheet: DropSheet) -> str:
    """Return what changes with anything that the sheet says."""
    return hashlib.sha256(sheet.model_dump_json().encode()).hexdigest()[:12]


def zones_of(plan: Plan) -> dict[str, str]:
    """Return the time zone of every place."""
    return {name: place.time_zone for name, place in places(plan.operation).items()}


def handed(job: str, name: str, *, plan: Plan, sheet: DropSheet) -> Handed:
    """Return the sheet as the store remembers that it was handed out."""
    zones = zones_of(plan)
    return Handed(
        job=job, sheet=name, version=version_of(sheet), operation=sheet.operation, truck=sheet.truck, night=sheet.night,
        driver=sheet.driver, call=sheet.emergency_contact,
        stops=tuple(_handed_stop(stop, zones[stop.place]) for stop in sheet.stops),
    )  # fmt: skip


def _handed_stop(stop: StopSheet, zone: str) -> HandedStop:
    return HandedStop(
        number=stop.number, place=stop.place, zone=zone, arrive=stop.arrive, leave=stop.leave,
        picked_up={lot.lot: lot.hives for lot in stop.picked_up}, set_down={lot.lot: lot.hives for lot in stop.set_down},
    )  # fmt: skip


def tel(text: str) -> str:
    """Return the first telephone number in ``text`` as a tel URI (RFC 3966, from memory); empty when there is none."""
    if text.strip() == "911":
        return "tel:911"
    found = next((one for one in _NUMBER.findall(text) if len(re.sub(r"\D", "", one)) >= 3), "")
    return f"tel:{re.sub(r'[^0-9+]', '', found)}" if found else ""


def script_words() -> str:
    """Return the texts that the page's script says, as JSON."""
    return json.dumps({name.partition(".")[2]: text for name, text in words().items() if name.startswith("onphone.")})


def on_clock(read: Reader, text: str) -> str:
    """Return the planner's words with their times of day on the reader's clock."""
    return _CLOCK.sub(lambda found: _hour(read, found), text) if read.clock == "24" else text


def _hour(read: Reader, found: re.Match[str]) -> str:
    hour = int(found[1]) % 12 + (12 if found[3] in ("pm", "noon") else 0)
    return read.hour(dt.time(hour, int(found[2])))


def new_id() -> str:
    """Return the id of a record that a form without scripts may make."""
    return str(uuid.uuid4())
