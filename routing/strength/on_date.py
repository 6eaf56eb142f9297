"""The strength of a group on a day: from its inspections, along the curve, within the room of its boxes."""

import datetime as dt
import math

from routing.inputs.build import measure
from routing.inputs.constants import constant
from routing.inputs.contract import Contract
from routing.inputs.operation import Operation
from routing.inputs.yard import HiveGroup
from routing.strength.coverage import coverage_factor, coverage_words
from routing.strength.forecast import LEAST_VARIANCE, Forecast, forecast, spread_frames
from routing.strength.group import Strength, nothing_seen, quantile_below, share_below
from routing.strength.inspection import inspections, latest_inspection


def strength_on(operation: Operation, group: HiveGroup, day: dt.date) -> Strength:
    """Return the strength of a group on a day, and what a plan may count on that day.

    Parameters
    ----------
    operation
        Gives the inspections, the build, the growth curve and the constants named below.
    group
        A group of the operation.
    day
        Any day; an inspection after it is not looked at, unless there is no other.

    Returns
    -------
    Strength
        ``mean_frames`` is what is expected: the last inspection, joined with those up to
        ``inspections_used_days`` before it, and the growth since. ``counted_frames`` is a one-sided lower
        bound at ``strength_confidence`` of the average with ``growth_counted_share`` of the growth (all of a
        decline): with the default, 0, and one inspection it is what ``group_strength`` counts. Both are
        at most the frames that the boxes hold as they travel.

    Raises
    ------
    ValueError
        If ``frames_seen`` cannot be read, the build is not there, or the confidence is not in [0.5, 1).

    Notes
    -----
    The variance is that of the samples' means and of the growth factor, together (``forecast``); t has the
    degrees of freedom of the samples; the growth's spread, being assumed, adds none.
    """
    found = [one for one in inspections(operation, group) if one.mean_frames is not None]
    if not found:
        return nothing_seen().model_copy(update={"on": day})
    ahead = forecast(operation, found, day)
    share = counted_share(operation, ahead, day)
    room = float(measure(operation, group.build, travelling=True).frames_for_bees)
    mean = ahead.mean_frames + ahead.growth_frames
    grown = share * ahead.growth_frames
    variance = ahead.variance(share)
    below = 0.0
    if variance > 2.0 * LEAST_VARIANCE:
        below = quantile_below(operation, ahead.degrees_of_freedom) * math.sqrt(variance)
    bound = ahead.mean_frames + grown - below
    between = abs(ahead.growth_frames) * constant(operation, "growth_hive_sd_share")
    return Strength(
        mean_frames=min(max(mean, 0.0), room), sd_frames=math.hypot(spread_frames(operation, ahead.base), between),
        inspected=ahead.base.inspected, counted_frames=min(max(bound, 0.0), room),
        basis=_basis(operation, ahead, day, counted=grown) + (_full(room) if bound > room else ""), on=day,
        mean_sd_frames=math.sqrt(ahead.variance(1.0)), growth_frames=ahead.growth_frames, counted_growth_frames=grown,
        room_frames=room, degrees_of_freedom=ahead.degrees_of_freedom,
    )  # fmt: skip


def strength_for(operation: Operation, group: HiveGroup, contract: Contract, day: dt.date) -> Strength:
    """Return the strength of a group on a day in frames as a contract counts them.

    Parameters
    ----------
    operation, group, day
        As for ``strength_on``.
    contract
        Tells how much of a frame must be covered.

    Returns
    -------
    Strength
        ``strength_on`` times ``coverage_factor``; the same where either does not tell.
    """
    own = strength_on(operation, group, day)
    seen = latest_inspection(operation, group, day).coverage
    factor = coverage_factor(seen, contract.frame_coverage)
    words = coverage_words(seen, contract.frame_coverage)
    if factor == 1.0:
        return own.model_copy(update={"basis": f"{own.basis}. {words}"}) if words else own
    fields = ("mean_frames", "sd_frames", "counted_frames", "mean_sd_frames", "growth_frames", "counted_growth_frames")
    return own.model_copy(
        update={name: factor * getattr(own, name) for name in fields} | {"basis": f"{own.basis}. {words}"}
    )


def share_below_on(operation: Operation, group: HiveGroup, floor_frames: float, day: dt.date) -> float:
    """Return the share of a group's hives weaker than a floor on a day, with the growth that a plan counts on."""
    return share_below(
        operation, group, floor_frames, on=day, grown_frames=strength_on(operation, group, day).counted_growth_frames
    )


def share_below_for(operation: Operation, group: HiveGroup, contract: Contract, day: dt.date) -> float:
    """Return the share of a group's hives under a contract's floor on a day, as the contract counts frames."""
    factor = coverage_factor(latest_inspection(operation, group, day).coverage, contract.frame_coverage)
    return share_below_on(operation, group, contract.min_colony_frames / factor, day)


def counted_share(operation: Operation, ahead: Forecast, day: dt.date) -> float:
    """Return the share of the growth that a plan counts on; led back in time, less growth is the bold guess."""
    share = constant(operation, "growth_counted_share")
    if ahead.base.on is not None and day < ahead.base.on:
        return 1.0 if share > 0.0 and ahead.growth_frames < 0.0 else 0.0
    return 1.0 if ahead.growth_frames < 0.0 else share


def _basis(operation: Operation, ahead: Forecast, day: dt.date, *, counted: float) -> str:
    base = ahead.base
    confidence = constant(operation, "strength_confidence")
    days = (day - base.on).days if base.on else 0
    when = f"{days} days before" if days > 0 else f"{-days} days after" if days < 0 else "on the day"
    text = f"{base.inspected} of {base.hives} hives opened on {base.on}, {when}"
    sure = ahead.variance(0.0) <= 2.0 * LEAST_VARIANCE
    text += ": the mean itself" if sure else f": at least this with {confidence:.0%} confidence"
    if base.sd_frames is None and base.inspected < base.hives:
        text += f"; the spread is not known and taken as {spread_frames(operation, base):g} frames"
    if ahead.inspections > 1:
        text += f"; {ahead.inspections} inspections taken together, growth so far {ahead.factor:.2f} times the curve's"
    if ahead.growth_frames:
        text += f"; {ahead.growth_frames:+.1f} frames expected since, {counted:+.1f} counted on"
    return text


def _full(room: float) -> str:
    return f"; no more than the {room:g} frames that its boxes hold"
