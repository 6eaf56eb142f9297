"""The strength report, its lines and its histogram."""

import datetime as dt
from typing import Any

import pytest
from lxml import etree

from fixtures.demo import demo_operation
from fixtures.tiny import tiny_operation
from routing.bloom.window import contract_window
from routing.errors import OperationError
from routing.inputs.operation import Operation
from routing.sheets.strength_figure import strength_figure
from routing.sheets.strength_lines import strength_lines
from routing.sheets.strength_report import StrengthReport, strength_report
from routing.strength.makeup.propose import Wanted, propose

TINY = tiny_operation()
SVG = "{http://www.w3.org/2000/svg}"


def changed(name: str, **told: Any) -> Operation:
    groups = tuple(one.model_copy(update=told) if one.name == name else one for one in TINY.hive_groups)
    return TINY.model_copy(update={"hive_groups": groups})


@pytest.fixture(scope="module")
def report() -> StrengthReport:
    return strength_report(TINY)


@pytest.fixture(scope="module")
def deep() -> StrengthReport:
    return strength_report(demo_operation(), contract="Lantern Hill sweets")


def test_every_group_contract_and_yard_with_hives_has_its_line(report: StrengthReport) -> None:
    assert [one.group for one in report.groups] == ["H1", "L1", "W1"]
    assert [one.contract for one in report.contracts] == ["Early cherries", "Late blueberries"]
    assert [one.subject for one in report.yards] == ["Home yard"]
    assert [lot.group for lot in report.contracts[0].lots][-1] == "W1"
    assert all(lot.choice is None for one in report.contracts for lot in one.lots)


def test_an_inspection_after_the_night_of_the_move_is_said_to_tell_nothing(report: StrengthReport) -> None:
    # L1 is inspected on May 2, the cherries are moved from April 23.
    (lot,) = (lot for lot in report.contracts[0].lots if lot.group == "L1")
    assert lot.note.startswith("inspected on 2027-05-02, after the night of the move, 2027-04-23")
    assert any(line.strip() == lot.note for line in strength_lines(report))


def test_a_contract_without_dates_is_told_and_the_others_go_on() -> None:
    first = TINY.contracts[0].model_copy(update={"in_from": None, "in_until": None, "in_at_percent_bloom": 10.0})
    found = strength_report(TINY.model_copy(update={"contracts": (first, TINY.contracts[1])}))
    assert found.contracts[0].night is None
    assert "cannot be told" in found.contracts[0].note
    assert [made.contract for made in found.colonies] == ["Late blueberries"]


def test_one_contract_brings_options_and_pallets(deep: StrengthReport) -> None:
    assert [made.contract for made in deep.pallets] == ["Lantern Hill sweets"]
    assert all(lot.choice is not None for lot in deep.contracts[0].lots)
    made = deep.pallets[0]
    on_pallets = sum(pallet.pallets * len(pallet.frames) for pallet in made.pallets)
    assert (made.colonies, on_pallets, made.missing) == (24, 24, 0)
    assert made.average_frames >= 10.0
    assert min(part.frames_on_night for part in made.parts) >= 9.0
    assert made.chance >= 0.90


def test_a_proposal_takes_no_more_of_a_grade_than_there_is(deep: StrengthReport) -> None:
    # BX: 10x5, 11x4, 12x3, every hive opened.
    there = {10.0: 5, 11.0: 4, 12.0: 3}
    for made in (*deep.colonies, *deep.pallets):
        for part in made.parts:
            if part.group == "BX":
                assert part.hives <= there[part.frames_counted]


def test_all_that_can_be_kept_of_the_demo_is_made_up_together_and_passes_at_ninety_percent() -> None:
    operation = demo_operation()
    wanted = []
    for contract in operation.contracts:
        window = contract_window(operation, contract)
        wanted.append(Wanted(contract=contract, night=window.in_from, until=window.out_until or operation.last_night))
    assert all(made.missing == 0 and made.chance >= 0.90 and made.proven for made in propose(operation, wanted, on_pallets=False))


def test_the_lines_say_what_to_open_what_passes_and_what_to_send(deep: StrengthReport) -> None:
    lines = strength_lines(deep)
    text = "\n".join(lines)
    assert "opens 5, at most 0 of them under the floor" in text
    assert "BX: 12 hives, counted on 10.8" in text
    assert "if all growth comes" in text
    assert "on whole pallets made up anew" in text
    assert lines[-1].startswith("Open hives at random")
    assert "Washington" not in text  # its rule was repealed in 2001


def test_a_group_or_contract_that_is_not_there_is_refused_with_the_nearest() -> None:
    with pytest.raises(OperationError, match=r"no contract called 'Early cherry', allowed: .*the nearest is 'Early cherries'"):
        strength_report(TINY, contract="Early cherry")
    with pytest.raises(OperationError, match="no hive group called 'ZZ'"):
        strength_report(TINY, group="ZZ")
    with pytest.raises(OperationError, match="nearest is 'Early cherries'"):
        strength_figure(TINY, "early cherries!")


def test_the_histogram_shows_every_hive_of_every_group_and_both_lines() -> None:
    figure = etree.fromstring(strength_figure(TINY, "Early cherries"))
    texts = [one.text for one in figure.iter(f"{SVG}text")]
    assert {"average asked 8", "floor 6", "H1", "L1", "W1"} <= set(texts)
    # Each label is drawn twice: a rim and the letters. H1 16, L1 6, W1 8 hives.
    bars = [int(text) for text, one in zip(texts, figure.iter(f"{SVG}text"), strict=True) if one.get("font-size") == "11"]
    assert sum(bars) == 2 * (16 + 6 + 8)
    assert figure.find(f"{SVG}title").text == "Strength of the groups against Early cherries"


def test_the_line_stands_where_the_axis_says() -> None:
    figure = etree.fromstring(strength_figure(TINY, "Early cherries"))
    at = {one.text: float(one.get("x")) for one in figure.iter(f"{SVG}text") if one.get("font-size") in ("12", "13")}
    assert at["average asked 8"] - 4 == pytest.approx(at["8"], abs=0.11)
    assert at["floor 6"] + 4 == pytest.approx(at["6"], abs=0.11)


def test_a_group_never_opened_has_a_row_that_says_so() -> None:
    figure = strength_figure(changed("W1", frames_seen=None), "Early cherries")
    assert "no frames of bees written down" in figure


def test_names_cannot_break_the_figure() -> None:
    group = TINY.hive_groups[0].model_copy(update={"name": "<b>&"})
    etree.fromstring(strength_figure(TINY.model_copy(update={"hive_groups": (group,)}), "Early cherries"))


def test_growth_counted_on_moves_the_hives_of_the_histogram() -> None:
    from routing.inputs.operation import Constant

    own = changed("H1", inspected_on=dt.date(2027, 4, 9), frames_seen="8x16")
    grown = own.model_copy(update={"constants": (Constant(name="growth_counted_share", value=1.0, source="the test"),)})
    assert "counted on 8.0, mean 9.5" in strength_figure(own, "Early cherries")
    assert "mean 9.5" in strength_figure(grown, "Early cherries")
    assert "counted on 8.0" not in strength_figure(grown, "Early cherries").split("H1</text>")[1][:900]
