"""A siting in plain lines: every figure that the record holds, and every check that is open."""

from fixtures.demo import demo_operation
from routing.drops.propose import propose_drops
from routing.drops.reach import shared_bees
from routing.finding import Finding
from routing.sheets.siting_lines import siting_lines

DEMO = demo_operation()


def test_drops_evenness_curve_reasons_and_checks_are_all_told() -> None:
    siting = propose_drops(DEMO, "Tamarisk tarts")
    lines = siting_lines(siting, shared_bees(DEMO, "Tamarisk tarts"))
    text = "\n".join(lines)
    assert lines[0].startswith("Tamarisk tarts: 48 hives on 29.4 acres (1.6 an acre) at 2 drops.")
    assert f"mean {siting.evenness.mean_ft:.0f} ft, worst {siting.evenness.worst_ft:.0f} ft" in lines[1]
    assert lines[2].startswith("With the 3 drops of the operation: mean 37")
    assert "over the least possible" in text or "proven best" in text
    assert text.count("<- this one") == 1
    assert len([line for line in lines if line.startswith(("1 ", "2 "))]) == 2
    assert "on wet ground 'Spring line'" in text
    assert "  ADVICE  hives to sprayed 'Hop yard': 0.1" in text
    assert f"Checks: {sum(one.status == 'ok' for one in siting.findings)} of {len(siting.findings)} met." in text


def test_a_check_not_made_and_a_rule_broken_are_told_apart_from_advice() -> None:
    siting = propose_drops(DEMO, "Sundog melons")
    broken = Finding(check="nearest two drops", subject="x", status="broken", measured=90.0, limit=150.0, margin=-60.0, unit="ft",
                     force="practice", source="drop_spacing_ft")  # fmt: skip
    lines = siting_lines(siting.model_copy(update={"findings": (*siting.findings, broken)}))
    assert "  BROKEN  nearest two drops: 90 ft, limit 150 ft. drop_spacing_ft." in lines
    assert any(line.startswith("  NOT CHECKED  drops that a track leads to from the gate: no tracks are given") for line in lines)
    assert any("No tracks are given: drops stand on the edges of the blocks" in line for line in lines)
