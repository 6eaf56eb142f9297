"""A whole proposal: drops that keep every rule, figures worked out by hand, and the judge that sees what is wrong."""

from collections.abc import Callable
from itertools import pairwise
from typing import Any

import pytest

from routing.drops.check import check_siting, stocking_row
from routing.drops.drop import Siting, SitingError
from routing.drops.ground import contract_named
from routing.drops.propose import propose_drops
from routing.drops.reach import shared_bees
from routing.drops.rules import SitingRules, fewest_stops, siting_rules, unit_hives, usable_stops
from routing.drops.write import with_drops
from routing.finding import Finding
from routing.inputs.operation import Operation
from routing.limits import limit

Draw = Callable[..., Operation]
Box = Callable[[float, float, float, float], str]
CONTRACT = "Early cherries"
LANE = ("track", "Lane", "LINESTRING(-20 -20,-20 500,1020 500)")


def site(operation: Operation, **asked: Any) -> tuple[Siting, SitingRules]:
    rules = siting_rules(operation, contract_named(operation, CONTRACT), **asked)
    return propose_drops(operation, CONTRACT, rules=rules), rules


def named(findings: tuple[Finding, ...], start: str) -> Finding:
    (found,) = (one for one in findings if one.check.startswith(start))
    return found


@pytest.fixture(scope="module")
def sited(orchard: Draw, box: Box) -> tuple[Operation, Siting, SitingRules]:
    """Return an orchard of two blocks with a lane between them, a house, and its siting."""
    operation = orchard(
        blocks={"South": box(0, 0, 1000, 490), "North": box(0, 510, 1000, 1000)},
        land=(LANE, ("house", "Cottage", "POINT(1100 520)")), gate=(-20.0, -60.0), colonies=48,
    )  # fmt: skip
    return operation, *site(operation)


def test_one_drop_in_a_square_has_the_mean_distance_of_a_square(orchard: Draw, box: Box) -> None:
    # The mean distance to the middle of a square of side a is a (sqrt 2 + ln(1 + sqrt 2)) / 6 = 0.38260 a (from memory).
    operation = orchard(
        blocks={"A": box(0, 0, 1000, 1000)}, land=(("track", "Lane", "LINESTRING(500 -50,500 1000)"),), gate=(500.0, -50.0),
        figures={"drop_stop_worth_ft": 500.0},
    )  # fmt: skip
    siting, _ = site(operation)
    assert [drop.hives for drop in siting.drops] == [16]
    assert siting.evenness.mean_ft == pytest.approx(382.6, rel=0.005)
    # The farthest piece is one of the corners': its middle lies some 35 ft within the corner 707 ft away.
    assert 640 < siting.evenness.worst_ft < 700
    # Mean of the squares is a squared / 6 = 166,667; less the square of the mean: 20,284.
    assert siting.evenness.variance_ft2 == pytest.approx(1000.0**2 / 6 - 382.6**2, rel=0.02)
    assert siting.drops[0].way_ft == pytest.approx(550.0, abs=15.0)
    assert siting.way_ft == pytest.approx(2 * siting.drops[0].way_ft)


def test_a_proposal_keeps_every_rule(sited: tuple[Operation, Siting, SitingRules]) -> None:
    _, siting, rules = sited
    assert sum(drop.hives for drop in siting.drops) == 48
    assert all(drop.hives % rules.unit_hives == 0 for drop in siting.drops)
    assert all(rules.least_hives <= drop.hives <= rules.most_hives for drop in siting.drops)
    serious = [one.check for one in siting.findings if one.status != "ok" and one.force != "advice"]
    assert serious == []
    assert siting.gap <= rules.gap
    assert siting.bound_mean_ft <= siting.evenness.mean_ft + 1e-6


def test_the_curve_falls_and_the_choice_is_the_last_stop_that_is_worth_it(sited: tuple[Operation, Siting, SitingRules]) -> None:
    _, siting, rules = sited
    means = [point.evenness.mean_ft for point in siting.curve]
    assert means == sorted(means, reverse=True)
    stops = [point.evenness.stops for point in siting.curve]
    assert stops == list(range(2, 2 + len(stops)))
    (at,) = (place for place, point in enumerate(siting.curve) if point.chosen)
    saved = [before - after for before, after in pairwise(means)]
    assert all(one >= rules.stop_worth_ft for one in saved[:at])
    assert saved[at] < rules.stop_worth_ft
    assert siting.evenness == siting.curve[at].evenness


