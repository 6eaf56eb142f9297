"""The load in words: nothing broken, unknown or over a limit is left out."""

from fixtures.tiny import tiny_plan
from routing.finding import at_most, not_checked
from routing.sheets.load_sheet import feet_and_inches_down, load_sheet, load_sheets


def _load_and_truck():
    plan = tiny_plan()
    return next(
        load for load in plan.loads if load.truck_night == "2027-05-11 Old blue"
    ), plan.operation.trucks[0]


def test_the_load_of_the_night_is_told_with_its_height_and_straps():
    plan = tiny_plan()
    load, _ = _load_and_truck()
    sheet = load_sheets(plan, plan.truck_nights[1])[0]
    assert (sheet.hives, sheet.straps_needed, sheet.straps_available) == (
        22,
        load.straps_needed,
        load.straps_available,
    )
    assert sheet.hives_words == "22 hives in 10 units, lots A, B"  # 6 loose and 4 pallets
    assert not sheet.straps_short
    assert not sheet.top_over


def test_the_weight_of_all_that_rolls_is_told_to_the_next_pound():
    load, truck = _load_and_truck()
    states = tuple(one.model_copy(update={"gross_high_lb": 12_193.2}) for one in load.states)
    assert load_sheet(load.model_copy(update={"states": states}), truck).gross_words == "up to 12,194 lb"


def test_broken_findings_come_before_unknown_ones_and_met_ones_are_counted():
    load, truck = _load_and_truck()
    met = at_most("a", "x", measured=1, limit=2, force="law", source="s")
    broken = at_most("b", "x", measured=3, limit=2, force="law", source="s")
    unknown = not_checked("c", "x", force="law", source="s", note="n")
    sheet = load_sheet(load.model_copy(update={"findings": (unknown, met, broken)}), truck)
    assert [line.split(":")[0] for line in sheet.problems] == ["LIMIT BROKEN", "NOT CHECKED"]
    assert sheet.checks_met == 1


def test_an_axle_is_told_at_its_heaviest_over_the_whole_way():
    load, truck = _load_and_truck()
    heaviest = max(axle.high_lb for state in load.states for axle in state.axles if axle.group == 2)
    assert load_sheet(load, truck).axles[1].high_words == f"{round(heaviest):,} lb"


def test_an_axle_over_its_limit_is_marked_even_if_only_in_one_state():
    load, truck = _load_and_truck()
    axle = load.states[0].axles[0]
    heavy = axle.model_copy(update={"high_lb": axle.limit_lb + 1})
    state = load.states[0].model_copy(update={"axles": (heavy, *load.states[0].axles[1:])})
    sheet = load_sheet(load.model_copy(update={"states": (state, *load.states[1:])}), truck)
    assert [line.over for line in sheet.axles] == [True, False]


def test_too_few_straps_and_too_high_a_load_are_marked():
    load, truck = _load_and_truck()
    bad = load.model_copy(update={"straps_needed": 9, "straps_available": 8, "top_of_load_in": 162.5})
    sheet = load_sheet(bad, truck)
    assert sheet.straps_short
    assert sheet.top_over
    assert (sheet.top_words, sheet.top_limit_words) == ("13 ft 7 in", "13 ft 6 in")


def test_a_bridge_is_never_told_higher_than_it_is():
    assert feet_and_inches_down(161.9) == "13 ft 5 in"


def test_what_the_crew_does_beside_the_deck_plan_is_told():
    load = tiny_plan().loads[0].model_copy(update={"rehandled": 2, "to_do": ("Stop 2: lift B1 off and on again.",)})
    sheet = load_sheet(load, tiny_plan().operation.trucks[0])
    assert sheet.rehandled_words == "2 units must be lifted twice. Stop 2: lift B1 off and on again."
