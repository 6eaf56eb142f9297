"""The plan in plain lines."""

from fixtures.tiny import tiny_operation, tiny_plan
from routing.plan import make_plan
from routing.sheets.summary import nothing_planned, summary_lines, usd

NOTHING_PROMISED = {"contracts": (), "gates": (), "blocks": (), "drops": ()}


def _text() -> str:
    return "\n".join(summary_lines(tiny_plan()))


def test_cost_bound_gap_and_what_the_bound_covers_are_told_first():
    # (1017.35 - 719.90) / 1017.35 = 0.2924
    text = _text()
    assert "Cost $1,017.35; proven: no plan costs less than $719.90 (gap 29.2%)." in text
    assert "The bound covers every plan for this operation" in text


def test_a_promise_not_kept_is_told_with_reason_proof_and_remedies():
    text = _text()
    assert "NOT KEPT: 1 promise." in text
    assert "Late blueberries: short, 2 colonies, $170.00 (proven: no plan can keep it)." in text
    assert "Why: Only 22 hives can serve it" in text
    assert text.count("Would make it keepable:") == 2


def test_a_promise_not_proven_unkeepable_says_so():
    plan = tiny_plan()
    unkept = plan.unkept[0].model_copy(update={"proven": False})
    assert "not proven: none was found" in "\n".join(
        summary_lines(plan.model_copy(update={"unkept": (unkept,)}))
    )


def test_the_promise_not_kept_is_marked_in_the_list_of_promises_too():
    lines = [line for line in summary_lines(tiny_plan()) if line.startswith("  ") and " colonies at " in line]
    assert [(line.split(" (")[0].strip(), line.endswith(", NOT KEPT")) for line in lines] == [
        ("Early cherries", False), ("Late blueberries", True),
    ]  # fmt: skip


def test_checks_are_counted_by_how_they_came_out():
    plan = tiny_plan()
    every = [*plan.findings]
    every += [one for night in plan.truck_nights for one in night.findings]
    every += [one for load in plan.loads for one in load.findings]
    count = {status: sum(one.status == status for one in every) for status in ("ok", "broken", "unknown")}
    told = f"Checks: {count['ok']} met, {count['broken']} broken, {count['unknown']} not made."
    assert told in summary_lines(plan)


def test_gear_that_is_short_is_shouted():
    assert "migratory lid: 6 needed, 4 on hand, SHORT BY 2" in _text()
    assert "load net: 1 needed, not counted" in _text()


def test_checks_not_made_are_listed():
    assert "NOT CHECKED (3 times): weight limits of this State's roads" in _text()


def test_a_run_that_was_stopped_says_so():
    plan = tiny_plan().model_copy(update={"stopped_early": True})
    assert any(line.startswith("Stopped early") for line in summary_lines(plan))


def test_a_search_stopped_before_its_first_move_says_so_and_gives_no_reasons_that_nobody_sought():
    plan = make_plan(tiny_operation(), stop=lambda: True)
    assert nothing_planned(plan).startswith("Stopped before the first move was planned")
    lines = summary_lines(plan)
    assert lines[1].startswith("Stopped before the first move was planned: the plan is empty")
    assert "Nights: none." in lines
    assert not any("No plan was found" in line for line in lines)
    assert "not proven yet" in lines[2]


def test_time_that_ran_out_before_the_first_move_is_told_as_such():
    plan = make_plan(tiny_operation(), seconds=1e-9)
    assert nothing_planned(plan).startswith("The time ran out before the first move was planned")


def test_a_search_stopped_behind_its_first_plan_has_moves_and_says_that_it_was_stopped():
    asked = iter((False, False))
    plan = make_plan(tiny_operation(), stop=lambda: next(asked, True))
    assert plan.truck_nights
    assert nothing_planned(plan) == ""
    assert any(line.startswith("Stopped early") for line in summary_lines(plan))


def test_a_plan_with_moves_or_with_nothing_to_do_is_not_called_empty():
    assert nothing_planned(tiny_plan()) == ""
    assert nothing_planned(make_plan(tiny_operation().model_copy(update=NOTHING_PROMISED), steps=1)) == ""


def test_a_remedy_that_is_not_certain_says_so_first():
    plan = tiny_plan()
    unkept = plan.unkept[0].model_copy(update={"remedies": ("not certain, but may help: one more night", "fewer colonies")})
    lines = [line.strip() for line in summary_lines(plan.model_copy(update={"unkept": (unkept,)}))]
    assert "May help, not certain: one more night" in lines
    assert "Would make it keepable: fewer colonies" in lines


def test_no_line_can_steer_a_terminal():
    operation = tiny_plan().operation.model_copy(update={"name": "a\x1b[2Jb"})
    lines = summary_lines(tiny_plan().model_copy(update={"operation": operation}))
    assert not any("\x1b" in line for line in lines)


def test_a_loss_has_its_sign_before_the_dollar():
    assert usd(-12.5) == "-$12.50"
