"""Findings on roads that were measured, read off the operation's own tables: so a plan tells them without the engine."""

from collections.abc import Iterable, Iterator

from routing.finding import Finding, not_checked
from routing.inputs.cross_check_rigging import named
from routing.inputs.operation import Operation
from routing.inputs.ways import RoadSign
from routing.roads.measured import NO_LIMITS, is_measured
from routing.roads.sign import HEARD_WORDS, Sign, figures
from routing.roads.vehicle import RoadVehicle, road_vehicles

MAP = "the map that the ways were measured on (OpenStreetMap contributors, ODbL), as old as your extract"
NOT_OBEYED = "rated weight, tandem weight, limits at certain hours or seasons, and any sign that the map lacks"
MOST_WAYS = 3


def told_findings(operation: Operation) -> tuple[Finding, ...]:
    """Return what is to be known of measured ways as a whole: limits obeyed and not obeyed, places closed to a truck.

    Returns
    -------
    tuple of Finding
        All ``unknown``: that a map shows no limit never means that there is none.
    """
    return (*_limits_obeyed(operation), *_closed(operation))


def _limits_obeyed(operation: Operation) -> Iterator[Finding]:
    bases = dict.fromkeys(row.basis for row in operation.distances if is_measured(row.basis))
    if not bases:
        return
    limits_known = [basis for basis in bases if NO_LIMITS not in basis]
    which = f"posted limits of {HEARD_WORDS} were obeyed as the map has them; not looked at: {NOT_OBEYED}"
    note = which if limits_known else "the source of these ways knows no posted limits"
    rows = sum(is_measured(row.basis) for row in operation.distances)
    yield not_checked(
        "posted limits on measured ways", f"{rows} rows of distances", force="law", source=MAP,
        note=f"{note}. This is no permit: the signs on the road count, and so do your State's routes for trucks",
    )  # fmt: skip


def _closed(operation: Operation) -> Iterator[Finding]:
    for row in operation.closed_places:
        yield not_checked(
            "place closed to a truck", f"{row.truck} to {row.place}", force="own figure", source="your table of closed places",
            note=f"{row.why}. It is sent there on no night; take the row out if you know a way",
        )  # fmt: skip


def sign_findings(operation: Operation, rows: Iterable[RoadSign]) -> tuple[Finding, ...]:
    """Return a finding for each sign that a driver must look at, with the ways that pass it.

    Returns
    -------
    tuple of Finding
        ``broken`` where the sign keeps the truck out by our own reading of it, else ``unknown``.
    """
    groups: dict[tuple[object, ...], list[RoadSign]] = {}
    for row in rows:
        groups.setdefault((row.trucks, row.text, row.road, row.kept_out), []).append(row)
    vehicles = road_vehicles(operation)
    return tuple(_sign(rows, vehicles) for rows in groups.values())


def _sign(rows: list[RoadSign], vehicles: tuple[RoadVehicle, ...]) -> Finding:
    first = rows[0]
    ways = list(dict.fromkeys(f"{row.origin} to {row.destination}" for row in rows if row.origin))
    on = "; ".join(ways[:MOST_WAYS]) + (f" and {len(ways) - MOST_WAYS} more" if len(ways) > MOST_WAYS else "")
    says = "keeps the truck out as we read it, yet the way passes it" if first.kept_out else _WORDS.get(first.kind, "not checked")
    note = (f"{first.road or 'road without a name'} at {first.latitude_deg:.5f}, {first.longitude_deg:.5f}: {says}; "
            f"on the way {on or 'of many pairs'}")  # fmt: skip
    found = Finding(check=f"sign on the way: {first.kind}", subject=f"{first.trucks or 'every truck'}: {first.text}",
                    status="broken" if first.kept_out else "unknown", force="law", source=MAP, note=note)  # fmt: skip
    told = _figures(first, vehicles)
    if not first.kept_out or told is None:
        return found
    measured, limit, unit = told
    return found.model_copy(update={"measured": measured, "limit": limit, "margin": limit - measured, "unit": unit})


def _figures(row: RoadSign, vehicles: tuple[RoadVehicle, ...]) -> tuple[float, float, str] | None:
    key, _, value = row.text.partition("=")
    sign = Sign(kind=row.kind, key=key, value=value, heard=False, road=row.road, line=((row.latitude_deg, row.longitude_deg),))
    trucks = set(named(row.trucks))
    return next((figures(sign, one) for one in vehicles if trucks & set(one.trucks)), None)


_WORDS = {
    "ferry": "a ferry: ask for its hours, its limits and whether it takes bees",
    "at times": "a limit at certain hours or days, which no plan here looks at",
    "season": "closed or soft in some season",
}
_STEMS = {"maxweight": "weight", "maxheight": "height", "maxlength": "length", "maxwidth": "width", "maxaxleload": "axle weight",
          "hgv": "trucks", "maxweightrating": "rated weight", "maxbogieweight": "tandem weight"}  # fmt: skip


def driver_words(row: RoadSign) -> str:
    """Return a sign as a driver reads it: ``rated weight 10 st on Ridge Road``."""
    key, _, value = row.text.partition("=")
    if row.kind == "ferry":
        return f"ferry{f' {row.road}' if row.road else ''}"
    what = f"{_STEMS.get(key.split(':')[0], 'access')} at times" if row.kind == "at times" else row.kind
    return f"{what} {value} on {row.road or 'a road without a name'}"
