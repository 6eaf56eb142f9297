"""Axle loads against worked examples that others printed."""

import pytest

from routing.formulas.axle import AxleLayout, axle_loads
from routing.inputs.fleet import AxleGroup, Truck
from routing.inputs.rigging import Hitch
from routing.limits import limit
from routing.loads.pins import holes, slid
from routing.loads.vehicle import Rig


def test_a_body_builders_example_of_a_load_behind_the_middle() -> None:
    # Peterbilt 220 body builder manual, appendix B, figure B-2: wheelbase 214 in, 100 lb at 133 in:
    # 133 / 214 x 100 = 62.14 lb behind (62.1495, cut off), so 37.86 in front (the manual misprints 38.86).
    layout = AxleLayout(truck_centres_in=(0.0, 214.0), truck_ratings_lb=(10_000.0, 21_000.0))
    front, rear = axle_loads(layout, [100.0], truck_arms_in=[133.0]).groups_lb
    assert rear == pytest.approx(62.14, abs=0.01)
    assert front == pytest.approx(100.0 - 62.14, abs=0.01)


def test_sliding_a_trailer_tandem_moves_pounds_between_drive_and_trailer_and_keeps_the_gross() -> None:
    # freightbrokerscourse.com, example 1: steer 11,590, drive 34,700, trailer 32,100; tandem slid forward by
    # two holes of 6 in: drive 33,900, trailer 32,900, gross 78,390 as before. The example takes 400 lb a hole
    # and the steer axle unchanged, that is a kingpin over the drive axles. It names no lengths: ours are
    # a trailer and cargo of 47,000 lb and 480 in from kingpin to tandem at first. Their centre then lies
    # 480 x 32,100 / 47,000 = 327.83 in behind the kingpin, and the tandem at 468 in carries
    # 32,100 x 480 / 468 = 32,923 lb, within 25 lb of the rule of thumb.
    centre_in = 480.0 * 32_100.0 / 47_000.0
    found = []
    for tandem_in in (480.0, 468.0):
        layout = AxleLayout(
            truck_centres_in=(0.0, 180.0), truck_ratings_lb=(12_000.0, 34_000.0), coupling_in=180.0,
            trailer_centres_in=(tandem_in,), trailer_ratings_lb=(34_000.0,),
        )
        found.append(axle_loads(layout, [], truck_arms_in=[], trailer_weights_lb=[47_000.0],
                                trailer_arms_in=[centre_in]).groups_lb)
    (steer_before, drive_before, trailer_before), (steer_after, drive_after, trailer_after) = found
    assert trailer_before == pytest.approx(32_100.0)
    assert trailer_after - trailer_before == pytest.approx(32_900.0 - 32_100.0, abs=25.0)
    assert drive_before - drive_after == pytest.approx(34_700.0 - 33_900.0, abs=25.0)
    assert steer_before == pytest.approx(steer_after, abs=1e-6)
    assert sum(found[0]) == pytest.approx(sum(found[1]))


def test_a_fifth_wheel_ahead_of_the_drive_axles_loads_the_steer_axle() -> None:
    # By hand: wheelbase 200 in, kingpin 20 in ahead of the drive centre, 30,000 lb at 240 in of 480 in.
    # Kingpin 15,000; of that 15,000 x 20 / 200 = 1,500 on the steer axle, 13,500 on the drive axles.
    layout = AxleLayout(
        truck_centres_in=(0.0, 200.0), truck_ratings_lb=(12_000.0, 34_000.0), coupling_in=180.0,
        trailer_centres_in=(480.0,), trailer_ratings_lb=(34_000.0,),
    )
    loads = axle_loads(layout, [], truck_arms_in=[], trailer_weights_lb=[30_000.0], trailer_arms_in=[240.0])
    assert loads.groups_lb == pytest.approx((1_500.0, 13_500.0, 15_000.0))
    assert loads.coupling_lb == pytest.approx(15_000.0)


def test_a_coupling_bears_the_shares_that_a_trailer_maker_prints() -> None:
    # Intech Trailers, gooseneck manual, section 3.1: bumper hitch 10 to 15 %, gooseneck 20 to 25 % of the loaded trailer.
    shares = [limit(f"coupling_share_{kind}_{end}").value for kind in ("ball", "gooseneck") for end in ("low", "high")]
    assert shares == [0.10, 0.15, 0.20, 0.25]


