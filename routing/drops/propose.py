"""From an operation and the name of a contract to a proposal for its drops: sited, shared out, put in order, judged."""

from dataclasses import dataclass, replace

import numpy as np

from routing.drops.candidates import Places, places_of
from routing.drops.check import check_siting
from routing.drops.demand import PieceOfGround, distances_ft, pieces_of, shares_of
from routing.drops.drop import CurvePoint, Evenness, Share, SitedDrop, Siting, SitingError
from routing.drops.ground import Ground, ground_of
from routing.drops.order.solve import Round, shortest_round
from routing.drops.problem import PARTS, Floats, SitingProblem
from routing.drops.problem import Siting as Solution
from routing.drops.rules import MOST_CANDIDATES, MOST_PIECES, SitingRules, fewest_stops, siting_rules, usable_stops
from routing.drops.search import distances_between, shared_out
from routing.drops.solve import Solved, solve_siting
from routing.inputs.constants import constant
from routing.inputs.operation import Operation

LOOKED_BEYOND = 2
"""Numbers of stops shown on the curve beyond the one chosen."""
TOO_FAR = 1e6
"""What an acre pays to draw on hives that are too far away. [ft]"""


@dataclass(frozen=True)
class _Case:
    """One orchard in numbers."""

    ground: Ground
    places: Places
    pieces: tuple[PieceOfGround, ...]
    apart_ft: Floats
    """From candidates to pieces, as the bee flies."""
    problem: SitingProblem


def propose_drops(operation: Operation, contract_name: str, *, rules: SitingRules | None = None) -> Siting:
    """Return where the drops of a contract should stand, how many hives at each, in the order of the drive.

    Parameters
    ----------
    operation
        Checked at the door.
    contract_name
        Of a contract with a gate and at least one outline.
    rules
        Left out: the figures of the operation, else the cited ones.

    Returns
    -------
    Siting
        The fewest stops beyond which one more is not worth it (``drop_stop_worth_ft``), sited with a proven
        gap, with the curve of stops against evenness and the judge's findings.

    Raises
    ------
    SitingError
        If no siting can be made; the sentence says why.
    """
    ground = ground_of(operation, contract_name)
    rules = rules or siting_rules(operation, ground.contract)
    case = _case(operation, ground, rules)
    solved, chosen = _curve(case, rules)
    proposal = _proposal(operation, case, rules, solved=solved, stops=chosen)
    return proposal.model_copy(update={"findings": check_siting(operation, proposal, rules)})


def _case(operation: Operation, ground: Ground, rules: SitingRules) -> _Case:
    places = places_of(
        ground, gate_join_ft=constant(operation, "gate_join_ft"), track_join_ft=constant(operation, "track_join_ft"),
        shade_reach_ft=constant(operation, "shade_reach_ft"), most=MOST_CANDIDATES,
    )  # fmt: skip
    pieces = pieces_of(ground, MOST_PIECES)
    cost = distances_ft(places.points, pieces, crossing=constant(operation, "row_crossing_factor"))
    if rules.farthest_ft is not None:
        cost = np.where(distances_ft(places.points, pieces) > rules.farthest_ft, TOO_FAR, cost)
    shaded = np.array([not one.morning_sun for one in places.candidates])
    cost = cost + shaded[:, None] * constant(operation, "shade_penalty_ft")
    near = distances_between(places.points) < rules.spacing_ft
    np.fill_diagonal(near, False)
    problem = SitingProblem(
        cost=cost, wanted=shares_of(pieces, ground.contract.colonies), stops=1, least=rules.least_hives * PARTS,
        most=rules.most_hives * PARTS, unit=rules.unit_hives * PARTS, near=near,
    )  # fmt: skip
    return _Case(ground, places, pieces, distances_ft(places.points, pieces), problem)


