"""Load on each axle group of a truck, alone or with a trailer, by moments.

Payload only: weights on the empty vehicle's groups are known from a scale and are added by the caller.

     steer        coupling   drive group              trailer group
       |              |          |                          |
    ---o--------------v--------(o-o)    v-----------------(o-o)---
       |<- coupling ->|                 |<---- centre ------>|        arms on the trailer: behind the coupling
       |<------- centre -------->|                                    arms on the truck: behind the steer axle
"""

from collections.abc import Sequence
from itertools import pairwise
from typing import Literal, NamedTuple, Self

from pydantic import model_validator

from routing.record import Record

Part = Literal["truck", "trailer"]


class AxleLayout(Record):
    """Where the axle groups stand and what each is rated for; in order from the front of their part."""

    truck_centres_in: tuple[float, ...]
    """Centre of each group under the truck, behind the steer axle. [in]"""
    truck_ratings_lb: tuple[float, ...]
    """Rating of each group under the truck. [lb]"""
    trailer_centres_in: tuple[float, ...] = ()
    """Centre of each group under the trailer, behind the coupling; none without a trailer. [in]"""
    trailer_ratings_lb: tuple[float, ...] = ()
    """Rating of each group under the trailer. [lb]"""
    coupling_in: float | None = None
    """Kingpin, ball or gooseneck behind the steer axle; None without a trailer. [in]"""

    @model_validator(mode="after")
    def _stands(self) -> Self:
        _check_groups("truck", self.truck_centres_in, self.truck_ratings_lb)
        if len(self.truck_centres_in) < 2:
            raise ValueError("A truck stands on two axle groups or more; fewer are given.")
        if bool(self.trailer_centres_in) != (self.coupling_in is not None):
            raise ValueError("A trailer needs both its axle groups and the place of its coupling.")
        _check_groups("trailer", self.trailer_centres_in, self.trailer_ratings_lb)
        if self.trailer_centres_in and self.trailer_centres_in[0] <= 0.0:
            raise ValueError("The first axle group of a trailer stands behind its coupling.")
        return self


class Share(NamedTuple):
    """What one pound adds to an axle group: ``constant + per_in x arm`` pounds."""

    constant: float
    per_in: float

    def at(self, arm_in: float) -> float:
        """Return the pounds that one pound at ``arm_in`` adds."""
        return self.constant + self.per_in * arm_in


class AxleLoads(NamedTuple):
    """Payload on the groups of the truck, then of the trailer, and on the coupling (0 without a trailer)."""

    groups_lb: tuple[float, ...]
    coupling_lb: float


def axle_shares(layout: AxleLayout, on: Part) -> tuple[Share, ...]:
    """Return what a pound on one part of the vehicle adds to each axle group, as a straight line in its arm.

    Parameters
    ----------
    layout
        The axle groups.
    on
        The part that carries the pound: arms on the truck are behind the steer axle, on the trailer behind
        the coupling; negative when ahead of it.

    Returns
    -------
    tuple of Share
        One per group, the truck's first. Constants add up to 1 and slopes to 0.

    Raises
    ------
    ValueError
        If ``on`` is the trailer and the layout has none.

    Notes
    -----
    Each part is a level, still, stiff beam on two supports: moments about one give the load on the
    other [1]_. A trailer stands on its coupling and its axle groups; what the coupling carries is one more
    load on the truck. Three supports or more under one part cannot be told apart by statics. ASSUMED: all
    groups of a part behind its first support share as axles on a common spring or air line do, each in
    proportion to its rating, so that they act as one support at the mean of their centres weighted by
    rating. That is right for equalised groups close together; a group that can be lifted, or set by
    pressure, must be weighed instead. A trailer that stands on its own front axle (a dolly) does not fit
    and must not be given. A negative load means that the group, or the coupling, is lifted.

    References
    ----------
    .. [1] "Steps in Calculating Weight Distribution", freightbrokerscourse.com: moments divided by the
       wheelbase give the rear axle, the rest is on the front axle.

    Examples
    --------
    >>> layout = AxleLayout(truck_centres_in=(0.0, 160.0), truck_ratings_lb=(8000.0, 16000.0))
    >>> [share.at(120.0) for share in axle_shares(layout, "truck")]
    [0.25, 0.75]
    """
    on_truck = _truck_shares(layout)
    if on == "truck":
        return on_truck + (Share(0.0, 0.0),) * len(layout.trailer_centres_in)
    coupling, groups = _trailer_shares(layout)
    carried = [share.at(layout.coupling_in or 0.0) for share in on_truck]
    return (*(Share(each * coupling.constant, each * coupling.per_in) for each in carried), *groups)


def coupling_share(layout: AxleLayout) -> Share:
    """Return what one pound on the trailer puts on the coupling, its arm behind the coupling."""
    return _trailer_shares(layout)[0]


