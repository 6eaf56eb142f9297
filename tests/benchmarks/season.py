"""Season: 12 contracts and 8 groups to 1 %, a quote, 1,000 seasons, and how many of the lots said to pass at 90 % do pass."""

import time

from fixtures.demo import demo_operation
from routing.plan import make_plan
from routing.quote.quote import quote
from routing.risk.simulate import simulate
from routing.season.check import check_season
from routing.season.choose import plan_season
from tests.benchmarks._record import Record
from tests.benchmarks._season_operation import season_operation
from tests.benchmarks._season_strength import strength_rows

SEEDS = range(5)
SEASON_S, QUOTE_S, PLAN_S = 18.0, 26.0, 40.0
QUOTED = ("Gourd Corner", "Sedge Lane blues")
SEASONS = 1000


def rows() -> list[Record]:
    """Return a row for each season, quote and simulation, then the calibration."""
    return [*(_season(seed) for seed in SEEDS), *(_quote(name) for name in QUOTED), _risk(), *strength_rows()]


def _season(seed: int) -> Record:
    begun = time.monotonic()
    season = plan_season(season_operation(seed), seconds=SEASON_S)
    seconds = time.monotonic() - begun
    broken = sum(one.status == "broken" for one in check_season(season))
    taken = sum(one.outcome in ("taken", "taken in part") for one in season.choices)
    note = f"{taken} of 5 offers taken, {broken} checks broken"
    return {"what": f"season 12 x 8, seed {seed}", "seconds": seconds, "value_usd": season.profit_usd,
            "bound_usd": season.bound_usd, "gap": season.gap, "note": note}  # fmt: skip


def _quote(name: str) -> Record:
    begun = time.monotonic()
    told = quote(demo_operation(), name, seconds=QUOTE_S)
    note = f"{told.verdict}; between {told.fee_low_usd_per_colony:.2f} and {told.fee_high_usd_per_colony:.2f}"
    return {"what": f"quote, {name}", "seconds": time.monotonic() - begun, "value_usd": told.fee_usd_per_colony, "note": note}


def _risk() -> Record:
    plan = make_plan(demo_operation(), seconds=PLAN_S)
    begun = time.monotonic()
    risk = simulate(plan, seasons=SEASONS)
    note = f"{risk.kept_colonies:.1%} of colonies kept, {len(risk.levers)} levers tried"
    return {"what": f"{SEASONS} seasons of the demo's plan", "seconds": time.monotonic() - begun, "value_usd": risk.cost_usd,
            "note": note}  # fmt: skip