def _curve(case: _Case, rules: SitingRules) -> tuple[dict[int, Solved], int]:
    """Return the siting of each number of stops, from the fewest up, and the number that is worth it.

    The mixed-integer solver works on the number chosen only, when search and bound leave more than the gap wanted.
    """
    hives = case.ground.contract.colonies
    fewest, most = fewest_stops(hives, rules), usable_stops(hives, rules)
    solved: dict[int, Solved] = {}
    chosen = 0
    for stops in range(fewest, most + 1):
        before = solved.get(stops - 1)
        found = _solved(case, rules, stops=stops, before=before, seconds=0.0)
        if found is None:
            if solved:
                break
            continue
        solved[stops] = _no_dearer(found, before)
        if chosen == 0 and before is not None and _saved_ft(case, before, found) < rules.stop_worth_ft:
            chosen = stops - 1
        if chosen and stops >= chosen + LOOKED_BEYOND:
            break
    chosen = chosen or max(solved, default=most)
    if chosen not in solved or solved[chosen].gap > rules.gap:
        better = _solved(case, rules, stops=chosen, before=solved.get(chosen), seconds=rules.seconds)
        if better is not None:
            solved[chosen] = better
    if not solved:
        raise SitingError(_impossible(case, rules, fewest=fewest, most=most))
    return solved, chosen


def _no_dearer(found: Solved, before: Solved | None) -> Solved:
    """Return the siting; one that costs more than one of fewer stops is that one: the curve never rises."""
    if before is None or found.siting.cost <= before.siting.cost:
        return found
    return replace(found, siting=before.siting, bound=min(found.bound, before.siting.cost))


def _solved(
    case: _Case, rules: SitingRules, *, stops: int, before: Solved | None, seconds: float
) -> Solved | None:
    found = solve_siting(
        case.problem.with_stops(stops), gap=rules.gap, seconds=seconds,
        prices=before.prices if before else None, start=before.siting.chosen if before else (),
    )  # fmt: skip
    if found is None or rules.farthest_ft is None:
        return found
    drawn = found.siting.flow > 0
    far = case.problem.cost[list(found.siting.chosen)][drawn].max() >= TOO_FAR
    return None if far else found


def _saved_ft(case: _Case, before: Solved, now: Solved) -> float:
    return (before.siting.cost - now.siting.cost) / case.ground.contract.colonies


def _impossible(case: _Case, rules: SitingRules, *, fewest: int, most: int) -> str:
    name, hives = case.ground.contract.name, case.ground.contract.colonies
    what = f"{name}: {hives} hives cannot be set down at {fewest} to {most} drops of {rules.least_hives} to {rules.most_hives}"
    if rules.farthest_ft is not None:
        what += f" with no acre farther than {rules.farthest_ft:g} ft from its hives"
    return (
        f"{what}, {rules.spacing_ft:g} ft apart, at the {len(case.places.candidates)} places where a drop may stand."
        " Draw more tracks, allow more stops, more hives at a drop, or less room between drops."
    )


def _proposal(
    operation: Operation, case: _Case, rules: SitingRules, *, solved: dict[int, Solved], stops: int
) -> Siting:
    best = solved[stops]
    hives = case.ground.contract.colonies
    way = _round(case, best.siting)
    names = {place: str(number) for number, place in enumerate(way.order, 1)}
    curve = tuple(
        CurvePoint(evenness=evenness_of(case.apart_ft, one.siting, case.pieces), gap=one.gap, chosen=at == stops)
        for at, one in solved.items()
    )
    return Siting(
        contract=case.ground.contract.name, hives=hives, acres=sum(piece.acres for piece in case.pieces),
        unit_hives=rules.unit_hives, drops=_drops(case, best.siting, way),
        evenness=next(point.evenness for point in curve if point.chosen), today=today_of(operation, case.ground),
        curve=curve, gap=best.gap, bound_mean_ft=best.bound / hives, candidates=len(case.places.candidates),
        way_ft=way.way_ft, way_is_shortest=way.is_shortest, left_out=case.places.left_out,
        shares=_shares(case, best.siting, names), notes=_notes(case),
    )  # fmt: skip


def _round(case: _Case, siting: Solution) -> Round:
    return shortest_round(_ways(case, siting))


