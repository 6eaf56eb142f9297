"""The judge of seasons: a season found is well, and each figure or stay put wrong is told."""

import datetime as dt
from collections.abc import Callable

import pytest

from fixtures.tiny import tiny_operation
from routing.inputs.operation import Operation
from routing.season.assignment import Chain, Season, Stay
from routing.season.check import check_season
from routing.season.choose import plan_season


@pytest.fixture(scope="module")
def season() -> Season:
    """The tiny operation's season."""
    return plan_season(tiny_operation(), seconds=10.0)


def broken(season: Season) -> set[str]:
    return {one.check for one in check_season(season) if one.status == "broken"}


def stays_moved(chain: Chain, number: int, days: int) -> Chain:
    """Return a chain whose move into its stay of that number is some days later."""
    stays = list(chain.stays)
    night = (stays[number].came or dt.date(2027, 4, 20)) + dt.timedelta(days=days)
    stays[number - 1] = stays[number - 1].model_copy(update={"left": night})
    stays[number] = stays[number].model_copy(update={"came": night})
    return chain.model_copy(update={"stays": tuple(stays)})


def with_mover(season: Season, change: Callable[[Chain], Chain]) -> Season:
    """Return a season whose first chain that moves is changed."""
    mover = next(one for one in season.chains if len(one.stays) > 1)
    return season.model_copy(update={"chains": tuple(change(one) if one is mover else one for one in season.chains)})


def test_a_season_found_is_well(season: Season) -> None:
    assert broken(season) == set()
    assert season.profit_usd == pytest.approx(sum(line.usd for line in season.lines))


def test_hives_out_of_nothing_and_broken_pallets_are_told(season: Season) -> None:
    more = with_mover(season, lambda chain: chain.model_copy(update={"hives": chain.hives + 1}))
    assert {"hives of the group", "pallets whole", "delivered as told"} <= broken(more)


def test_a_move_outside_its_window_is_told(season: Season) -> None:
    # Cherries take hives from 23 to 26 April; four days later is the 27th at the earliest.
    assert "night in within the window" in broken(with_mover(season, lambda chain: stays_moved(chain, 1, 4)))
    assert "night out within the window" in broken(with_mover(season, lambda chain: stays_moved(chain, 2, -30)))


def test_too_little_rest_is_told(season: Season) -> None:
    def by_the_far_yard(chain: Chain) -> Chain:
        days = [dt.date(2027, 4, 23), dt.date(2027, 5, 11), dt.date(2027, 5, 12), dt.date(2027, 6, 4)]
        places = [("Home yard", "yard"), ("Early cherries", "orchard"), ("Far yard", "yard"), ("Late blueberries", "orchard"),
                  ("Home yard", "yard")]  # fmt: skip
        came, left = [None, *days], [*days, None]
        stays = [
            Stay(place=place, kind=kind, came=a, left=b)  # type: ignore[arg-type]
            for (place, kind), a, b in zip(places, came, left, strict=True)
        ]
        return chain.model_copy(update={"stays": tuple(stays)})

    # In on 11 May, out on 12 May: no night of rest between, two are asked for.
    assert "rest between two blooms" in broken(with_mover(season, by_the_far_yard))


def test_a_yard_too_full_is_told(season: Season) -> None:
    yards = tuple(one.model_copy(update={"capacity_hives": 4}) for one in season.operation.yards)
    full = season.model_copy(update={"operation": season.operation.model_copy(update={"yards": yards})})
    far = with_mover(full, lambda chain: chain.model_copy(update={
        "stays": (*chain.stays[:-1], chain.stays[-1].model_copy(update={"place": "Far yard"}))}))
    assert "room in the yard" in broken(far)


def test_trucks_that_move_less_than_is_asked_are_told(season: Season) -> None:
    # 40 x 45 in of deck is one pallet of 4 hives; with 1.5 loads a night and 4 nights, 24 hives at the very most.
    small = tuple(one.model_copy(update={"deck_length_in": 40.0, "deck_width_in": 46.0}) for one in season.operation.trucks)
    away = tuple(one.model_copy(update={"nights_away": "2027-04-24, 2027-04-25, 2027-04-26"}) for one in small)
    few = season.model_copy(update={"operation": season.operation.model_copy(update={"trucks": away})})
    assert "hives beyond what trucks move in a run of nights" in broken(few)


@pytest.mark.parametrize("line", ["fees", "moves", "losses on the road", "feed", "short: penalties"])
def test_each_line_of_the_account_is_worked_out_anew(season: Season, line: str) -> None:
    lines = tuple(one.model_copy(update={"usd": one.usd + 1.0}) if one.name == line else one for one in season.lines)
    assert {f"account: {line}", "profit"} <= broken(season.model_copy(update={"lines": lines}))


def test_a_profit_over_its_bound_is_told(season: Season) -> None:
    assert "profit within the bound" in broken(season.model_copy(update={"bound_usd": season.profit_usd - 1.0}))


def test_hives_too_weak_for_a_contract_are_told(season: Season) -> None:
    terms = {"min_average_frames": 9.5, "min_colony_frames": 9.0}
    contracts = tuple(one.model_copy(update=terms) for one in season.operation.contracts)
    strict: Operation = season.operation.model_copy(update={"contracts": contracts})
    found = broken(season.model_copy(update={"operation": strict}))
    assert {"average strength", "single colonies strong enough"} <= found
