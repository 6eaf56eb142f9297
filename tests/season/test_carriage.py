"""What one hive costs to carry, worked by hand on the tiny operation."""

import datetime as dt

import pytest

from fixtures.tiny import tiny_operation
from routing.season.assignment import CarryCost
from routing.season.carriage import Carriage, Leg

OPERATION = tiny_operation()
H1, L1 = OPERATION.hive_groups[:2]
BLUE = OPERATION.trucks[0]
IN_CHERRIES = Leg("Home yard", "Early cherries", dt.date(2027, 4, 23), dt.date(2027, 4, 26))


def test_a_load_is_what_deck_and_payload_hold() -> None:
    # Pallets 45 x 37 in on 240 x 96 in: 6 x 2 = 12 with the short side along the deck, 5 x 2 the other way;
    # 4 x 120 + 42 = 522 lb each, of which 12,000 lb bear 22. Twelve pallets, 48 hives.
    assert Carriage(OPERATION).hives_a_load(BLUE, H1) == 48


def test_gear_that_rides_along_takes_its_weight_off_the_load() -> None:
    # 12,000 - 7,000 lb bear 9 pallets of 522 lb; a weight that is towed takes nothing.
    heavy = BLUE.model_copy(update={"lifting_weight_lb": 7000.0, "lifting_mount": "behind cab"})
    assert Carriage(OPERATION).hives_a_load(heavy, H1) == 36
    assert Carriage(OPERATION).hives_a_load(heavy.model_copy(update={"lifting_mount": "towed or at site"}), H1) == 48


def test_the_price_of_a_hive_is_its_share_of_one_truck_night() -> None:
    # 2 x 24 mi x $1.20 + $60; 2 x 36 / 0.9 = 80 min driving and 2 x 10 + 15 min at stops, at (25 + 20) / 60 = $0.75
    # a minute; shared by the 16 hives wanted (0.7 x 48 would ride); a forklift lifts 4 hives in 3 min, twice.
    expected = (2 * 24 * 1.2 + 60 + (80 + 35) * 0.75) / 16 + 2 * (3 / 4) * 0.75
    assert Carriage(OPERATION).usd_per_hive(H1, IN_CHERRIES) == pytest.approx(expected)


def test_what_tours_tell_of_one_orchard_scales_the_ways_to_it_and_half_of_a_way_between_two() -> None:
    told = Carriage(OPERATION, (CarryCost(contract="Early cherries", factor=1.5),))
    between = Leg("Early cherries", "Late blueberries", dt.date(2027, 5, 10), dt.date(2027, 5, 13))
    plain = Carriage(OPERATION)
    for leg, factor in ((IN_CHERRIES, 1.5), (between, 1.25)):
        assert told.usd_per_hive(H1, leg) == pytest.approx(factor * (plain.usd_per_hive(H1, leg) or 0.0))


@pytest.mark.parametrize(("update", "table"), [
    ({"access": "pickup"}, "contracts"),
    ({"nights_away": "2027-04-23, 2027-04-24, 2027-04-25, 2027-04-26"}, "trucks"),
    ({"drives": "pickup"}, "drivers"),
    ({"speed_factor": 0.21, "cost_usd_per_mile": 1.2}, "trucks"),
])
def test_a_way_that_no_truck_can_drive_has_no_price(update: dict[str, object], table: str) -> None:
    # At 0.21 of the speed 72 min are 343 min: still driven; the last row is the one that has a price.
    rows = getattr(OPERATION, table)
    changed = OPERATION.model_copy(update={table: (rows[0].model_copy(update=update), *rows[1:])})
    price = Carriage(changed).usd_per_hive(H1, IN_CHERRIES)
    assert (price is None) == ("speed_factor" not in update)


def test_a_night_too_long_to_drive_has_no_price() -> None:
    # 9 h at the wheel is the default limit: 2 x 4.6 h is over it, 2 x 4.4 h is not.
    def price(hours: float) -> float | None:
        ways = tuple(
            one.model_copy(update={"minutes": hours * 60 * 0.9}) if one.destination == "Early cherries" else one
            for one in OPERATION.distances
        )
        return Carriage(OPERATION.model_copy(update={"distances": ways})).usd_per_hive(H1, IN_CHERRIES)

    assert price(4.4) is not None
    assert price(4.6) is None
