"""Seasons to plan: the demo's land and trucks, twelve contracts and eight hive groups drawn by chance. All of it invented."""

import datetime as dt
import random

from fixtures.demo import demo_operation
from routing.inputs.contract import Contract
from routing.inputs.honey import HoneyFlow
from routing.inputs.operation import Operation
from routing.inputs.yard import HiveGroup

CONTRACTS, GROUPS, OFFERS = 12, 8, 5


def season_operation(seed: int) -> Operation:
    """Return a season of 12 contracts, 5 of them offers, and 8 groups of 16 to 48 hives, with two honey flows."""
    draw, demo = random.Random(seed), demo_operation()
    contracts = [_drawn(one, draw) for one in demo.contracts]
    extra = contracts[0].model_copy(update={"name": "Added sweets", "fee_usd_per_colony": float(draw.randint(40, 80))})
    gate = next(one for one in demo.gates if one.contract == contracts[0].name)
    contracts.append(extra)
    offers = set(draw.sample(range(CONTRACTS), OFFERS))
    contracts = [
        one.model_copy(update={"signed": number not in offers, "least_colonies": max(one.colonies // 2, 1)})
        for number, one in enumerate(contracts)
    ]
    return demo.model_copy(update={
        "contracts": tuple(contracts), "hive_groups": _groups(demo, draw), "honey_flows": _flows(demo, draw),
        "gates": (*demo.gates, gate.model_copy(update={"contract": extra.name})),
    })  # fmt: skip


def _drawn(one: Contract, draw: random.Random) -> Contract:
    return one.model_copy(update={
        "colonies": draw.choice((16, 24, 32, 40, 48, 60)), "fee_usd_per_colony": float(draw.randint(35, 95)),
        "short_usd_per_colony": float(draw.choice((0, 10, 20))),
    })  # fmt: skip


def _groups(demo: Operation, draw: random.Random) -> tuple[HiveGroup, ...]:
    chosen = draw.sample([one for one in demo.hive_groups if one.pallet], GROUPS)
    return tuple(
        one.model_copy(update={
            "hives": draw.choice((16, 24, 32, 40, 48)), "frames_seen": None, "frames_mean": draw.uniform(6.5, 11.0),
            "frames_sd": 0.9, "hives_inspected": 12,
        })
        for one in chosen
    )  # fmt: skip


def _flows(demo: Operation, draw: random.Random) -> tuple[HoneyFlow, ...]:
    yards = draw.sample([one.name for one in demo.yards if one.capacity_hives], 2)
    year = demo.first_night.year
    return tuple(
        HoneyFlow(yard=yard, flow=flow, first_on=dt.date(year, 6, day), last_on=dt.date(year, 7, day),
                  honey_lb_per_colony=draw.uniform(10, 40), honey_usd_per_lb=1.6)
        for yard, flow, day in zip(yards, ("clover", "basswood"), (10, 20), strict=True)
    )  # fmt: skip
