"""Small trucks and units that the tests of loads share."""

import datetime as dt

import pytest

from routing.inputs.fleet import AxleGroup, TieDown, Truck
from routing.inputs.rigging import Hitch
from routing.loads.capacity import Unit
from routing.loads.deck import Batch
from routing.loads.load import Load, Placement
from routing.loads.order import Ride
from routing.loads.vehicle import Rig
from routing.nights.tour import Lot

TRUCK = Truck(
    name="Old blue",
    vehicle_class="straight truck",
    base="Home",
    deck_length_in=240.0,
    deck_width_in=96.0,
    deck_height_in=42.0,
    deck_front_in=60.0,
    payload_lb=12000.0,
    gross_rating_lb=25900.0,
    headboard=True,
    unloading="side",
    cost_usd_per_mile=1.0,
)
AXLES = (
    AxleGroup(truck="Old blue", position=1, axles=1, centre_in=0.0, empty_lb=5400.0, rating_lb=8500.0),
    AxleGroup(truck="Old blue", position=2, axles=1, centre_in=190.0, empty_lb=6400.0, rating_lb=17500.0),
)
STRAPS = (TieDown(truck="Old blue", kind="webbing strap", size="4 in", count=8, wll_lb=5400.0),)
PALLET = Unit(
    length_in=45.0,
    width_in=37.0,
    height_in=25.75,
    hives=4,
    pallet_lb=42.0,
    hive_low_lb=95.0,
    hive_high_lb=120.0,
)
HIVE = Unit(
    length_in=22.0,
    width_in=16.25,
    height_in=20.5,
    hives=1,
    pallet_lb=0.0,
    hive_low_lb=70.0,
    hive_high_lb=90.0,
)


BEHIND_A_PICKUP = (
    AxleGroup(truck="Old blue", position=1, axles=1, centre_in=0.0, empty_lb=4300.0, rating_lb=5600.0),
    AxleGroup(truck="Old blue", position=2, axles=1, centre_in=160.0, empty_lb=3700.0, rating_lb=9600.0),
    AxleGroup(truck="Old blue", position=3, unit="trailer", axles=1, centre_in=200.0, empty_lb=1750.0, rating_lb=10400.0),
)
BALL = Hitch(truck="Old blue", kind="ball", trailer_empty_lb=2000.0, coupling_rating_lb=1500.0)


def make_rig(axles=AXLES, straps=STRAPS, **truck):
    return Rig(truck=TRUCK.model_copy(update=truck), axle_groups=axles, tie_downs=straps)


def make_trailer(hitch=BALL, **truck):
    """Return a pickup with a trailer on a ball: deck from 40 in behind the ball, 250 of 2,000 lb on the ball empty."""
    about = {"vehicle_class": "pickup with trailer", "deck_on": "trailer", "deck_front_in": 40.0, "coupling_in": 210.0,
             "deck_length_in": 222.0, "payload_lb": 7000.0, "gross_rating_lb": 20000.0} | truck  # fmt: skip
    return make_rig(axles=BEHIND_A_PICKUP, **about).model_copy(update={"hitch": hitch})


def make_sliding_semi(**hitch):
    """Return the semi with pins from 400 to 490 in every 6 in; what slides weighs 4,000 lb, the trailer 14,000 lb."""
    about = {"truck": "Old blue", "kind": "fifth wheel", "trailer_empty_lb": 14000.0, "slide_from_in": 400.0,
             "slide_until_in": 490.0, "slide_step_in": 4.0, "sliding_lb": 4000.0} | hitch  # fmt: skip
    return make_semi().model_copy(update={"hitch": Hitch.model_validate(about)})


def make_semi():
    truck = TRUCK.model_copy(
        update={
            "vehicle_class": "semi",
            "deck_on": "trailer",
            "deck_length_in": 576.0,
            "deck_width_in": 102.0,
            "deck_height_in": 58.0,
            "deck_front_in": -36.0,
            "most_tiers": 3,
            "headboard": False,
            "payload_lb": 46000.0,
            "gross_rating_lb": 80000.0,
            "coupling_in": 200.0,
        }
    )
    axles = (
        AXLES[0].model_copy(update={"empty_lb": 11000.0, "rating_lb": 12000.0}),
        AXLES[1].model_copy(
            update={
                "axles": 2,
                "spread_in": 52.0,
                "centre_in": 205.0,
                "empty_lb": 13000.0,
                "rating_lb": 34000.0,
            }
        ),
        AxleGroup(
            truck="Old blue",
            position=3,
            unit="trailer",
            axles=2,
            centre_in=440.0,
            spread_in=49.0,
            empty_lb=9000.0,
            rating_lb=34000.0,
        ),
    )
    return Rig(truck=truck, axle_groups=axles, tie_downs=STRAPS)


def make_batch(lot, number, ride, unit=PALLET):
    """Return ``number`` units of one lot that ride from one stop to another."""
    pallets = number if unit.hives > 1 else 0
    row = Lot(
        lot=lot,
        group=f"G{lot}",
        hives=number * unit.hives,
        pallets=pallets,
        origin="O",
        destination="D",
        purpose="in",
    )
    return Batch(row, Ride(*ride), unit.hives, number, unit)


def make_placement(label="A1", **changes):
    """Return one pallet at the headboard, on the left."""
    base = Placement(
        label=label,
        lot=label[0],
        group="G",
        hives=4,
        origin="O",
        destination="D",
        drop_order=1,
        front_in=0.0,
        left_in=0.0,
        tier=1,
        length_in=37.0,
        width_in=45.0,
        height_in=25.75,
        weight_low_lb=422.0,
        weight_high_lb=522.0,
    )
    return base.model_copy(update=changes)


def make_load(*placements):
    return Load(
        truck_night="2027-04-12 Old blue",
        number=1,
        truck="Old blue",
        night=dt.date(2027, 4, 12),
        hives=sum(unit.hives for unit in placements),
        placements=placements,
        top_of_load_in=0.0,
        straps_needed=0,
        straps_available=0,
        states=(),
        rehandled=0,
        findings=(),
    )


@pytest.fixture(scope="session")
def rig():
    return make_rig


@pytest.fixture(scope="session")
def trailer():
    return make_trailer


@pytest.fixture(scope="session")
def sliding_semi():
    return make_sliding_semi


@pytest.fixture(scope="session")
def semi():
    return make_semi()


@pytest.fixture(scope="session")
def batch():
    return make_batch


@pytest.fixture(scope="session")
def placement():
    return make_placement


@pytest.fixture(scope="session")
def load():
    return make_load


@pytest.fixture(scope="session")
def loose():
    return HIVE
