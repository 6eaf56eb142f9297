"""Units on arcs -> chains: the ways that hives go, each with its stays."""

from collections import Counter, defaultdict
from dataclasses import dataclass

from routing.season.assignment import Chain, Stay, Supers
from routing.season.kinds import date
from routing.season.network import END, Arc, Network, Node


@dataclass
class _Step:
    """An arc with the units on it that no chain has taken yet."""

    arc: Arc
    units: int


def chains_of(network: Network, units: tuple[int, ...]) -> tuple[Chain, ...]:
    """Return the chains that an answer is made of, hives of one group that go the same way together in one."""
    total: Counter[tuple[str, tuple[Stay, ...]]] = Counter()
    pallets: Counter[tuple[str, tuple[Stay, ...]]] = Counter()
    for kind, about in enumerate(network.kinds):
        for way, count in _ways(network, units, kind):
            key = (about.group.name, _stays(network, kind, way))
            total[key] += count * about.hives
            pallets[key] += count * about.palletised
    return tuple(
        Chain(group=group, hives=hives, pallets=pallets[group, stays], stays=stays) for (group, stays), hives in total.items()
    )


def _ways(network: Network, units: tuple[int, ...], kind: int) -> list[tuple[list[Arc], int]]:
    """Take the flow of a kind apart into ways from its start to the season's end."""
    left: dict[Node, list[_Step]] = defaultdict(list)
    for arc, count in zip(network.arcs, units, strict=True):
        if arc.kind == kind and count:
            left[arc.tail].append(_Step(arc, count))
    found = []
    still = network.kinds[kind].units
    while still > 0:
        way: list[_Step] = []
        node = network.starts[kind]
        while node != END:
            way.append(max(left[node], key=lambda one: one.units))
            node = way[-1].arc.head
        count = min(still, *(step.units for step in way))
        for step in way:
            step.units -= count
        still -= count
        found.append(([step.arc for step in way], count))
    return found


def _stays(network: Network, kind: int, way: list[Arc]) -> tuple[Stay, ...]:
    operation, start = network.operation, network.starts[kind]
    stays = [Stay(place=start.place, kind="yard", came=None, left=None, supers=_from_start(start))]
    for arc in way:
        last = stays[-1]
        if arc.night is not None:
            night = date(operation, arc.night)
            place = arc.head.place
            stays[-1] = last.model_copy(update={"left": night})
            stays.append(Stay(
                place=place, kind="orchard" if place in network.stands else "yard", came=night, left=None,
                supers=_at_once(network, arc),
            ))  # fmt: skip
        elif arc.head.supers and not arc.tail.supers:
            put_on = Supers(on=date(operation, arc.tail.evening), off=None)
            stays[-1] = last.model_copy(update={"supers": (*last.supers, put_on)})
        elif arc.tail.supers and not arc.head.supers and arc.head != END:
            taken_off = last.supers[-1].model_copy(update={"off": date(operation, arc.tail.evening)})
            stays[-1] = last.model_copy(update={"supers": (*last.supers[:-1], taken_off)})
    return tuple(stays)


def _at_once(network: Network, arc: Arc) -> tuple[Supers, ...]:
    if not arc.supered or arc.stands is None:
        return ()
    _, first, back = arc.stands
    off = None if arc.head.supers else date(network.operation, back)
    return (Supers(on=date(network.operation, first), off=off),)


def _from_start(start: Node) -> tuple[Supers, ...]:
    return (Supers(on=None, off=None),) if start.supers else ()
