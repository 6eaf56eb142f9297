"""Which hives stand at which stake."""

from fixtures.tiny import tiny_plan
from routing.inputs.contract import Drop
from routing.plan_record import Plan
from routing.sheets.stakes import stop_stakes

APRIL, MAY = "2027-04-24 Old blue", "2027-05-11 Old blue"


def _with_drops(plan: Plan, *most_hives: int) -> Plan:
    drops = tuple(
        Drop(
            contract="Early cherries",
            name=str(number),
            latitude_deg=43.97,
            longitude_deg=-86.28,
            most_hives=most,
        )
        for number, most in enumerate(most_hives, start=1)
    )
    return plan.model_copy(update={"operation": plan.operation.model_copy(update={"drops": drops})})


def _counts(plan: Plan, night: str, stop: int) -> list[tuple[str, int, int]]:
    return [(one.name, one.set_down, one.fetched) for one in stop_stakes(plan)[night, stop].stakes]


def test_stakes_are_filled_in_order_each_up_to_its_most():
    # 16 hives on 4 pallets, A1 at the front end; 8 at each stake. What stands at the rear comes off first.
    assert _told(tiny_plan()) == [("1", 8, "A3 to A4"), ("2", 8, "A1 to A2")]


def _told(plan: Plan) -> list[tuple[str, int, str]]:
    return [(one.name, one.set_down, one.labels) for one in stop_stakes(plan)[APRIL, 2].stakes]


def test_the_upper_layer_comes_off_before_what_it_stands_on():
    plan = tiny_plan()
    tiers = {"A1": 1, "A2": 2, "A3": 1, "A4": 2}
    loads = tuple(
        load.model_copy(update={"placements": tuple(
            one.model_copy(update={"tier": tiers.get(one.label, one.tier)}) for one in load.placements
        )})
        for load in plan.loads
    )  # fmt: skip
    assert _told(plan.model_copy(update={"loads": loads})) == [("1", 8, "A2, A4"), ("2", 8, "A1, A3")]


def test_the_order_of_the_table_is_the_order_of_the_drive():
    # The same stakes written the other way about: the second now gets what comes off first.
    plan = tiny_plan()
    turned = plan.operation.model_copy(update={"drops": plan.operation.drops[::-1]})
    assert _told(plan.model_copy(update={"operation": turned})) == [("2", 8, "A3 to A4"), ("1", 8, "A1 to A2")]


def test_a_pallet_is_not_split_between_two_stakes():
    # Pallets of 4: two go to a stake for 11, the other two to one for 9.
    assert _counts(_with_drops(tiny_plan(), 11, 9), APRIL, 2) == [("1", 8, 0), ("2", 8, 0)]


def test_hives_for_which_no_stake_has_room_are_told():
    # 4 + 8 of 16.
    plan = _with_drops(tiny_plan(), 4, 8)
    assert _counts(plan, APRIL, 2) == [("1", 4, 0), ("2", 8, 0)]
    assert stop_stakes(plan)[APRIL, 2].note.startswith("NO STAKE HAS ROOM for 4 hives")


def test_hives_are_fetched_from_where_they_were_set_down():
    assert _counts(tiny_plan(), MAY, 2) == [("1", 0, 8), ("2", 0, 8)]


def test_an_orchard_without_stakes_says_to_ask_the_grower():
    plan = _with_drops(tiny_plan())
    assert stop_stakes(plan)[APRIL, 2].stakes == ()
    assert "No stakes were given" in stop_stakes(plan)[APRIL, 2].note


def test_stakes_taken_by_an_earlier_truck_are_not_given_again():
    # The same 16 hives set down twice, as if by a second truck: only 4 + 8 of 28 are left for it.
    plan = _with_drops(tiny_plan(), 8, 8, 4, 8)
    april = plan.truck_nights[0]
    later = april.model_copy(update={"id": "2027-04-24 other", "truck": "Old blue"})
    both = plan.model_copy(update={"truck_nights": (april, later)})
    first, second = _counts(both, APRIL, 2), _counts(both, later.id, 2)
    assert first == [("1", 8, 0), ("2", 8, 0)]
    assert second == [("3", 4, 0), ("4", 8, 0)]
