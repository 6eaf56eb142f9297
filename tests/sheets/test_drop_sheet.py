"""The drop sheet says all that is in the plan, and in the place's own time."""

import datetime as dt

import pytest

from fixtures.nasty import nasty_plan
from fixtures.tiny import tiny_plan
from routing.finding import at_most
from routing.inputs.operation import Operation, Temperature
from routing.plan_record import Plan
from routing.sheets.drop_sheet import drop_sheet, drop_sheets

MAY = "2027-05-11 Old blue"


def _with_contract(plan: Plan, name: str, **changes: object) -> Plan:
    contracts = tuple(
        one.model_copy(update=changes) if one.name == name else one for one in plan.operation.contracts
    )
    return plan.model_copy(update={"operation": plan.operation.model_copy(update={"contracts": contracts})})


def _with_operation(plan: Plan, **changes: object) -> Plan:
    operation: Operation = plan.operation.model_copy(update=changes)
    return plan.model_copy(update={"operation": operation})


def _night_on(plan: Plan, night: dt.date, *, later_h: float) -> Plan:
    """Return the plan with its May night alone, begun on ``night`` and ``later_h`` later in the evening."""
    old = plan.truck_nights[1]
    ahead = dt.timedelta(days=(night - old.night).days, hours=later_h)

    def moved(moment: dt.datetime) -> dt.datetime:
        # The first stop moves on the wall clock, the others keep their distance in true time.
        start = old.stops[0].arrive
        return ((start + ahead).astimezone(dt.UTC) + (moment - start)).astimezone(start.tzinfo)

    stops = tuple(
        stop.model_copy(update={"arrive": moved(stop.arrive), "leave": moved(stop.leave)})
        for stop in old.stops
    )
    return plan.model_copy(
        update={"truck_nights": (old.model_copy(update={"night": night, "stops": stops}),)}
    )


def test_every_stop_of_the_night_is_on_the_sheet_with_its_times():
    sheet = drop_sheet(tiny_plan(), MAY)
    told = [(stop.number, stop.place, stop.arrive_words, stop.zone) for stop in sheet.stops]
    assert told == [
        (0, "Home yard", "9:32 pm", "EDT"), (1, "Home yard", "9:32 pm", "EDT"),
        (2, "Early cherries", "10:46 pm", "EDT"),
        (3, "Late blueberries", "12:08 am", "EDT"),
        (4, "Home yard", "1:24 am", "EDT"),
    ]  # fmt: skip


def test_stops_after_midnight_say_the_new_date():
    stops = drop_sheet(tiny_plan(), MAY).stops
    assert [stop.after_midnight for stop in stops] == [False, False, False, True, True]
    assert stops[3].date_words == "Wed May 12, AFTER MIDNIGHT"


def test_the_running_count_on_deck_is_six_then_twenty_two_then_none():
    # 6 loose of L1; + 16 of H1; all 22 off.
    stops = drop_sheet(tiny_plan(), MAY).stops
    assert [stop.on_deck_after for stop in stops] == [0, 6, 22, 0, 0]
    assert [stop.doing_words for stop in stops] == ["", "PICK UP 6", "PICK UP 16", "SET DOWN 22", ""]


def test_lots_carry_their_labels_from_the_deck_plan():
    lot = drop_sheet(tiny_plan(), MAY).stops[2].picked_up[0]
    assert (lot.lot, lot.group, lot.count_words, lot.labels) == (
        "B",
        "H1",
        "16 hives on 4 pallets",
        "B1 to B4",
    )
    assert lot.other_end == "to Late blueberries"


def test_the_gate_of_the_orchard_is_its_first_gate():
    stop = drop_sheet(tiny_plan(), MAY).stops[2]
    assert (stop.gate, stop.gate_note) == ("North gate", "chain, no lock")
    assert stop.geo_uri == "geo:43.978500,-86.289000"
    assert stop.hazards == "power line over the north gate"


def test_the_dark_hours_are_rounded_to_the_safe_side():
    # Dusk at Early cherries is 21:33:16, dawn at Late blueberries 05:47:48.
    stops = drop_sheet(tiny_plan(), MAY).stops
    assert stops[2].dark_words == "Lift no hive before 9:34 pm EDT."
    assert stops[3].dark_words == "Every hive on the ground by 5:47 am EDT, Wed May 12."


def test_unknown_dark_hours_are_said_to_be_unknown():
    plan = tiny_plan().model_copy(update={"windows": ()})
    assert drop_sheet(plan, MAY).stops[2].dark_words.startswith("NOT CHECKED")


def test_calls_begin_with_911_and_name_the_spray_contact_of_each_orchard():
    sheet = drop_sheet(tiny_plan(), MAY)
    calls = [(call.who, call.number) for call in sheet.calls]
    assert calls == [
        ("Fire, crash, injury, bad sting", "911"), ("Bees loose or truck down: Tiny Bees", "555-0112"),
        ("Driver: P. Nobody", "555-0120"),
    ]  # fmt: skip
    assert [(one.place, one.sprays) for one in sheet.place_calls][1] == ("Late blueberries", "Z. Fancy, 555-0114")


def test_a_missing_spray_contact_is_not_passed_over():
    sheet = drop_sheet(_with_contract(tiny_plan(), "Early cherries", pesticide_contact=""), MAY)
    assert sheet.stops[2].pesticide_contact == "NOT GIVEN: ask the grower"
    assert [one.sprays for one in sheet.place_calls if one.place == "Early cherries"] == ["NOT GIVEN"]