def axle_loads(
    layout: AxleLayout,
    truck_weights_lb: Sequence[float],
    *,
    truck_arms_in: Sequence[float],
    trailer_weights_lb: Sequence[float] = (),
    trailer_arms_in: Sequence[float] = (),
) -> AxleLoads:
    """Return the payload on each axle group and on the coupling.

    Parameters
    ----------
    layout
        The axle groups.
    truck_weights_lb, trailer_weights_lb
        Weight of each item on the part, one per item. >= 0. [lb]
    truck_arms_in, trailer_arms_in
        Centre of each item, same order: behind the steer axle; behind the coupling. [in]

    Returns
    -------
    AxleLoads
        Groups of the truck, then of the trailer; they add up to all weights. [lb]

    Raises
    ------
    ValueError
        If weights and arms differ in number, a weight is negative, or there is weight on a trailer
        that the layout does not have.

    Notes
    -----
    See `axle_shares` for the method and what it assumes.

    Examples
    --------
    A ball 40 in behind the drive axle, half of the trailer's load on it:

    >>> layout = AxleLayout(truck_centres_in=(0.0, 160.0), truck_ratings_lb=(5000.0, 9000.0),
    ...     trailer_centres_in=(200.0,), trailer_ratings_lb=(7000.0,), coupling_in=200.0)
    >>> axle_loads(layout, [], truck_arms_in=[], trailer_weights_lb=[1000.0], trailer_arms_in=[100.0])
    AxleLoads(groups_lb=(-125.0, 625.0, 500.0), coupling_lb=500.0)
    """
    totals = [0.0] * (len(layout.truck_centres_in) + len(layout.trailer_centres_in))
    _add(totals, axle_shares(layout, "truck"), _paired("truck", truck_weights_lb, truck_arms_in))
    on_trailer = _paired("trailer", trailer_weights_lb, trailer_arms_in)
    on_coupling = [0.0]
    if on_trailer:
        _add(totals, axle_shares(layout, "trailer"), on_trailer)
        _add(on_coupling, (coupling_share(layout),), on_trailer)
    return AxleLoads(tuple(totals), on_coupling[0])


def axle_positions_in(centre_in: float, *, spread_in: float, axles: int) -> tuple[float, ...]:
    """Return where the single axles of one group stand, evenly from first to last over ``spread_in``. [in]"""
    if axles < 1 or spread_in < 0.0 or (axles > 1 and spread_in == 0.0):
        raise ValueError(f"An axle group of {axles} axles cannot spread over {spread_in} in.")
    if axles == 1:
        return (centre_in,)
    gap = spread_in / (axles - 1)
    return tuple(centre_in - spread_in / 2.0 + place * gap for place in range(axles))


def _truck_shares(layout: AxleLayout) -> tuple[Share, ...]:
    front = layout.truck_centres_in[0]
    first, behind = _two_supports(front, layout.truck_centres_in[1:], layout.truck_ratings_lb[1:])
    return (first, *behind)


def _trailer_shares(layout: AxleLayout) -> tuple[Share, tuple[Share, ...]]:
    if layout.coupling_in is None:
        raise ValueError("There is no trailer, so nothing can ride on it.")
    return _two_supports(0.0, layout.trailer_centres_in, layout.trailer_ratings_lb)


def _two_supports(
    front_in: float, centres_in: Sequence[float], ratings_lb: Sequence[float]
) -> tuple[Share, tuple[Share, ...]]:
    """Return the share of the front support, and of each group behind it that shares by rating."""
    rating = sum(ratings_lb)
    rear_in = sum(one * centre for one, centre in zip(ratings_lb, centres_in, strict=True)) / rating
    base = rear_in - front_in
    front = Share(rear_in / base, -1.0 / base)
    behind = tuple(Share(-front_in / base * one / rating, one / rating / base) for one in ratings_lb)
    return front, behind


def _add(totals: list[float], shares: Sequence[Share], items: Sequence[tuple[float, float]]) -> None:
    weight = sum(weight_lb for weight_lb, _ in items)
    moment = sum(weight_lb * arm_in for weight_lb, arm_in in items)
    for place, share in enumerate(shares):
        totals[place] += share.constant * weight + share.per_in * moment


def _paired(part: Part, weights_lb: Sequence[float], arms_in: Sequence[float]) -> list[tuple[float, float]]:
    if len(weights_lb) != len(arms_in):
        raise ValueError(f"On the {part}: {len(weights_lb)} weights but {len(arms_in)} arms.")
    for weight_lb in weights_lb:
        if not weight_lb >= 0.0:
            raise ValueError(f"On the {part}: a weight of {weight_lb} lb; weights are 0 or more.")
    return list(zip(weights_lb, arms_in, strict=True))


def _check_groups(part: Part, centres_in: Sequence[float], ratings_lb: Sequence[float]) -> None:
    if len(centres_in) != len(ratings_lb):
        raise ValueError(f"Under the {part}: {len(centres_in)} axle groups but {len(ratings_lb)} ratings.")
    if any(later <= earlier for earlier, later in pairwise(centres_in)):
        raise ValueError(f"Under the {part}: each axle group stands behind the one before it.")
    if not all(rating > 0.0 for rating in ratings_lb):
        raise ValueError(f"Under the {part}: a rating is more than 0 lb.")
