"""The supply model: small stocks by hand, and any small stock against trying everything."""

from collections.abc import Iterator
from dataclasses import replace
from itertools import product

from hypothesis import given, settings
from hypothesis import strategies as st

from routing.keepable.need import Need
from routing.keepable.solve import least_missing
from routing.nights.problem import UnitKind


def kind(units: int, hives: int, frames: float) -> UnitKind:
    return UnitKind(
        group=f"{units}x{hives}", yard="Home", units=units, hives=hives, palletised=hives > 1, weight_lb=0.0,
        frames=frames,
    )  # fmt: skip


def need(colonies: int, kinds: tuple[int, ...], *, average: float | None = None, over: int = 0,
         name: str = "A", stands: tuple[int, int] | None = (3, 9)) -> Need:  # fmt: skip
    return Need(contract=name, colonies=colonies, over=over, average=average, kinds=kinds, stands=stands)


def test_twelve_hives_for_twenty_four_colonies_leave_twelve_missing() -> None:
    found = least_missing([need(24, (0,))], [kind(3, 4, 10.8)])
    assert (found.proven, found.found) == (24 - 3 * 4, 12)


def test_an_average_lets_only_so_many_weaker_hives_in() -> None:
    # (12 x 10 + 8 n) / (12 + n) >= 9.5 needs n <= 4: one pallet of the weaker, 24 - 16 = 8 missing.
    stock = [kind(3, 4, 10.0), kind(3, 4, 8.0)]
    assert least_missing([need(24, (0, 1), average=9.5)], stock).proven == 8
    assert least_missing([need(24, (0, 1), average=9.0)], stock).proven == 0
    assert least_missing([need(24, (0, 1), average=None)], stock).proven == 0


def test_whole_pallets_stop_short_when_nothing_beyond_is_taken() -> None:
    stock = [kind(9, 4, 9.0)]
    assert [least_missing([need(22, (0,), over=over)], stock).proven for over in (0, 1, 2)] == [2, 2, 0]


def test_hives_that_stand_in_one_orchard_are_missing_in_the_other_on_the_same_night() -> None:
    stock = [kind(3, 4, 9.0)]
    here, there = need(8, (0,), stands=(3, 9)), need(8, (0,), name="B", stands=(9, 12))
    assert least_missing([here, there], stock).proven == 16 - 12
    assert least_missing([here, replace(there, stands=(10, 12))], stock).proven == 0
    assert least_missing([here, replace(there, stands=None)], stock).proven == 0


def test_hives_that_may_come_twice_are_not_bound_by_the_stock() -> None:
    twice = replace(need(8, (0,), stands=None), again=True)
    assert least_missing([twice], [kind(1, 4, 9.0)]).proven == 0


def test_an_average_met_to_the_last_bit_is_not_called_too_weak() -> None:
    third = (8.0 + 8.0 + 9.0) / 3.0
    assert least_missing([need(4, (0,), average=third)], [kind(1, 4, third)]).proven == 0
    assert least_missing([need(4, (0,), average=third)], [kind(1, 4, third)], strict=True).found == 0


def test_a_proof_rounds_for_the_plan_and_an_offer_against_it() -> None:
    stock = [kind(1, 4, 8.996)]
    assert least_missing([need(4, (0,), average=9.0)], stock, strict=True).found == 4
    # 0.004 of a frame is 40 ten-thousandths: a proof sees it too.
    assert least_missing([need(4, (0,), average=9.0)], stock).proven == 4
    assert least_missing([need(4, (0,), average=8.99)], stock, strict=True).found == 0


kinds_drawn = st.lists(
    st.builds(kind, st.integers(1, 3), st.integers(1, 4), st.sampled_from([6.0, 7.5, 8.0, 9.5])),
    min_size=1, max_size=3,
)  # fmt: skip


@st.composite
def needs_drawn(draw: st.DrawFn, kinds: int) -> list[Need]:
    found = []
    for name in ("A", "B")[: draw(st.integers(1, 2))]:
        first = draw(st.integers(0, 4))
        found.append(need(
            draw(st.integers(1, 12)), tuple(sorted(draw(st.sets(st.integers(0, kinds - 1))))), name=name,
            average=draw(st.sampled_from([None, 6.0, 7.0, 8.0, 9.0])), over=draw(st.integers(0, 3)),
            stands=(first, first + draw(st.integers(0, 3))),
        ))  # fmt: skip
    return found


def by_trying(needs: list[Need], kinds: list[UnitKind]) -> int:
    """Return the least missing over every choice of units for every contract."""
    choices = [[units for units in _every(want, kinds) if _kept(want, kinds, units)] for want in needs]
    at_once = len(needs) == 2 and _meet(needs[0], needs[1])
    return min(
        sum(max(0, want.colonies - _hives(kinds, units)) for want, units in zip(needs, chosen, strict=True))
        for chosen in product(*choices)
        if not at_once or _in_stock(kinds, chosen)
    )


def _every(want: Need, kinds: list[UnitKind]) -> Iterator[tuple[int, ...]]:
    yield from product(*(range(one.units + 1 if i in want.kinds else 1) for i, one in enumerate(kinds)))


def _in_stock(kinds: list[UnitKind], chosen: tuple[tuple[int, ...], ...]) -> bool:
    taken = zip(*chosen, strict=True)
    return all(sum(each) <= one.units for each, one in zip(taken, kinds, strict=True))


def _hives(kinds: list[UnitKind], units: tuple[int, ...]) -> int:
    return sum(one.hives * count for one, count in zip(kinds, units, strict=True))


def _kept(want: Need, kinds: list[UnitKind], units: tuple[int, ...]) -> bool:
    hives = _hives(kinds, units)
    frames = sum(one.frames * one.hives * count for one, count in zip(kinds, units, strict=True))
    return hives <= want.colonies + want.over and (want.average is None or frames >= want.average * hives)


def _meet(a: Need, b: Need) -> bool:
    assert a.stands is not None
    assert b.stands is not None
    return a.stands[0] <= b.stands[1] and b.stands[0] <= a.stands[1]


@settings(max_examples=200, deadline=None)
@given(st.data())
def test_trying_every_choice_finds_the_same_number(data: st.DataObject) -> None:
    kinds = data.draw(kinds_drawn)
    needs = data.draw(needs_drawn(len(kinds)))
    found = least_missing(needs, kinds)
    assert found.proven == found.found == by_trying(needs, kinds)
    # Frames here are half ones: rounding for or against the plan changes nothing.
    assert least_missing(needs, kinds, strict=True).found == found.found