def test_drops_are_in_the_order_of_the_drive_and_are_written_so(sited: tuple[Operation, Siting, SitingRules]) -> None:
    operation, siting, _ = sited
    ways = [drop.way_ft for drop in siting.drops]
    # The lane runs north, then east: 40 ft to it, 520 up it, and along; the nearer drop is the first.
    assert [drop.name for drop in siting.drops] == [str(number) for number in range(1, len(ways) + 1)]
    assert siting.drops[0].longitude_deg < siting.drops[-1].longitude_deg
    assert siting.way_is_shortest
    assert siting.way_ft == pytest.approx(2 * sum(ways), rel=1e-6)
    written = with_drops(operation, siting)
    rows = [drop for drop in written.drops if drop.contract == CONTRACT]
    assert [(row.name, row.most_hives) for row in rows] == [(drop.name, drop.hives) for drop in siting.drops]
    assert rows[0].note.startswith(f"{ways[0]:,.0f} ft from gate along Lane; entrances east to south-east")
    assert rows[1].note.startswith(f"{ways[1]:,.0f} ft from drop 1 along Lane")
    others = [drop for drop in operation.drops if drop.contract != CONTRACT]
    assert [drop for drop in written.drops if drop.contract != CONTRACT] == others


def change(siting: Siting, at: int, **values: Any) -> Siting:
    drops = list(siting.drops)
    drops[at] = drops[at].model_copy(update=values)
    return siting.model_copy(update={"drops": tuple(drops)})


def wrong_hives(siting: Siting) -> Siting:
    return change(siting, 0, hives=siting.drops[0].hives + 1)


def too_near(siting: Siting) -> Siting:
    first = siting.drops[0]
    return change(siting, 1, latitude_deg=first.latitude_deg, longitude_deg=first.longitude_deg + 0.0003)


def off_the_track(siting: Siting) -> Siting:
    return change(siting, 0, latitude_deg=siting.drops[0].latitude_deg + 0.0001)


def at_the_house(siting: Siting) -> Siting:
    # 0.0008 deg of longitude is some 210 ft: 80 ft short of the cottage's place would still be within 300 ft.
    return change(siting, -1, longitude_deg=-86.2842)


def better_told(siting: Siting) -> Siting:
    return siting.model_copy(update={"evenness": siting.evenness.model_copy(update={"mean_ft": siting.evenness.mean_ft - 3.0})})


def one_acre_without(siting: Siting) -> Siting:
    shares = (siting.shares[0].model_copy(update={"hives": siting.shares[0].hives + 0.2}), *siting.shares[1:])
    return siting.model_copy(update={"shares": shares})


BROKEN: list[tuple[Callable[[Siting], Siting], str]] = [
    (wrong_hives, "hives set down, no more"),
    (wrong_hives, "drops with a unit that is not full"),
    (wrong_hives, "hives at a drop, told against"),
    (too_near, "nearest two drops"),
    (off_the_track, "drops that a track leads to"),
    (at_the_house, "nearest drop to house 'Cottage'"),
    (better_told, "distance of acres to hives"),
    (one_acre_without, "hives that an acre draws"),
]


@pytest.mark.parametrize(("spoil", "check"), BROKEN)
def test_the_judge_sees_what_is_wrong(
    sited: tuple[Operation, Siting, SitingRules], spoil: Callable[[Siting], Siting], check: str
) -> None:
    operation, siting, rules = sited
    assert named(check_siting(operation, siting, rules), check).status == "ok"
    assert named(check_siting(operation, spoil(siting), rules), check).status == "broken"


def test_the_judge_says_unknown_when_no_tracks_are_given(orchard: Draw, box: Box) -> None:
    operation = orchard(blocks={"A": box(0, 0, 700, 700)})
    siting, _ = site(operation)
    found = named(siting.findings, "drops that a track leads to")
    assert (found.status, found.measured) == ("unknown", None)


def test_drops_of_today_are_measured_the_same_way(orchard: Draw, box: Box) -> None:
    land = (("track", "Lane", "LINESTRING(500 -50,500 1000)"),)
    middle = orchard(blocks={"A": box(0, 0, 1000, 1000)}, land=land, gate=(500.0, -50.0), drops=((500.0, 500.0, 16),))
    siting, _ = site(middle)
    assert siting.today is not None
    assert siting.today.mean_ft == pytest.approx(382.6, rel=0.005)
    small = orchard(blocks={"A": box(0, 0, 1000, 1000)}, land=land, gate=(500.0, -50.0), drops=((500.0, 500.0, 12),))
    assert site(small)[0].today is None


def test_most_stops_and_the_farthest_acre_are_kept_or_told_impossible(orchard: Draw, box: Box) -> None:
    operation = orchard(
        blocks={"A": box(0, 0, 1000, 1000)}, land=(("track", "Lane", "LINESTRING(500 -50,500 1000)"),), gate=(500.0, -50.0),
        colonies=40,
    )  # fmt: skip
    assert len(site(operation, most_stops=2)[0].drops) == 2
    near, _ = site(operation, farthest_ft=560.0)
    assert near.evenness.worst_ft <= 560.0
    # The lane is 500 ft from the sides: no number of drops on it comes nearer than some 460 ft to their pieces.
    with pytest.raises(SitingError, match=r"with no acre farther than 400 ft from its hives, 150 ft apart, at the \d+ places"):
        site(operation, farthest_ft=400.0)
    with pytest.raises(SitingError, match=r"40 hives cannot stand at one drop of at most 24; allow 2 stops"):
        site(operation, most_stops=1)


