"""The chance that a limit breaks, against thousands of seeded throws, and what to leave behind, against every choice."""

import itertools
import math
import random

import pytest

from routing.formulas.axle import Share
from routing.loads.chance import Spread, chance_finding, chance_of, chance_of_any
from routing.loads.leave.solve import fewest_left
from routing.loads.lighter import lighter_finding, likely_left
from routing.loads.states import stretches_of
from routing.loads.weight_rows import WeightRow, weight_rows

USUAL = Spread(deviations=2.0, shared=0.5)


def gross(limit_lb):
    return WeightRow("gross", 1000.0, Share(1.0, 0.0), limit_lb)


@pytest.mark.parametrize(("limit_lb", "chance"), [
    (1000 + 522, 0.0),  # holds at the heavier end
    (1000 + 472, 0.5),  # the middle of 422 to 522
    (1000 + 497, 0.5 * math.erfc(1 / math.sqrt(2))),  # one of the two standard deviations of 25 lb above it
    (1000 + 421, 0.5 * math.erfc(-51 / 25 / math.sqrt(2))),
])  # fmt: skip
def test_one_unit_is_a_normal_of_two_deviations_to_either_side(placement, limit_lb, chance):
    assert chance_of(gross(limit_lb), [placement()], USUAL) == pytest.approx(chance)


def test_half_of_the_variance_of_many_units_is_shared(placement):
    # Ten units: deviation sqrt(0.5 x (10 x 25)^2 + 0.5 x 10 x 25^2) = 185.4 lb.
    units = [placement(f"A{n}") for n in range(10)]
    one_above = 1000 + 4720 + math.sqrt(0.5 * 250**2 + 0.5 * 10 * 25**2)
    assert chance_of(gross(one_above), units, USUAL) == pytest.approx(0.158655, abs=1e-5)


def test_the_chance_agrees_with_throws_of_the_same_weights(rig, placement):
    units = [placement(f"A{n}", front_in=37.0 * n, weight_low_lb=300.0, weight_high_lb=900.0) for n in range(6)]
    row = next(one for one in weight_rows(rig()) if one.check == "rating of the rear axle")
    row = row._replace(limit_lb=row.base_lb + 0.6 * (row.worst_lb(units) - row.base_lb))
    throw, over = random.Random(3), 0
    for _ in range(20000):
        shared = throw.gauss(0.0, 1.0)
        weights = [600 + 150 * (math.sqrt(0.5) * shared + math.sqrt(0.5) * throw.gauss(0.0, 1.0)) for _ in units]
        over += row.base_lb + sum(row.of(unit) * lb for unit, lb in zip(units, weights, strict=True)) > row.limit_lb
    assert over / 20000 == pytest.approx(chance_of(row, units, USUAL), abs=0.012)


def test_a_known_weight_breaks_for_certain_or_not_at_all(placement):
    unit = placement(weight_low_lb=500.0, weight_high_lb=500.0)
    assert chance_of(gross(1500.0), [unit], USUAL) == 0.0
    assert chance_of(gross(1499.0), [unit], USUAL) == 1.0


def test_the_finding_names_the_likeliest_and_is_unknown_without_axles(rig, placement):
    heavy = [placement(weight_low_lb=5000.0, weight_high_lb=13000.0)]
    found = chance_finding(rig(), stretches_of(heavy), "it")
    assert found.status == "broken"
    assert "payload: " in found.note
    assert chance_finding(rig(axles=()), stretches_of(heavy), "it").status == "unknown"
    assert chance_finding(rig(), stretches_of([placement()]), "it").measured == 0.0


def broken(rig, units):
    return any(row.worst_lb(riding) > row.limit_lb + 1e-6 for riding in stretches_of(units) for row in weight_rows(rig))


@pytest.mark.parametrize("gross_lb", [12500, 13800, 15000, 16400])
def test_no_fewer_units_left_behind_keep_the_limits(rig, placement, gross_lb):
    one = rig(gross_rating_lb=float(gross_lb))
    units = [placement(f"A{n}", front_in=37.0 * (n // 2), left_in=3.0 + 45.0 * (n % 2), weight_high_lb=400.0 + 150.0 * n)
             for n in range(8)]  # fmt: skip
    left = fewest_left(one, units)
    for count in range(9):
        if any(not broken(one, [u for u in units if u not in choice]) for choice in itertools.combinations(units, count)):
            break
    # Sides must stay even too, so that a choice may cost one more than weight alone asks for.
    assert count <= len(left) <= count + 1
    assert not broken(one, [unit for unit in units if unit.label not in left])


def test_what_stands_on_a_unit_is_left_with_it(rig, placement):
    low = placement("A1", weight_high_lb=9000.0, left_in=25.5)
    top = placement("A2", tier=2, left_in=25.5)
    assert fewest_left(rig(payload_lb=8000.0), [low, top]) == ("A1", "A2")


def test_a_load_within_every_limit_leaves_nothing(rig, placement):
    found = lighter_finding(rig(), [placement()], "it")
    assert (found.status, found.measured) == ("ok", 0.0)


def test_a_small_chance_asks_for_fewer_than_certainty(rig, placement):
    units = [placement(f"A{n}", front_in=37.0 * (n // 2), left_in=3.0 + 45.0 * (n % 2), weight_low_lb=300.0, weight_high_lb=900.0)
             for n in range(12)]  # fmt: skip
    one = rig(gross_rating_lb=11800.0 + 12 * 600.0 + 600.0)
    surely, likely = fewest_left(one, units), likely_left(one, units)
    # 7,800 lb of cargo: for certain 8 x 900; likely is fewer, and keeps the chance within 1 in 100.
    assert len(surely) == 4
    assert 0 < len(likely) < 4
    riding = [unit for unit in units if unit.label not in likely]
    assert chance_of_any(weight_rows(one), stretches_of(riding), USUAL) <= 0.01
    note = lighter_finding(one, units, "it").note
    assert "for certain: " in note
    assert "for a chance of at most 0.01: " in note


def test_when_no_choice_helps_that_is_told(trailer, placement):
    # The trailer alone has too little on its ball: leaving cargo behind does not help.
    hitch = trailer().hitch.model_copy(update={"trailer_empty_lb": 1760.0})
    found = lighter_finding(trailer(hitch=hitch), [placement(front_in=150.0)], "it")
    assert found.status == "broken"
    assert "no choice was found that keeps every limit" in found.note
