"""What to look at, at each stop, and the usual cautions of the work.

None of this stands in for local codes, posted limits, the owner's manual or licensed practice.
"""

from routing.inputs.constants import constant
from routing.inputs.operation import Operation
from routing.nights.tour import Stop, TruckNight
from routing.roads.driven import signs_on_leg
from routing.roads.told import driver_words
from routing.sheets.words import amount, counted

RULES_FIRST = (
    "This sheet is a plan, not a permit. Posted limits, local codes, permits, the truck's own ratings and "
    "the advice of licensed people come first. Weights are estimates until the truck has been on a scale."
)
DRIVING = (
    "Night driving: sleep before the shift. Drowsy? Park, sleep or change drivers; late hives are better "
    "than a crash. Walk any gate, bridge or soft track before driving on it."
)
LOAD_WATCH = (
    "Load: stop after the first miles and tighten everything; look again at every stop. 49 CFR 392.9 wants "
    "it within the first 50 miles, then every 150 miles, 3 hours or change of duty, whichever comes first."
)
LIFTING = (
    "Lifting: by hand two people to a hive, straight backs. Nobody under, on or in reach of a raised load. "
    "Forklift and boom only by people trained on them."
)
BACKING = (
    "Backing: one helper with a light guides the truck or forklift. Nobody stands behind it; all lights are "
    "counted before it moves."
)
STINGS = (
    "Stings: full suit, veil and gloves before the engine stops. Trouble breathing, a swollen face or "
    "faintness after a sting: call 911 at once; use the prescribed auto-injector."
)
SPRAYS = (
    "Sprays: call the spray contact before opening the gate. Do not enter wet or posted blocks; the label's "
    "re-entry time is the law. Open bloom sprayed? Keep the hives on the truck and call the operation."
)
ACCIDENT = (
    "Accident or spilled hives: people first. Stay upwind, keep windows shut, keep bystanders away. Call "
    "911, say 'live honey bees' and how many hives are on deck, then the numbers on this sheet."
)
CAUTIONS = (DRIVING, LOAD_WATCH, LIFTING, BACKING, STINGS, SPRAYS, ACCIDENT, RULES_FIRST)
# Sources: 49 CFR 392.9(b) from memory; label as law: 7 USC 136j(a)(2)(G), from memory; the rest common
# practice, no source.

MOST_SIGNS = 4
YARD_CAUTIONS = (LIFTING, BACKING, STINGS, RULES_FIRST)


def joined_cautions(own: tuple[str, ...], others: tuple[str, ...]) -> tuple[str, ...]:
    """Return the sheet's own cautions with those of the plan, each danger told in one place.

    A caution begins with its danger and a colon. One of a danger that is already there is added to that line;
    one of another danger, or of none, follows at the end.
    """
    lines = list(own)
    for other in others:
        words = other.partition(": ")[2]
        same = next((at for at, line in enumerate(lines) if words and _danger(line) == _danger(other)), None)
        if same is None:
            lines.append(other)
        elif other != lines[same]:
            lines[same] = f"{lines[same]} {words[:1].upper()}{words[1:]}"
    return tuple(dict.fromkeys(lines))


def _danger(line: str) -> str:
    return line.partition(": ")[0].lower().removesuffix("s")


def stop_checks(
    operation: Operation, truck_night: TruckNight, stop: Stop, *, on_deck_after: int
) -> tuple[str, ...]:
    """Return the lines to tick at one stop, in the order in which they are done."""
    lines: list[str] = []
    if stop.number == 0:
        lines += _start_checks(operation, truck_night)
    if stop.set_down:
        lines += _set_down_checks(stop)
    if stop.picked_up:
        lines += _pick_up_checks(stop)
    if on_deck_after and (stop.picked_up or stop.set_down):
        lines.append(f"{counted(on_deck_after, 'hive')} on deck: tie-downs tight, net over and tied")
        lines.append("Stop after the first few miles: tighten tie-downs, look at net and pallets")
    if stop.picked_up or stop.set_down:
        lines.append(temperature_words(operation, stop.place, truck_night))
        lines.append("Gate left as it was found")
    return (*lines, *_way_checks(operation, truck_night, stop))


def _way_checks(operation: Operation, truck_night: TruckNight, stop: Stop) -> list[str]:
    """Return the signs to look at on the way to the stop after this one."""
    after = next((one for one in truck_night.stops if one.number == stop.number + 1), None)
    if after is None:
        return []
    signs = signs_on_leg(operation, truck_night.truck, (stop.place, after.place))
    told = dict.fromkeys(driver_words(one) for one in signs)
    more = f"; and {len(told) - MOST_SIGNS} more" if len(told) > MOST_SIGNS else ""
    return [f"On the way to {after.place} look at the signs: {'; '.join(list(told)[:MOST_SIGNS])}{more}"] if told else []


def _start_checks(operation: Operation, truck_night: TruckNight) -> list[str]:
    straps = sum(row.count for row in operation.tie_downs if row.truck == truck_night.truck)
    ties = (
        f"{counted(straps, 'tie-down')} on board"
        if straps
        else "Tie-downs on board (none were listed: count them)"
    )
    return [
        "Lights, brakes, tires, coupling and fuel looked at",
        f"{ties}, net, gate keys, spare hive straps and screens",
        "Suits, veils, gloves, smoker, water, first aid, headlamps, charged phone",
        "Weather and road closures looked up; spray contacts called",
    ]


def _pick_up_checks(stop: Stop) -> list[str]:
    hives = sum(lot.hives for lot in stop.picked_up)
    return [
        "Bees in; every hive strapped, lid to bottom board",
        "Entrances closed or screened; a way for air",
        f"Counted {counted(hives, 'hive')} on, each unit where the deck plan shows it",
    ]


def _set_down_checks(stop: Stop) -> list[str]:
    hives = sum(lot.hives for lot in stop.set_down)
    lines = [
        f"Counted {counted(hives, 'hive')} off, level and steady",
        "Screens off, entrances open and facing as noted",
    ]
    return ["Spray contact called, block not wet or posted", *lines] if stop.kind == "orchard" else lines


def temperature_words(operation: Operation, place: str, truck_night: TruckNight) -> str:
    """Return the night's temperatures at ``place`` where they were given, and what warmth asks for."""
    warm_f = constant(operation, "closed_hive_warm_f")
    air = f"at {amount(warm_f, 'F')} or warmer a closed hive needs a screened way for air"
    rows = [
        row for row in operation.temperatures if row.night == truck_night.night and row.place in (place, "")
    ]
    if not rows:
        return f"Temperature ____ F (none was given: read it; {air})"
    row = max(rows, key=lambda one: one.place == place)
    words = (
        f"Temperature given: {row.sunset_f:.0f} F at sunset, low {row.low_f:.0f} F, "
        f"{row.sunrise_f:.0f} F at sunrise; now ____ F"
    )
    return f"{words}. WARM: {air}" if max(row.sunset_f, row.sunrise_f) >= warm_f else words
