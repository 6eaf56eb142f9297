"""Progress in one line."""

from dataclasses import replace

from api.commands.planning import progress_line
from routing.plan import Progress

HALF_WAY = Progress(seconds=12.4, cost_usd=8580.87, lower_bound_usd=5527.38, gap=0.356, unkept_colonies=24, note="better plan")


def test_a_line_tells_time_cost_bound_gap_and_promises() -> None:
    assert progress_line(HALF_WAY, 12.6) == ("13 s: cost $8,581, bound $5,527, gap 35.6%, 24 colonies not kept (better plan)")


def test_a_bound_not_proven_yet_is_a_dash_and_no_gap_of_a_hundred_percent() -> None:
    begun = replace(HALF_WAY, cost_usd=34359.0, lower_bound_usd=0.0, gap=1.0, unkept_colonies=384, note="first plan")
    assert progress_line(begun, 2.0) == "2 s: cost $34,359, bound -, gap -, 384 colonies not kept (first plan)"


def test_what_is_not_known_yet_is_a_dash() -> None:
    unknown = Progress(seconds=1.0, cost_usd=float("inf"), lower_bound_usd=0.0, gap=float("nan"), unkept_colonies=0, note="")
    assert progress_line(unknown, 1.0) == "1 s: cost -, bound -, gap -, every promise kept"
    assert progress_line(None, 0.0) == "0 s: reading the operation"