def _ways(case: _Case, siting: Solution) -> Floats:
    """Return the ways between the gate and the drops, along the tracks or, when none are known, straight."""
    chosen = [case.places.candidates[one] for one in siting.chosen]
    net = case.places.net
    ways = np.zeros((len(chosen) + 1, len(chosen) + 1))
    for a, one in enumerate(chosen, 1):
        to_gate = net.from_gate_ft(one.stand) if net and one.stand else one.point.distance(case.ground.gates[0])
        ways[0, a] = ways[a, 0] = to_gate
        for b, other in enumerate(chosen[a:], a + 1):
            straight = one.point.distance(other.point)
            along = net.between_ft(one.stand, other.stand) if net and one.stand and other.stand else straight
            ways[a, b] = ways[b, a] = along
    return ways


def _drops(case: _Case, siting: Solution, way: Round) -> tuple[SitedDrop, ...]:
    ways, found = _ways(case, siting), []
    acres = np.array([piece.acres for piece in case.pieces])
    before = 0
    for number, place in enumerate(way.order, 1):
        one = case.places.candidates[siting.chosen[place]]
        flow, apart = siting.flow[place], case.apart_ft[siting.chosen[place]]
        latitude, longitude = case.ground.grid.degrees(one.point.x, one.point.y)
        found.append(
            SitedDrop(
                name=str(number), latitude_deg=round(latitude, 7), longitude_deg=round(longitude, 7),
                hives=round(int(flow.sum()) / PARTS), track=one.track, way_ft=float(ways[before, place + 1]),
                acres=float((flow / case.problem.wanted * acres).sum()), mean_ft=float((flow * apart).sum() / flow.sum()),
                worst_ft=float(apart[flow > 0].max()), morning_sun=one.morning_sun,
            )
        )  # fmt: skip
        before = place + 1
    return tuple(found)


def evenness_of(apart_ft: Floats, siting: Solution, pieces: tuple[PieceOfGround, ...]) -> Evenness:
    """Return how near and how alike the pieces of ground are to their hives, weighted by hives.

    Parameters
    ----------
    apart_ft
        From candidates to pieces. [candidates x pieces]
    """
    apart, flow = apart_ft[list(siting.chosen)], siting.flow
    whole = float(flow.sum())
    mean = float((flow * apart).sum() / whole)
    variance = float((flow * (apart - mean) ** 2).sum() / whole)
    return Evenness(
        stops=len(siting.chosen), mean_ft=mean, worst_ft=float(apart[flow > 0].max()), variance_ft2=variance,
        deviation_ft=variance**0.5,
    )  # fmt: skip


def today_of(operation: Operation, ground: Ground) -> Evenness | None:
    """Return the evenness of the drops that the operation has; None when it has none or they are too small."""
    drops = [drop for drop in operation.drops if drop.contract == ground.contract.name]
    if not drops:
        return None
    pieces = pieces_of(ground, MOST_PIECES)
    spots = [ground.grid.spot(drop.latitude_deg, drop.longitude_deg) for drop in drops]
    apart = distances_ft(np.array([(spot.x, spot.y) for spot in spots]), pieces)
    problem = SitingProblem(apart, shares_of(pieces, ground.contract.colonies), len(drops))
    most = np.array([drop.most_hives * PARTS for drop in drops], dtype=np.int64)
    siting = shared_out(problem, tuple(range(len(drops))), most)
    return None if siting is None else evenness_of(apart, siting, pieces)


def _shares(case: _Case, siting: Solution, names: dict[int, str]) -> tuple[Share, ...]:
    shares = []
    for at, piece in enumerate(case.pieces):
        latitude, longitude = case.ground.grid.degrees(piece.middle.x, piece.middle.y)
        for place in np.flatnonzero(siting.flow[:, at]):
            shares.append(
                Share(
                    block=piece.block, latitude_deg=round(latitude, 7), longitude_deg=round(longitude, 7), acres=piece.acres,
                    drop=names[int(place)], hives=int(siting.flow[place, at]) / PARTS,
                )
            )  # fmt: skip
    return tuple(shares)


def _notes(case: _Case) -> tuple[str, ...]:
    missing = case.ground.without_outline
    without = (f"Blocks without an outline are not served: {', '.join(missing)}.",) if missing else ()
    shaded = sum(not one.morning_sun for one in case.places.candidates)
    of_all = f"{shaded} of {len(case.places.candidates)} places"
    shade = (f"{of_all} have no morning sun; they count as farther away.",) if shaded else ()
    return (*case.places.notes, *without, *shade)