def test_an_orchard_in_another_zone_is_told_on_its_own_clock():
    # Early cherries on Chicago's clock: 10:46 pm in Detroit is 9:46 pm there.
    stops = drop_sheet(_with_contract(tiny_plan(), "Early cherries", time_zone="America/Chicago"), MAY).stops
    assert (stops[2].arrive_words, stops[2].zone) == ("9:46 pm", "CDT")
    assert "1 hour behind the stop before (EDT before, CDT now)" in stops[2].clock_note
    assert "1 hour ahead of the stop before" in stops[3].clock_note
    assert stops[1].clock_note == ""


def test_the_cover_names_the_stops_from_which_the_clock_reads_otherwise():
    assert drop_sheet(tiny_plan(), MAY).clock_note == ""
    sheet = drop_sheet(_with_contract(tiny_plan(), "Early cherries", time_zone="America/Chicago"), MAY)
    assert "from stop 2, 3 on" in sheet.clock_note


def test_a_route_over_the_start_of_summer_time_says_so_at_the_stop_after_it():
    # 23:32 on 13 March 2027; stop 3 comes 156 min on: 02:08 EST, which reads 3:08 am EDT.
    plan = _night_on(tiny_plan(), dt.date(2027, 3, 13), later_h=2)
    stops = drop_sheet(plan, plan.truck_nights[0].id).stops
    assert (stops[3].arrive_words, stops[3].zone) == ("3:08 am", "EDT")
    assert "set forward 1 hour (EST before, EDT now)" in stops[3].clock_note


def test_a_plan_read_back_from_its_file_makes_the_same_sheet():
    plan = tiny_plan()
    again = Plan.model_validate_json(plan.model_dump_json())
    assert drop_sheets(again) == drop_sheets(plan)


def test_a_night_without_a_deck_plan_says_that_weights_are_unknown():
    sheet = drop_sheet(tiny_plan().model_copy(update={"loads": ()}), MAY)
    assert "no deck plan was made" in sheet.problems[0]
    assert sheet.stops[1].picked_up[0].deck_words == "no deck plan was made"


def test_a_broken_finding_of_the_night_is_printed():
    plan = tiny_plan()
    broken = at_most(
        "duty in one night", MAY, measured=13.0, limit=11.0, unit="h", force="own figure", source="own"
    )
    night = plan.truck_nights[1].model_copy(update={"findings": (broken,)})
    sheet = drop_sheet(plan.model_copy(update={"truck_nights": (night,)}), MAY)
    assert sheet.problems == (
        "LIMIT BROKEN: duty in one night, 2027-05-11 Old blue: 13 h against a limit of 11 h, "
        "wrong by 2 h. (own figure: own)",
    )


def test_temperature_is_asked_for_when_none_was_given():
    checks = " ".join(drop_sheet(tiny_plan(), MAY).stops[2].checks)
    assert "Temperature ____ F (none was given" in checks


def test_a_warm_night_asks_for_air_at_the_place_it_was_given_for():
    row = Temperature(place="Early cherries", night=dt.date(2027, 5, 11), sunset_f=71, low_f=58, sunrise_f=59)
    everywhere = Temperature(night=dt.date(2027, 5, 11), sunset_f=50, low_f=40, sunrise_f=41)
    stops = drop_sheet(_with_operation(tiny_plan(), temperatures=(everywhere, row)), MAY).stops
    assert "71 F at sunset" in " ".join(stops[2].checks)
    assert "WARM" in " ".join(stops[2].checks)
    assert "50 F at sunset" in " ".join(stops[1].checks)
    assert "WARM" not in " ".join(stops[1].checks)


def test_the_checks_ask_for_straps_entrances_net_and_tie_downs_after_the_first_miles():
    checks = " ".join(drop_sheet(tiny_plan(), MAY).stops[1].checks)
    for word in (
        "strapped",
        "Entrances closed or screened",
        "net",
        "tie-downs tight",
        "after the first few miles",
    ):
        assert word in checks


def test_cautions_speak_of_each_danger_and_put_local_rules_first():
    cautions = " ".join(drop_sheet(tiny_plan(), MAY).cautions)
    for word in ("Night driving", "Lifting", "Stings", "Sprays", "local codes", "licensed people"):
        assert word in cautions


def test_each_danger_is_told_in_one_place_with_what_the_plan_adds():
    plan = tiny_plan().model_copy(update={"cautions": ("Lifting: use gear.", "Floods: stay out.", "Ask locally.")})
    cautions = drop_sheet(plan, MAY).cautions
    dangers = [line.partition(":")[0] for line in cautions if ":" in line]
    assert len(dangers) == len(set(dangers))
    assert next(line for line in cautions if line.startswith("Lifting")).endswith("Use gear.")
    assert cautions[-2:] == ("Floods: stay out.", "Ask locally.")


def test_what_the_weather_does_to_the_dark_hours_is_told_in_brackets():
    plan = tiny_plan()
    windows = tuple(one.model_copy(update={"note": "no temperature given"}) for one in plan.windows)
    words = drop_sheet(plan.model_copy(update={"windows": windows}), MAY).stops[2].dark_words
    assert words == "Lift no hive before 9:34 pm EDT (no temperature given)."


def test_an_unknown_truck_night_is_refused():
    with pytest.raises(KeyError):
        drop_sheet(tiny_plan(), "2027-05-12 Old blue")


def test_nasty_names_reach_the_rows_unchanged():
    places = {stop.place for stop in drop_sheets(nasty_plan())[1].stops}
    assert "+Ωμέγα ]]> --> \\u{1F41D} `x` @x =y" in places
