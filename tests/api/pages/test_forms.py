"""What is typed into the forms of changes and of new contracts, and what it comes to."""

import datetime as dt

import pytest

from api.pages.change_form import ChangeForm, form_of
from api.pages.offer_form import OfferForm
from fixtures.tiny import tiny_operation
from routing.changes.change import BloomShift, ColoniesLost, ColoniesWanted, DriverAway, NoMoves, TruckAway
from routing.errors import OperationError

NIGHTS = (dt.date(2027, 5, 10), dt.date(2027, 5, 11))
NEW = {
    "name": "Small pears",
    "grower": "N. Imaginary",
    "crop": "pear",
    "colonies": "8",
    "min_average_frames": "7",
    "min_colony_frames": "5",
    "access": "straight truck",
    "loading": "hand",
    "in_from": "2027-05-12",
    "in_until": "2027-05-14",
    "out_from": "2027-05-25",
    "out_until": "2027-05-29",
    "fee_usd_per_colony": "65.5",
    "latitude_deg": "43.8",
    "longitude_deg": "-86.0",
}


def test_every_kind_of_change_is_read_and_several_at_once() -> None:
    form = form_of(
        {
            "bloom_contract": "Early cherries",
            "bloom_days": "-3",
            "truck": "Old blue",
            "truck_from": "2027-05-10",
            "truck_until": "2027-05-11",
            "driver": "P. Nobody",
            "driver_from": "2027-05-10",
            "still_from": "2027-05-10",
            "still_until": "2027-05-11",
            "lost_group": "H1",
            "lost_hives": " 12 ",
            "wanted_contract": "Late blueberries",
            "wanted_colonies": "20",
        }
    )
    assert form.changes() == (
        BloomShift(kind="bloom", contract="Early cherries", days=-3),
        TruckAway(kind="truck away", truck="Old blue", nights=NIGHTS),
        DriverAway(kind="driver away", driver="P. Nobody", nights=NIGHTS[:1]),
        NoMoves(kind="no moves", nights=NIGHTS),
        ColoniesLost(kind="colonies lost", group="H1", hives=12),
        ColoniesWanted(kind="colonies wanted", contract="Late blueberries", colonies=20),
    )


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ({}, "at least one of the changes filled in"),
        ({"lost_hives": "3"}, "Group: found nothing"),
        ({"lost_group": "H1", "lost_hives": "many"}, "Hives lost: found 'many', allowed: a whole number from 1 to 5000"),
        ({"lost_group": "H1", "lost_hives": "9" * 50}, "a whole number from 1 to 5000"),
        ({"bloom_contract": "Early cherries", "bloom_days": "-61"}, "a whole number from -60 to 60"),
        ({"bloom_contract": "Early cherries", "bloom_days": "²"}, "a whole number from -60 to 60"),
        ({"truck": "Old blue", "truck_from": "soon"}, "First night: found 'soon', allowed: a date"),
        ({"truck": "Old blue", "truck_until": "2027-05-10"}, "First night: found nothing, allowed: a date"),
        ({"truck": "Old blue", "truck_from": "2027-05-10", "truck_until": "2027-05-09"}, "a night not before the first"),
        ({"still_from": "2027-05-10", "still_until": "9999-12-31"}, "at most 400 nights in all"),
    ],
)
def test_a_field_that_cannot_be_read_is_told_by_its_label(typed: dict[str, str], told: str) -> None:
    with pytest.raises(OperationError) as refused:
        form_of(typed).changes()
    assert told in " ".join(str(fault) for fault in refused.value.faults)


def test_all_wrong_fields_are_told_at_once() -> None:
    with pytest.raises(OperationError) as refused:
        form_of({"lost_hives": "x", "bloom_days": "y", "still_from": "z"}).changes()
    assert len(refused.value.faults) == 3


def test_the_first_night_still_to_come_lies_in_the_season() -> None:
    tiny = tiny_operation()
    typed = ("", "2020-01-01", "2027-05-10", "2099-01-01")
    found = [ChangeForm({"next_night": text}).next_night(tiny) for text in typed]
    assert found == [tiny.first_night, tiny.first_night, dt.date(2027, 5, 10), tiny.last_night]
    with pytest.raises(OperationError):
        ChangeForm({"next_night": "soon"}).next_night(tiny)


def test_a_new_contract_stands_in_the_operation_as_an_offer_with_its_gate() -> None:
    operation = OfferForm(NEW).operation(tiny_operation())
    new, gate = operation.contracts[-1], operation.gates[-1]
    assert (new.name, new.colonies, new.fee_usd_per_colony, new.signed) == ("Small pears", 8, 65.5, False)
    assert (gate.contract, gate.latitude_deg, gate.longitude_deg) == ("Small pears", 43.8, -86.0)
    assert operation.contracts[:-1] == tiny_operation().contracts


def test_a_contract_that_is_chosen_needs_no_new_one() -> None:
    form = OfferForm({"chosen": "Early cherries", "name": "ignored"})
    assert (form.contract, form.operation(tiny_operation())) == ("Early cherries", tiny_operation())


@pytest.mark.parametrize(
    ("field", "text", "told"),
    [
        ("colonies", "many", "contracts[2].colonies"),
        ("colonies", "8.5", "contracts[2].colonies"),
        ("colonies", "inf", "contracts[2].colonies"),
        ("in_from", "soon", "contracts[2].in_from"),
        ("latitude_deg", "", "gates[3].latitude_deg"),
        ("name", "Early cherries", "Early cherries"),
        ("name", "", "name"),
    ],
)
def test_what_the_door_refuses_of_a_workbook_it_refuses_of_the_form(field: str, text: str, told: str) -> None:
    with pytest.raises(OperationError) as refused:
        OfferForm(NEW | {field: text}).operation(tiny_operation())
    assert told in " ".join(str(fault) for fault in refused.value.faults)
