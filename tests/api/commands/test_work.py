"""What becomes of a plan when it is made, and how the command ends."""

import pytest

from api.commands.codes import ALL_WELL, INTERRUPTED, NOT_KEPT
from api.commands.work import PLAN_FILE, keep_plan
from fixtures.tiny import tiny_operation, tiny_plan
from routing.plan import make_plan
from routing.plan_record import Plan

STOPPED = "Stopped before the first move was planned: the plan is empty, and no promise is kept."


@pytest.fixture(scope="module")
def empty() -> Plan:
    """The plan of a search that was stopped at its first question."""
    return make_plan(tiny_operation(), stop=lambda: True)


def test_a_search_stopped_before_its_first_move_says_so_and_ends_with_130(empty, tmp_path, capsys):
    assert keep_plan(empty, tmp_path, interrupted=True, unkept_is_well=True) == INTERRUPTED
    told = capsys.readouterr()
    assert told.err == f"{STOPPED}\n"
    assert told.out.splitlines()[1] == f"{STOPPED} Give it more time."
    assert Plan.model_validate_json((tmp_path / PLAN_FILE).read_text()).truck_nights == ()
    assert STOPPED in (tmp_path / "summary.txt").read_text()


def test_an_earlier_plan_is_not_lost_to_a_search_that_planned_nothing(empty, tmp_path, capsys):
    keep_plan(tiny_plan(), tmp_path, interrupted=False, unkept_is_well=True)
    before = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    capsys.readouterr()
    assert keep_plan(empty, tmp_path, interrupted=True, unkept_is_well=True) == INTERRUPTED
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == before
    assert capsys.readouterr().err == f"{STOPPED} The earlier plan in {tmp_path} is left as it was.\n"


def test_time_that_ran_out_before_the_first_move_is_not_well_even_for_the_demo(tmp_path, capsys):
    late = make_plan(tiny_operation(), seconds=1e-9)
    assert keep_plan(late, tmp_path, interrupted=False, unkept_is_well=True) == NOT_KEPT
    assert capsys.readouterr().err.startswith("The time ran out before the first move was planned: the plan is empty")


def test_a_plan_that_leaves_a_promise_ends_with_1_but_for_the_demo(tmp_path, capsys):
    assert keep_plan(tiny_plan(), tmp_path, interrupted=False, unkept_is_well=False) == NOT_KEPT
    assert keep_plan(tiny_plan(), tmp_path, interrupted=False, unkept_is_well=True) == ALL_WELL
    assert "Not kept: 1 promise; the summary says why" in capsys.readouterr().err
