"""Names across rows: told apart, and every reference leads somewhere."""

from collections.abc import Iterator

from routing.inputs.faults import Flaw, nearest, shown, with_nearest
from routing.inputs.operation import Constant, Operation
from routing.inputs.tables import PLACES, REFERENCES, table
from routing.limits import Limit, rows

MOST_NEAREST = 40
"""References for which the nearest name is looked up; a file broken all over is told without."""

KEYS: dict[str, tuple[str, ...]] = {
    "constants": ("name",),
    "hive_builds": ("name",),
    "boxes": ("build", "position"),
    "pallets": ("name",),
    "yards": ("name",),
    "hive_groups": ("name",),
    "contracts": ("name",),
    "gates": ("contract", "name"),
    "blocks": ("contract", "name"),
    "drops": ("contract", "name"),
    "land_features": ("contract", "kind", "name"),
    "blooms": ("contract", "on", "seen"),
    "trucks": ("name",),
    "axle_groups": ("truck", "position"),
    "drivers": ("name",),
    "gear": ("item",),
    "temperatures": ("place", "night"),
    "weather": ("place", "on", "kind"),
    "stage_notes": ("contract", "stage"),
    "past_blooms": ("contract", "on"),
    "bloom_sums": ("crop", "cultivar", "percent_bloom"),
    "distances": ("origin", "destination", "trucks"),
    "closed_places": ("truck", "place"),
    "hitches": ("truck",),
    "carried": ("truck", "what"),
    "road_limits": ("where", "kind", "counts_from"),
    "papers": ("state", "kind", "number"),
    "inspections": ("group", "inspected_on"),
    "honey_flows": ("yard", "flow", "first_on"),
    "arranged": ("night", "truck", "group", "origin_stop", "destination_stop"),
}
"""Columns that together may stand once in a table."""

# What a user's own figure may be, by its unit. Wider than any sane value, narrower than a slip of the hand.
RANGES = {
    "min": (0.0, 600.0),
    "h": (0.25, 24.0),
    "mph": (3.0, 80.0),
    "share": (0.0, 1.0),
    "deg F": (-40.0, 130.0),
    "nights": (0.0, 60.0),
    "d": (0.25, 60.0),
    "month": (1.0, 12.0),
    "years": (2.0, 30.0),
    "standard deviations": (0.5, 6.0),
    "frames": (0.05, 15.0),
    "frames per week": (-3.0, 3.0),
    "bees": (1000.0, 200_000.0),
    "bees per frame": (500.0, 6000.0),
    "eggs per day": (100.0, 6000.0),
    "1/day": (0.001, 2.0),
    "road miles per straight mile": (1.0, 3.0),
}


def name_flaws(operation: Operation) -> Iterator[Flaw]:
    """Yield names that stand twice, references to nothing, and own figures that are none."""
    yield from _twice(operation)
    yield from _places_twice(operation)
    yield from _references(operation)
    yield from _constants(operation)


def _folded(value: object) -> object:
    return " ".join(value.split()).casefold() if isinstance(value, str) else value


def _twice(operation: Operation) -> Iterator[Flaw]:
    for name, key in KEYS.items():
        first: dict[tuple[object, ...], int] = {}
        for index, row in enumerate(getattr(operation, name)):
            values = tuple(_folded(getattr(row, column)) for column in key)
            earlier = first.setdefault(values, index)
            if earlier != index:
                filled = [column for column in key if getattr(row, column) not in ("", None)] or list(key)
                words = " and ".join(table(name).column(column).label for column in filled)
                found = " and ".join(shown(getattr(row, column)) for column in filled)
                yield Flaw(
                    table=name,
                    index=index,
                    column=filled[-1],
                    uses=key,
                    allowed=f"each {words} once",
                    found=f"{found} again, as in the {_ordinal(earlier + 1)} row of {table(name).sheet}",
                )


def _ordinal(number: int) -> str:
    ending = "th" if number % 100 in (11, 12, 13) else {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th")
    return f"{number}{ending}"


def _places_twice(operation: Operation) -> Iterator[Flaw]:
    yards = {_folded(yard.name) for yard in operation.yards}
    for index, contract in enumerate(operation.contracts):
        if _folded(contract.name) in yards:
            yield Flaw(
                table="contracts",
                index=index,
                column="name",
                uses=("yards.name",),
                found=f"{shown(contract.name)}, which is a yard too",
                allowed="a name that no yard has, since both are places on a tour",
            )


def _references(operation: Operation) -> Iterator[Flaw]:
    told = 0
    for (name, column), targets in REFERENCES.items():
        names = {row.name for target in targets for row in getattr(operation, target)}
        for index, row in enumerate(getattr(operation, name)):
            value = getattr(row, column)
            if value in names or _may_be_empty(name, column, value):
                continue
            told += 1
            yield Flaw(
                table=name,
                index=index,
                column=column,
                found=shown(value),
                uses=tuple(f"{target}.name" for target in targets),
                allowed=_reference_words(targets, value, names, look=told <= MOST_NEAREST),
            )


def _may_be_empty(name: str, column: str, value: object) -> bool:
    return not value and not table(name).column(column).required


def _reference_words(targets: tuple[str, ...], value: str, names: set[str], *, look: bool) -> str:
    words = "the name of a yard or contract" if targets == PLACES else f"a name in {table(targets[0]).sheet}"
    near = nearest(value, sorted(names)) if look else ""
    if near:
        return f"{words}; the nearest is '{near}'"
    return words if names else f"{words}, in which there is none yet"


def own_figures() -> dict[str, Limit]:
    """Return the figures that a user may replace: every default but what is law."""
    return {name: one for name, one in rows().items() if one.force != "law"}


def own_range(default: Limit) -> tuple[float, float]:
    """Return the least and the greatest that a user may put in place of a default.

    A hive of no width would fit on a deck without end: sizes of its parts lie near the published ones.
    """
    if default.name.startswith("hive_") and default.unit == "in":
        return default.value / 2.0, default.value * 2.0
    if default.name.startswith("hive_") and default.unit == "lb":
        return default.value / 4.0, default.value * 4.0
    if default.name.endswith("_confidence"):
        return 0.5, 0.999
    return RANGES.get(default.unit, (0.0, 100_000.0))


def constant_faults(own: Constant) -> Iterator[tuple[str, str, str]]:
    """Yield what is wrong with a figure that the user replaced: column, what was found, what is allowed."""
    known = own_figures()
    if own.name not in known:
        yield ("name", shown(own.name), with_nearest("the name of a figure that may be replaced", own.name, known))
        return
    default = known[own.name]
    low, high = own_range(default)
    if not low <= own.value <= high:
        yield ("value", shown(own.value), f"from {low:g} to {high:g} {default.unit}; the default is {default.value:g}")


def _constants(operation: Operation) -> Iterator[Flaw]:
    for index, own in enumerate(operation.constants):
        for column, found, allowed in constant_faults(own):
            uses = ("name",) if column == "value" else ()
            yield Flaw(table="constants", index=index, column=column, uses=uses, found=found, allowed=allowed)
