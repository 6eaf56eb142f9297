"""The tours benchmark on tiny sizes: operations pass the door, every planner's truck-nights pass the judge."""

import datetime as dt
import json
import math
import random
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import pytest

from routing.inputs.operation import Operation
from routing.nights.haul.job import Job, Route
from routing.nights.problem import read_problem
from tests.benchmarks.__main__ import main
from tests.benchmarks._record import Record
from tests.benchmarks._tours_child import measured_here, peak_mib
from tests.benchmarks._tours_dispatcher import dispatched
from tests.benchmarks._tours_flows import flows, jobs_of
from tests.benchmarks._tours_judge import judged
from tests.benchmarks._tours_land import MI_PER_DEG, REGIONS, somewhere, stretch
from tests.benchmarks._tours_operation import MOST_OWED, SIZES, Size, document, operation
from tests.benchmarks._tours_peers import apart
from tests.benchmarks._tours_planners import PLANNERS, Planned
from tests.benchmarks._tours_plot import growth
from tests.benchmarks._tours_routes import settled
from tests.benchmarks._tours_sorts import Sorted, Standing, sorted_out
from tests.benchmarks.tours import compared, sums

TINY = Size("tiny", 2, 3, 60, {"straight truck": 1}, 1, 2, 25.0)
SECONDS = 2.0


@pytest.fixture(scope="module")
def tiny() -> Operation:
    return operation(TINY, 1)


@pytest.fixture(scope="module")
def had(tiny: Operation) -> Sorted:
    return sorted_out(read_problem(tiny))


@pytest.fixture(scope="module")
def planned(tiny: Operation) -> dict[str, Planned]:
    return {name: planner(tiny, SECONDS) for name, planner in PLANNERS.items()}


@pytest.mark.parametrize(("size", "seed"), [*(("S", seed) for seed in range(10)), ("M", 0), ("M", 1), ("L", 0), ("XL", 0)])
def test_an_operation_passes_the_door_and_has_what_its_size_says(size: str, seed: int) -> None:
    wanted, made = SIZES[size], operation(SIZES[size], seed)
    assert (len(made.yards), len(made.contracts)) == (wanted.yards, wanted.contracts)
    assert len(made.trucks) == sum(wanted.trucks.values())
    assert sum(group.hives for group in made.hive_groups) == wanted.colonies
    assert len(made.drivers) >= sum(not truck.hired for truck in made.trucks)


def test_the_same_seed_gives_the_same_operation_and_another_seed_another() -> None:
    assert document(SIZES["M"], 7) == document(SIZES["M"], 7)
    assert document(SIZES["M"], 7) != document(SIZES["M"], 8)


@pytest.mark.parametrize("region", REGIONS, ids=lambda region: region.name)
def test_every_place_lies_beside_its_regions_line(region) -> None:
    draw = random.Random(3)
    miles = stretch(region, 40.0, draw)
    assert miles[1] - miles[0] == pytest.approx(40.0)
    for _ in range(200):
        place = somewhere(region, miles, draw)
        # At a bend of the line a place may be a little farther from both its parts: 1.5 covers the sharpest bend here.
        assert min(_miles_off(place, *part) for part in pairwise(region.line)) <= 1.5 * region.half_width_mi


def _miles_off(place: tuple[float, float], one: tuple[float, float], other: tuple[float, float]) -> float:
    shrink = math.cos(math.radians(one[0]))
    east, north = (other[1] - one[1]) * shrink, other[0] - one[0]
    px, py = (place[1] - one[1]) * shrink, place[0] - one[0]
    along = max(0.0, min(1.0, (px * east + py * north) / (east**2 + north**2)))
    return MI_PER_DEG * math.hypot(px - along * east, py - along * north)


def test_no_more_is_owed_at_once_than_nine_tenths_of_the_hives_strong_enough() -> None:
    for seed in range(10):
        made = operation(SIZES["S"], seed)
        for one in made.contracts:
            level, night = one.min_average_frames, one.in_from
            owed = sum(
                other.colonies for other in made.contracts if other.min_average_frames >= level and night is not None
                and other.in_from is not None and other.in_from <= night <= (other.out_until or dt.date.max)
            )  # fmt: skip
            strong = sum(group.hives for group in made.hive_groups if (group.frames_mean or 0.0) >= level)
            # A contract is never cut below one pallet.
            assert owed <= MOST_OWED * strong + 4 * len(made.contracts)


