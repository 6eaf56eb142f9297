"""The words of ``bloomhaul replan`` on the command line."""

import datetime as dt
from pathlib import Path
from typing import Annotated

import typer

Plan = Annotated[Path, typer.Argument(metavar="PLAN", help="A plan.json written earlier.", exists=True, dir_okay=False)]
Out = Annotated[Path, typer.Option("--out", "-o", metavar="DIR", help="Folder for the new plan.", file_okay=False)]
From = Annotated[
    dt.datetime,
    typer.Option("--from", metavar="DATE", formats=["%Y-%m-%d"], help="First night still to be planned (date of the evening)."),
]
Seconds = Annotated[float, typer.Option(metavar="S", min=0.1, max=86_400.0, help="Planning time.")]
Seed = Annotated[int, typer.Option(metavar="N", min=0, max=2**31 - 1, help="Same operation, seed and steps: same plan.")]
Steps = Annotated[int | None, typer.Option(metavar="N", min=1, help="Most search steps, in place of a time.")]


def _told(option: str, metavar: str, words: str) -> typer.models.OptionInfo:
    info: typer.models.OptionInfo = typer.Option(option, metavar=metavar, help=f"{words} Repeatable.")
    return info


def replan(
    plan: Plan,
    *,
    out: Out,
    from_night: From,
    bloom: Annotated[list[str] | None, _told("--bloom", "CONTRACT=DAYS", "Bloom later, or sooner when less than 0.")] = None,
    truck_away: Annotated[list[str] | None, _told("--truck-away", "TRUCK=DATES", "Nights without a truck.")] = None,
    driver_away: Annotated[list[str] | None, _told("--driver-away", "DRIVER=DATES", "Nights without a driver.")] = None,
    no_moves: Annotated[list[str] | None, _told("--no-moves", "DATES", "Nights on which nothing moves.")] = None,
    lost: Annotated[list[str] | None, _told("--lost", "GROUP=HIVES", "Hives lost before they moved.")] = None,
    wanted: Annotated[list[str] | None, _told("--wanted", "CONTRACT=COLONIES", "Colonies that a contract wants now.")] = None,
    seconds: Seconds = 60.0,
    seed: Seed = 0,
    steps: Steps = None,
) -> None:
    """Plan anew when bloom, weather, a truck or a grower breaks the plan.

    Truck-nights before the night given are done and stay as they were. What growers and drivers were told of the
    nights to come is kept unless changing it saves more than it costs (the constants change_usd_per_colony and
    change_usd_per_truck_night). Writes the new plan, every sheet and changes.txt: what is otherwise, who is to be
    told, and what it costs.

    \b
    Examples:
      bloomhaul replan april/plan.json --from 2027-04-15 --bloom "Lower pears=-3" -o april-2
      bloomhaul replan april/plan.json --from 2027-04-15 --truck-away "Old blue=2027-04-16" --lost H1=4 -o april-2
    """
    from api.commands.planning import Budget
    from api.commands.replan import Asked
    from api.commands.replan import replan as run

    asked = Asked(*(tuple(one or ()) for one in (bloom, truck_away, driver_away, no_moves, lost, wanted)))
    raise typer.Exit(run(plan, out, next_night=from_night.date(), asked=asked, budget=Budget(seconds, seed, steps)))
