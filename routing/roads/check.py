"""Is the road table believable? Findings on the user's own rows, and on what was only estimated."""

from routing.finding import Finding, at_least, not_checked
from routing.formulas.geodesy import geodesic_miles
from routing.inputs.operation import Distance, Operation
from routing.inputs.places import Place, places
from routing.limits import limit
from routing.roads.measured import is_measured
from routing.roads.roads import Roads
from routing.roads.told import told_findings

MOST_NAMED = 8
SHORTEST_WAY = (
    "geometry: no road is shorter than the geodesic; C. F. F. Karney (2013), Algorithms for geodesics, "
    "Journal of Geodesy 87, 43-55"
)


def road_findings(operation: Operation, roads: Roads) -> tuple[Finding, ...]:
    """Return a finding for every row of the user's table, and one on the ways that are estimated.

    Measured ways, closed places and signs are told of too: see ``routing.roads.told``.

    Parameters
    ----------
    operation
        The operation whose ``distances`` are judged.
    roads
        The table made from them.

    Returns
    -------
    tuple of Finding
        ``broken`` where a row is shorter than the straight line, faster than any road, or written twice
        with different figures; ``unknown`` where a way was only estimated or a place is not known.
    """
    known = places(operation)
    found: list[Finding] = []
    for row in operation.distances:
        found.extend(_row_findings(row, known))
    return (*found, *_double_rows(operation.distances), *_estimated(roads), *told_findings(operation))


def _row_findings(row: Distance, known: dict[str, Place]) -> list[Finding]:
    way = _way(row)
    missing = [name for name in (row.origin, row.destination) if name not in known]
    if missing:
        return [
            not_checked(
                "road miles against the straight line",
                way,
                force="standard",
                source=SHORTEST_WAY,
                note=f"no yard or contract is called {' or '.join(missing)}; the row is not used",
            )
        ]
    ends = [(known[name].latitude_deg, known[name].longitude_deg) for name in (row.origin, row.destination)]
    fastest = limit("highest_posted_mph")
    return [
        at_least(
            "road miles against the straight line",
            way,
            measured=row.miles,
            limit=geodesic_miles(ends)[0][1],
            unit="mi",
            force="standard",
            source=SHORTEST_WAY,
            note="check the miles, or the latitude and longitude of the two places",
        ),
        at_least(
            "minutes against the fastest road",
            way,
            measured=row.minutes,
            limit=60.0 * row.miles / fastest.value,
            unit="min",
            force=fastest.force,
            source=fastest.source,
            note="check the minutes: the row would need a speed that no road allows",
        ),
    ]


def _double_rows(rows: tuple[Distance, ...]) -> list[Finding]:
    first: dict[tuple[str, str, str], Distance] = {}
    found = []
    for row in rows:
        earlier = first.setdefault((row.origin, row.destination, row.trucks), row)
        if (earlier.miles, earlier.minutes) != (row.miles, row.minutes):
            found.append(
                Finding(
                    check="one row for one way",
                    subject=_way(row),
                    status="broken",
                    measured=row.miles,
                    limit=earlier.miles,
                    margin=-abs(row.miles - earlier.miles),
                    unit="mi",
                    force="own figure",
                    source="your own table",
                    note="written twice with different figures; the later row is used",
                )
            )
    return found


def _estimated(roads: Roads) -> list[Finding]:
    bases = [basis for row in roads.matrix_basis for basis in row]
    estimated = [basis for basis in bases if basis.startswith("estimated")]
    if not estimated:
        return []
    ways = len(bases) - len(roads.place_names)
    factor = limit("circuity_factor")
    return [
        not_checked(
            "road miles known",
            "all ways",
            force=factor.force,
            source=factor.source,
            note=f"{len(estimated)} of {ways} ways are {estimated[0]}; rivers and ridges "
            f"are not seen.{_not_measured(roads)} Put your own miles into the table of distances.",
        )
    ]


def _not_measured(roads: Roads) -> str:
    """Return in words which places have no measured way, where other places have."""
    rows = {name: roads.matrix_basis[index] for index, name in enumerate(roads.place_names)}
    without = [name for name, row in rows.items() if not any(is_measured(basis) for basis in row)]
    return f" Not measured: {', '.join(without[:MOST_NAMED])}." if 0 < len(without) < len(rows) else ""


def _way(row: Distance) -> str:
    return f"{row.origin} to {row.destination}"
