"""Axle loads against worked examples that others printed."""

import pytest

from routing.formulas.axle import AxleLayout, axle_loads


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