def test_numbers_of_stops_follow_least_and_most(orchard: Draw, box: Box) -> None:
    operation = orchard(blocks={"A": box(0, 0, 700, 700)})
    rules = siting_rules(operation, contract_named(operation, CONTRACT))
    few = rules.model_copy(update={"least_hives": 6, "most_hives": 12, "unit_hives": 4, "most_stops": 30})
    # 30 hives in pallets of 4: at most 12 a drop: 3 stops; at least 8 a drop (two pallets): 3 of 8 and one of 6.
    assert (fewest_stops(30, few), usable_stops(30, few)) == (3, 4)
    assert usable_stops(29, few) == 3


def test_the_unit_is_the_pallet_that_most_hives_stand_on(orchard: Draw, box: Box) -> None:
    operation = orchard(blocks={"A": box(0, 0, 700, 700)})
    hives = {pallet.name: pallet.hives for pallet in operation.pallets}
    assert unit_hives(operation) == hives[max(operation.hive_groups, key=lambda group: group.hives).pallet or ""]
    loose = tuple(group.model_copy(update={"pallet": None}) for group in operation.hive_groups)
    assert unit_hives(operation.model_copy(update={"hive_groups": loose})) == 1


CROPS = [("apple", "apple"), ("Sweet cherry", "sweet_cherry"), ("tart cherry", "any_crop"),
         ("highbush blueberry", "highbush_blueberry"), ("pickling cucumber", "cucumber"), ("Honeycrisp apple", "apple"),
         ("hazel", "any_crop")]  # fmt: skip


@pytest.mark.parametrize(("crop", "row"), CROPS)
def test_hives_an_acre_are_looked_up_by_the_words_of_the_crop(crop: str, row: str) -> None:
    assert stocking_row(crop) == f"stocking_{row}"


def test_published_stocking_densities_and_group_sizes_are_in_the_rows() -> None:
    # UC: almond 1 to 3; Good Fruit Grower: sweet cherry 2 to 3, apple 1 to 2; MSU table 1: cucumber 0.1 to 4.
    found = {name: (limit(f"stocking_{name}_low").value, limit(f"stocking_{name}_high").value) for name in
             ("almond", "sweet_cherry", "apple", "cucumber")}  # fmt: skip
    assert found == {"almond": (1, 3), "sweet_cherry": (2, 3), "apple": (1, 2), "cucumber": (0.1, 4)}
    # Half the diagonal of a quarter mile squared: 1,320 / 2 x 1.41421 = 933.4 ft.
    assert limit("acre_reach_ft").value == int(limit("drop_interval_ft").value / 2 * 2**0.5)
    assert (limit("drop_least_hives").value, limit("group_advice_hives").value) == (4, 8)


def test_blocks_within_reach_of_the_same_bees_are_told_with_their_distance(orchard: Draw, box: Box) -> None:
    operation = orchard(
        blocks={"A": box(0, 0, 700, 700)}, land=(("competing bloom", "Mustard", box(2020, 0, 3000, 435.6)),
                                                 ("competing bloom", "Rape", box(20000, 0, 21000, 1000))),
    )  # fmt: skip
    other = contract_named(operation, CONTRACT).model_copy(update={"name": "Next door", "colonies": 9})
    north = orchard(blocks={"B": box(0, 3340, 700, 3940)}).blocks[0].model_copy(update={"contract": "Next door"})
    both = operation.model_copy(update={"contracts": (*operation.contracts, other), "blocks": (*operation.blocks, north)})
    found = shared_bees(both, CONTRACT)
    assert [(one.other, one.other_name, one.same_crop) for one in found] == [("", "Mustard", False), ("Next door", "B", True)]
    # 2020 - 700 = 1,320 ft = 0.25 mi; 3340 - 700 = 2,640 ft = 0.5 mi; 980 x 435.6 / 43,560 = 9.8 acres.
    assert [one.miles for one in found] == [pytest.approx(0.25, abs=1e-4), pytest.approx(0.5, abs=1e-4)]
    assert found[0].other_acres == pytest.approx(9.8, rel=1e-3)
    # 9 hives on 700 x 600 / 43,560 = 9.64 acres.
    assert found[1].other_hives_per_acre == pytest.approx(9 / 9.642, rel=1e-3)
    assert shared_bees(both, "Next door")[0].other == CONTRACT