def test_sizes_of_windows_and_terms_vary_and_some_are_tight() -> None:
    contracts = [one for seed in range(3) for one in operation(SIZES["L"], seed).contracts]
    nights = [(one.in_until - one.in_from).days + 1 for one in contracts if one.in_until and one.in_from]
    assert min(nights) == 1
    assert max(nights) == 6
    assert {one.over_delivery for one in contracts} == {"not taken", "taken unpaid", "paid"}
    assert {one.access for one in contracts} == {"pickup with trailer", "straight truck", "semi"}


@pytest.mark.parametrize("name", PLANNERS)
def test_every_planners_truck_nights_pass_the_judge_and_beat_doing_nothing(
    name: str, tiny: Operation, planned: dict[str, Planned]
) -> None:
    verdict, dropped = planned[name].verdict()
    nothing = judged(tiny, ())
    assert (verdict.broken, dropped) == ((), 0)
    assert verdict.cost_usd < nothing.cost_usd
    assert verdict.unkept < nothing.unkept == sum(one.colonies for one in tiny.contracts)


def test_our_bound_holds_for_every_planner(planned: dict[str, Planned]) -> None:
    bound = planned["ours"].bound_usd
    assert bound is not None
    assert 0.0 < bound <= min(one.verdict()[0].cost_usd for one in planned.values()) + 0.01


@pytest.mark.parametrize("name", PLANNERS)
def test_the_first_plan_comes_before_the_last(name: str, planned: dict[str, Planned]) -> None:
    first = planned[name].first_s
    assert first is not None
    assert 0.0 < first <= planned[name].total_s


def test_flows_keep_every_promise_that_the_hives_allow_and_are_cut_into_jobs_that_fit(had: Sorted) -> None:
    moved = flows(had, seconds=2.0)
    jobs = jobs_of(had, moved, deck=0.5, rig=0)
    hauled = dict.fromkeys(moved, 0)
    for job in jobs.values():
        assert sum(units * had.share(sort, 0) for sort, units in job.units) <= 0.5 + 1e-9
        for sort, units in job.units:
            hauled[job.origin, job.destination, sort] += units
    assert hauled == moved
    for name, promise in had.problem.promises.items():
        came = sum(units * had.sorts[sort].hives for (_, goes, sort), units in moved.items() if goes == name)
        left = sum(units * had.sorts[sort].hives for (comes, _, sort), units in moved.items() if comes == name)
        assert promise.colonies <= came <= promise.colonies + promise.over
        assert left == (came if promise.out else 0)


def test_a_route_that_takes_what_is_not_there_hauls_what_is(had: Sorted) -> None:
    yard, sort = next((place, sort) for (place, sort), units in had.stock.items() if units and had.sorts[sort].serves)
    goes = had.sorts[sort].serves[0]
    standing = Standing(had)
    assert sum(units for _, units in standing.take(yard, sort, 10**6)) == had.stock[yard, sort]
    assert standing.had(yard, sort) == 0
    standing.bring(goes, had.sorts[sort].kinds[0], 2)
    assert standing.had(goes, sort) == 0, "what came tonight may leave tomorrow"
    standing.next_night()
    assert standing.had(goes, sort) == 2


def test_a_route_on_a_night_outside_the_window_is_dropped_and_counted(had: Sorted, tiny: Operation) -> None:
    jobs, routes = dispatched(had)
    first = min(routes, key=lambda one: one.night)
    whole = settled(had, jobs, routes)
    early = [Route(first.rig, 0, first.calls) if one == first else one for one in routes]
    mended = settled(had, jobs, early)
    assert (whole.dropped, mended.verdict.broken) == (0, ())
    assert mended.dropped >= 1
    assert mended.verdict.cost_usd > whole.verdict.cost_usd


def test_a_load_too_heavy_for_the_deck_is_dropped(had: Sorted) -> None:
    jobs, routes = dispatched(had)
    number = routes[0].calls[0][0]
    job = jobs[number]
    # Four times the hives of a job: more than the deck takes, or than the yard has and the orchard wants.
    heavy = jobs | {number: Job(job.origin, job.destination, tuple((sort, 4 * units) for sort, units in job.units),
                                job.first, job.last, job.on_time, 0.0, 0.0)}  # fmt: skip
    assert settled(had, heavy, routes).verdict.broken == ()


