"""Checks of what keeps the bees alive and in the hive: air, net, stops with bees aboard, water."""

from collections.abc import Iterator

from routing.finding import Finding, at_least, at_most, not_checked
from routing.limits import Limit
from routing.loads.circumstances import Circumstances, Riders
from routing.loads.load import Load

NET_SOURCE = "common practice, no source: hives that ride open are netted; some States ask for it"


def bees(load: Load, *, about: Circumstances) -> tuple[Finding, ...]:
    """Return every finding on air, net, stops and water; none for a deck without hives."""
    subject = f"{load.truck_night}, load {load.number}"
    riders = [one for one in about.riders if one.hives]
    if not riders:
        return ()
    return (
        *(_air(one, about, subject) for one in riders),
        *_net(about, subject),
        _longest_stop(about, subject),
        *_water(about, subject),
    )


def _air(riders: Riders, about: Circumstances, subject: str) -> Finding:
    warm, temperature_f = about.figure("closed_hive_warm_f"), about.temperature_f
    check = f"air for closed hives of {riders.group}"
    if riders.air == "screened" or riders.entrance == "screened":
        return _breathes(warm, subject, riders, "a screened way for air")
    if riders.entrance in ("open", "reduced"):
        return _breathes(warm, subject, riders, "entrances ride open")
    if temperature_f is None or riders.air is None:
        missing = "no temperature is given" if temperature_f is None else "the way for air is not given"
        note = f"{missing}; at {warm.value:.0f} F and over a closed hive needs a screened way for air"
        return not_checked(check, subject, force=warm.force, source=warm.source, note=note)
    if temperature_f < warm.value:
        return _breathes(warm, subject, riders, f"{temperature_f:.0f} F: cool enough")
    if riders.air == "none" or riders.entrance == "closed":
        return at_least(check, subject, measured=0, limit=riders.hives, unit="hives", force=warm.force,
                        source=warm.source, note=f"{temperature_f:.0f} F, shut in, and no way for air")  # fmt: skip
    note = f"{temperature_f:.0f} F: screen the entrances, do not close them; to be looked at before loading"
    return not_checked(check, subject, force=warm.force, source=warm.source, note=note)


def _breathes(warm: Limit, subject: str, riders: Riders, note: str) -> Finding:
    check = f"air for closed hives of {riders.group}"
    return at_least(check, subject, measured=riders.hives, limit=riders.hives, unit="hives", force=warm.force,
                    source=warm.source, note=note)  # fmt: skip


def _net(about: Circumstances, subject: str) -> Iterator[Finding]:
    entrances = {one.entrance for one in about.riders if one.hives}
    if entrances <= {"closed", "screened"} and about.net is None:
        return
    check = "load net over open hives"
    open_hives = sum(one.hives for one in about.riders if one.entrance in ("open", "reduced"))
    if about.net or (not open_hives and None not in entrances):
        yield at_least(check, subject, measured=open_hives, limit=open_hives, unit="hives", force="practice",
                       source=NET_SOURCE, note="a net holds bees, not hives: it is no tie-down")  # fmt: skip
    elif about.net is False and open_hives:
        yield at_least(check, subject, measured=0, limit=open_hives, unit="hives", force="practice", source=NET_SOURCE,
                       note="no net: bees leave at every stop and light")  # fmt: skip
    else:
        note = "close or screen every entrance, or net the load: to be looked at before loading"
        yield not_checked(check, subject, force="practice", source=NET_SOURCE, note=note)


def _longest_stop(about: Circumstances, subject: str) -> Finding:
    most, warm = about.figure("warm_stop_min"), about.figure("warm_evening_f")
    check = "longest stop with bees aboard"
    if about.stops is None:
        note = f"the stops are not given; warm, {most.value:.0f} min is the longest"
        return not_checked(check, subject, force=most.force, source=most.source, note=note)
    longest = max(about.stops, key=lambda one: one.minutes, default=None)
    minutes = longest.minutes if longest else 0.0
    where = f"at {longest.place}" if longest and longest.place else "none" if longest is None else ""
    if about.temperature_f is None and minutes > most.value:
        note = ", ".join(part for part in (where, f"{minutes:.0f} min, and no temperature is given") if part)
        return not_checked(check, subject, force=most.force, source=most.source, note=note)
    if about.temperature_f is not None and about.temperature_f < warm.value:
        return Finding(check=check, subject=subject, status="ok", measured=round(minutes, 1), unit="min", force=most.force,
                       source=most.source,
                       note=f"{about.temperature_f:.0f} F: no limit is cited under {warm.value:.0f} F")  # fmt: skip
    return at_most(check, subject, measured=round(minutes, 1), limit=most.value, unit="min", force=most.force,
                   source=most.source, note=where)  # fmt: skip


def _water(about: Circumstances, subject: str) -> Iterator[Finding]:
    """Yield the finding on water to wet the load with, when it is warm enough for that."""
    hot, each = about.figure("wet_load_above_f"), about.figure("water_gal_per_hive")
    if about.temperature_f is None or about.temperature_f <= hot.value:
        return
    hives = sum(one.hives for one in about.riders)
    if about.water_gal is None:
        yield not_checked("water to wet the load", subject, force=each.force, source=_sources(hot, each),
                          note=f"{about.temperature_f:.0f} F: {each.value * hives:.0f} gal, and none is listed as carried")
        return  # fmt: skip
    yield at_least("water to wet the load", subject, measured=round(about.water_gal, 1), limit=round(each.value * hives, 1),
                   unit="gal", force=each.force, source=_sources(hot, each), note=hot.where)  # fmt: skip


def _sources(hot: Limit, each: Limit) -> str:
    return f"{hot.source}; {each.source}"