def test_pins_moved_as_in_the_printed_example_shift_the_printed_pounds() -> None:
    # freightbrokerscourse.com, example 1: drive 34,700, trailer 32,100; two holes of 6 in forward: 33,900 and 32,900.
    # Our own lengths, as above; the whole trailer with its cargo is taken as what does not slide.
    truck = Truck(name="T", vehicle_class="semi", base="Home", deck_on="trailer", deck_length_in=576.0, deck_width_in=102.0,
                  deck_height_in=58.0, deck_front_in=-36.0, payload_lb=46000.0, gross_rating_lb=80000.0, coupling_in=180.0,
                  unloading="side", cost_usd_per_mile=3.0)  # fmt: skip
    rows = ((1, 0.0, 11_590.0, "truck"), (2, 180.0, 34_700.0, "truck"), (3, 480.0, 32_100.0, "trailer"))
    axles = tuple(AxleGroup(truck="T", position=place, axles=1, centre_in=at_in, empty_lb=lb, rating_lb=40000.0, unit=unit)
                  for place, at_in, lb, unit in rows)  # fmt: skip
    hitch = Hitch(truck="T", kind="fifth wheel", trailer_empty_lb=40_000.0, slide_from_in=460.0, slide_until_in=490.0,
                  slide_step_in=6.0, sliding_lb=0.0)  # fmt: skip
    moved = slid(Rig(truck=truck, axle_groups=axles, tie_downs=(), hitch=hitch), 468.0)
    steer, drive, trailer = (one.empty_lb for one in moved.axle_groups)
    assert steer == pytest.approx(11_590.0)
    assert drive == pytest.approx(33_900.0, abs=25.0)
    assert trailer == pytest.approx(32_900.0, abs=25.0)
    assert steer + drive + trailer == pytest.approx(78_390.0)


def test_a_body_builders_water_level_load() -> None:
    # Peterbilt 220 body builder manual, appendix B, figure B-5: 14,500 lb at half of 168 in behind 72 in, that is at
    # 156 in of a wheelbase of 214 in: 10,570 lb behind and 3,929.9 in front.
    layout = AxleLayout(truck_centres_in=(0.0, 214.0), truck_ratings_lb=(10_000.0, 21_000.0))
    front, rear = axle_loads(layout, [14_500.0], truck_arms_in=[168.0 / 2 + 72.0]).groups_lb
    assert rear == pytest.approx(10_570.0, abs=0.1)
    assert front == pytest.approx(3_929.9, abs=0.1)


def test_an_overweight_trailer_tandem_is_slid_back_by_the_printed_number_of_holes() -> None:
    # freightbrokerscourse.com, example 2: steer 11,320, drive 31,300, trailer 35,050, gross 77,670; holes 4 in apart, 250 lb
    # each: 1,050 lb too many ask for five holes. A hole moves 250 lb where 35,050 x 4 / (c + 4) = 250, at c = 556.8 in.
    truck = Truck(name="T", vehicle_class="semi", base="Home", deck_on="trailer", deck_length_in=576.0, deck_width_in=102.0,
                  deck_height_in=58.0, deck_front_in=-36.0, payload_lb=46000.0, gross_rating_lb=80000.0, coupling_in=180.0,
                  unloading="side", cost_usd_per_mile=3.0)  # fmt: skip
    rows = ((1, 0.0, 1, 11_320.0, "truck"), (2, 180.0, 2, 31_300.0, "truck"), (3, 556.8, 2, 35_050.0, "trailer"))
    axles = tuple(AxleGroup(truck="T", position=place, axles=count, spread_in=49.0 * (count - 1), centre_in=at_in, empty_lb=lb,
                            rating_lb=40000.0, unit=unit) for place, at_in, count, lb, unit in rows)  # fmt: skip
    hitch = Hitch(truck="T", kind="fifth wheel", trailer_empty_lb=40_000.0, slide_from_in=556.8, slide_until_in=600.8,
                  slide_step_in=4.0, sliding_lb=0.0)  # fmt: skip
    rig = Rig(truck=truck, axle_groups=axles, tie_downs=(), hitch=hitch)
    legal = [hole.number - 1 for hole in holes(rig, []) if slid(rig, hole.centre_in).axle_groups[2].empty_lb <= 34_000.0]
    assert min(legal) == 5
    assert slid(rig, 560.8).axle_groups[2].empty_lb == pytest.approx(35_050.0 - 250.0, abs=0.5)