def test_stretches_of_the_season_share_no_night() -> None:
    jobs = {number: Job("a", "b", (), first, last, last, 0.0, 0.0) for number, (first, last) in enumerate(
        [(0, 2), (5, 6), (2, 3), (9, 8), (6, 7)])}  # fmt: skip
    # 0-2 and 2-3 meet on night 2; 5-6 and 6-7 on night 6; 9-8 is no window at all.
    assert apart(jobs) == [[0, 2], [1, 4]]


def test_a_record_holds_what_the_issue_asks_for() -> None:
    row = measured_here("S", 0, "dispatcher", 1.0)
    asked = {"size", "seed", "planner", "cost_usd", "lower_bound_usd", "gap", "first_s", "total_s", "unkept", "peak_mib"}
    assert asked <= set(row)
    assert row["lower_bound_usd"] is None
    assert 50.0 < float(row["peak_mib"] or 0.0) <= peak_mib()


def test_the_cheapest_plan_that_breaks_nothing_is_the_measure_of_all() -> None:
    rows: list[Record] = [
        {"planner": "a", "cost_usd": 110.0, "broken": 0, "lower_bound_usd": 99.0},
        {"planner": "b", "cost_usd": 50.0, "broken": 2},
        {"planner": "c", "cost_usd": 100.0, "broken": 0}, {"planner": "d", "note": "no answer"},
    ]  # fmt: skip
    found = compared(rows)
    assert [row["over"] for row in found] == [pytest.approx(0.1), pytest.approx(-0.5), 0.0, None]
    assert [row["note"] for row in found] == ["", "", "", "no answer"]


def test_a_bound_above_somebodys_plan_is_told() -> None:
    rows: list[Record] = [{"planner": "ours", "cost_usd": 110.0, "broken": 0, "lower_bound_usd": 101.0},
                          {"planner": "c", "cost_usd": 100.0, "broken": 0}]  # fmt: skip
    assert [row["note"] for row in compared(rows)] == ["NO BOUND: a plan costs 100.00", ""]


def test_the_median_and_the_worst_of_a_planner_stand_below() -> None:
    rows: list[Record] = [{"size": "S", "seed": seed, "planner": "a", "cost_usd": usd, "gap": gap, "over": over}
                          for seed, (usd, gap, over) in enumerate(((3.0, 0.0004, 0.0), (1.0, 0.0006, 0.2), (8.0, 0.3, 0.0),
                                                                   (None, None, None)))]  # fmt: skip
    found = list(sums(rows))
    assert [(row["seed"], row["cost_usd"], row["gap"]) for row in found] == [("median", 3.0, 0.0006), ("worst", 8.0, 0.3)]
    assert found[0]["note"] == "cheapest 2 of 4; proven 1 of 4; without an answer 1"


def test_the_chart_of_growth_marks_every_median() -> None:
    rows: list[Record] = [
        {"size": size, "seed": what, "planner": planner, "over": 0.1, "gap": 0.02 if planner == "ours" else None,
         "first_s": 0.5, "peak_mib": 200.0}
        for size in ("S", "M") for planner in ("ours", "a & b") for what in ("median", "worst")
    ]  # fmt: skip
    drawn = ElementTree.fromstring(growth(rows))
    texts = [one.text for one in drawn.iter("{http://www.w3.org/2000/svg}text")]
    assert {"ours", "a & b"} <= set(texts)
    # Ours is a disc: one in the legend, two sizes in each of four charts.
    assert len(list(drawn.iter("{http://www.w3.org/2000/svg}circle"))) == 1 + 2 * 4


def test_the_command_line_runs_one_planner_in_a_process_of_its_own(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    files = [tmp_path / "rows.json", tmp_path / "growth.svg"]
    asked = ["tours", "--size", "S", "--seeds", "1", "--seconds", "1", "--planner", "dispatcher", "--json", str(files[0]),
             "--plot", str(files[1])]  # fmt: skip
    assert main(asked) == 0
    rows = json.loads(files[0].read_text(encoding="utf-8"))
    assert [row["seed"] for row in rows] == [0, "median", "worst"]
    assert rows[0]["broken"] == 0
    assert files[1].read_text(encoding="utf-8").startswith("<svg")
    assert "dispatcher" in capsys.readouterr().out
