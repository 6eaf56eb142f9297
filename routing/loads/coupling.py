"""What rests on the coupling: least and most share of the trailer, and the coupling's own rating.

Too little on a ball or pintle and the trailer sways; too much and the front wheels lose grip. The shares are the
user's own, or the cited ones of the kind; a kind without either is ``unknown``. A semitrailer's fifth wheel on a
tractor is bound by its rating and the axles, not by a share.
"""

from collections.abc import Sequence
from typing import NamedTuple

from routing.finding import Finding, Force, at_least, at_most, not_checked
from routing.formulas.axle import Share, coupling_share
from routing.inputs.rigging import Hitch
from routing.loads.load import Placement
from routing.loads.vehicle import Rig, axle_groups_in_order, layout_of, riding_along

OWN_SOURCE = "rating in the table of hitches"
LIMIT_KIND = {"ball": "ball", "gooseneck": "gooseneck", "fifth wheel": "gooseneck"}


class ShareBound(NamedTuple):
    """A least or most share of trailer and cargo on the coupling."""

    share: float
    force: Force
    source: str
    note: str


class Coupled(NamedTuple):
    """A trailer on its coupling, without cargo, and what a pound on the deck adds."""

    total_lb: float
    """Trailer with all that is carried on it."""
    resting_lb: float
    """Of it on the coupling."""
    adds: Share
    """Of one pound of cargo, in its distance behind the front end of the deck; nothing when the deck is the truck's."""
    cargo_counts: float
    """1 when the cargo is on the trailer, else 0."""
    least: ShareBound | None
    most: ShareBound | None

    def weights_lb(self, units: Sequence[tuple[float, float]]) -> tuple[float, float]:
        """Return what rests on the coupling, and the whole trailer, with (weight, place on the deck) of each unit."""
        resting = self.resting_lb + sum(lb * self.adds.at(at_in) for lb, at_in in units)
        return resting, self.total_lb + self.cargo_counts * sum(lb for lb, _ in units)


def coupled(rig: Rig) -> Coupled | None:
    """Return the trailer on its coupling; None without a trailer, or while its empty weight is not known.

    Raises
    ------
    ValueError
        If the axle rows do not make a vehicle that stands.
    """
    hitch, under = rig.hitch, [one for one in axle_groups_in_order(rig) if one.unit == "trailer"]
    if not under or hitch is None or hitch.trailer_empty_lb is None:
        return None
    share = coupling_share(layout_of(rig))
    resting_lb = hitch.trailer_empty_lb - sum(one.empty_lb for one in under)
    total_lb = hitch.trailer_empty_lb
    for one in riding_along(rig):
        if one.part == "trailer":
            total_lb += one.weight_lb
            resting_lb += one.weight_lb * share.at(one.arm_in)
    on_trailer = rig.truck.deck_on == "trailer"
    adds = Share(share.constant + share.per_in * rig.truck.deck_front_in, share.per_in) if on_trailer else Share(0.0, 0.0)
    return Coupled(total_lb, resting_lb, adds, float(on_trailer), *_bounds(rig, hitch))


def coupling_findings(rig: Rig, stretches: Sequence[Sequence[Placement]], subject: str) -> list[Finding]:
    """Return the findings on the coupling over all stretches of road; none without a trailer."""
    if not any(one.unit == "trailer" for one in rig.axle_groups):
        return []
    on = coupled(rig)
    if rig.hitch is None or on is None:
        missing = "no row in the table of hitches" if rig.hitch is None else "the empty trailer was not weighed by itself"
        return [not_checked("share of the trailer on the coupling", subject, force="advice",
                            source="hitch maker's figure", note=missing)]  # fmt: skip
    rows = [[(unit, unit.front_in + unit.length_in / 2) for unit in units] for units in stretches]
    return [*_shares(on, rig, rows, subject), _rated(on, rig.hitch, rows, subject)]


Standing = tuple[Placement, float]
"""A unit and its middle behind the front end of the deck. [in]"""


def _shares(on: Coupled, rig: Rig, stretches: Sequence[Sequence[Standing]], subject: str) -> list[Finding]:
    if on.least is None and on.most is None:
        if _on_tractor(rig):
            return []
        note = f"no share is cited for a {rig.hitch.kind if rig.hitch else 'hitch'}; give the maker's in the table of hitches"
        return [not_checked("share of the trailer on the coupling", subject, force="advice",
                            source="hitch maker's figure", note=note)]  # fmt: skip
    found = []
    if on.least is not None:
        least = min((share for units in stretches for share in _share_range(on, units)), default=_alone(on))
        found.append(at_least("least share of the trailer on the coupling", subject, measured=round(least, 4),
                              limit=on.least.share, **_about(on.least)))  # fmt: skip
    if on.most is not None:
        most = max((share for units in stretches for share in _share_range(on, units)), default=_alone(on))
        found.append(at_most("most share of the trailer on the coupling", subject, measured=round(most, 4),
                             limit=on.most.share, **_about(on.most)))  # fmt: skip
    return found


def _about(bound: ShareBound) -> dict[str, str]:
    return {"unit": "share", "force": bound.force, "source": bound.source, "note": bound.note}


def _alone(on: Coupled) -> float:
    return on.resting_lb / on.total_lb


def _share_range(on: Coupled, units: Sequence[Standing]) -> tuple[float, float]:
    """Return the share with all units light, and with all of them heavy; some of each is for the chance to tell."""
    light = on.weights_lb([(unit.weight_low_lb, at_in) for unit, at_in in units])
    heavy = on.weights_lb([(unit.weight_high_lb, at_in) for unit, at_in in units])
    return light[0] / light[1], heavy[0] / heavy[1]


def _rated(on: Coupled, hitch: Hitch, stretches: Sequence[Sequence[Standing]], subject: str) -> Finding:
    if hitch.coupling_rating_lb is None:
        return not_checked("weight on the coupling", subject, force="own figure", source=OWN_SOURCE,
                           note="no rating of the hitch is given")  # fmt: skip
    most_lb = on.resting_lb
    for units in stretches:
        adds = [(on.adds.at(at_in), unit) for unit, at_in in units]
        most_lb = max(most_lb, on.resting_lb + sum(max(at * u.weight_low_lb, at * u.weight_high_lb) for at, u in adds))
    return at_most("weight on the coupling", subject, measured=round(most_lb, 1), limit=hitch.coupling_rating_lb,
                   unit="lb", force="own figure", source=OWN_SOURCE)  # fmt: skip


def _on_tractor(rig: Rig) -> bool:
    return rig.hitch is not None and rig.hitch.kind == "fifth wheel" and rig.truck.vehicle_class == "semi"


def _bounds(rig: Rig, hitch: Hitch) -> tuple[ShareBound | None, ShareBound | None]:
    return _bound(rig, hitch, "low", hitch.least_share), _bound(rig, hitch, "high", hitch.most_share)


def _bound(rig: Rig, hitch: Hitch, end: str, own: float | None) -> ShareBound | None:
    if own is not None:
        return ShareBound(own, "own figure", hitch.share_source, "the maker's own share")
    kind = LIMIT_KIND.get(hitch.kind)
    if kind is None or _on_tractor(rig):
        return None
    row = rig.figure(f"coupling_share_{kind}_{end}")
    return ShareBound(row.value, row.force, row.source, row.where)
