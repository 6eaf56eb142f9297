"""The words of ``bloomhaul season``, ``year``, ``quote``, ``risk`` and ``steady`` on the command line."""

from pathlib import Path
from typing import Annotated, Any

import typer

_FILE: dict[str, Any] = {"exists": True, "dir_okay": False, "readable": True}
Operation = Annotated[Path, typer.Argument(metavar="OPERATION", help="Workbook (.xlsx) or JSON file.", **_FILE)]
PlanGiven = Annotated[Path, typer.Argument(metavar="PLAN", help="A plan.json written earlier.", **_FILE)]
MayWrite = Annotated[
    Path | None, typer.Option("--out", "-o", metavar="DIR", help="Folder for season.svg, .json and .txt.", file_okay=False)
]
Out = Annotated[Path, typer.Option("--out", "-o", metavar="DIR", help="Folder to write to; made if missing.", file_okay=False)]
Seconds = Annotated[float, typer.Option(metavar="N", min=0.5, max=86400, help="Planning time.")]
Seed = Annotated[int, typer.Option(metavar="N", min=0, max=2**31 - 1, help="Same seed, same chances.")]
Json = Annotated[bool, typer.Option("--json", help="Print the whole answer as JSON.")]


def season(operation: Operation, *, out: MayWrite = None, seconds: Seconds = 20.0, as_json: Json = False) -> None:
    """Choose the year's chains of blooms and the offers to take.

    Prints the profit with every line of its account and a proven bound, what becomes of each contract and offer (an
    offer is a contract whose column signed says no), what the other choice would cost, and where every hive stands
    when. Moves cost what an estimate says; `bloomhaul year` has tours planned and goes on until both agree.

    Exit code 1: a signed contract comes out short.

    \b
    Example:
      bloomhaul season mine.xlsx --out april
    """
    from api.commands.season import season_of

    raise typer.Exit(season_of(operation, out, seconds=seconds, as_json=as_json))


def year(
    operation: Operation,
    *,
    out: Out,
    seconds: Seconds = 180.0,
    rounds: Annotated[int, typer.Option(metavar="N", min=1, max=10, help="Most rounds of season and tours.")] = 3,
    seed: Seed = 0,
) -> None:
    """Plan the season and its tours, until what tours cost is what the season counts with.

    Each round chooses the chains of blooms and the offers, plans the tours of what is taken, and shares the cost of
    every truck-night among the orchards that it serves. Says whether they came to agree. Writes season.json,
    season.txt, the plan and every sheet.

    \b
    Example:
      bloomhaul year mine.xlsx --out april --seconds 300
    """
    from api.commands.season import year_of

    raise typer.Exit(year_of(operation, out, seconds=seconds, rounds=rounds, seed=seed))


def quote(
    operation: Operation,
    *,
    contract: Annotated[str, typer.Option("--contract", "-c", metavar="NAME", help="Contract or offer to quote for.")],
    plan: Annotated[
        Path | None, typer.Option("--plan", metavar="PLAN", help="A plan.json of the signed contracts, to begin with.", **_FILE)
    ] = None,
    seconds: Seconds = 26.0,
    seed: Seed = 0,
    as_json: Json = False,
) -> None:
    """Tell the least fee at which one more contract leaves you no worse off.

    Plans what you have with the contract and without it; the least fee is the difference of the two, and the gaps of
    the two plans give the interval in which the true least fee lies. Also told: which other promises it displaces, on
    which nights and trucks it rides.

    Exit code 1: no plan was found that brings all of its colonies.

    \b
    Examples:
      bloomhaul quote mine.xlsx --contract "Lower pears"
      bloomhaul quote mine.xlsx -c "Lower pears" --plan april/plan.json --seconds 60
    """
    from api.commands.season import quote_of

    raise typer.Exit(quote_of(operation, contract, plan=plan, seconds=seconds, seed=seed, as_json=as_json))


def risk(
    plan: PlanGiven,
    *,
    seasons: Annotated[int, typer.Option(metavar="N", min=1, max=100_000, help="Seasons to simulate.")] = 1000,
    seed: Seed = 0,
    as_json: Json = False,
) -> None:
    """Run a plan through a thousand seasons, and tell what would help most.

    Each season has its own bloom, warm evenings, trucks that stand still, drivers who are ill and lots that are
    weaker than the inspection said. Told: how often each promise is kept, what a season costs, and what one more
    night, ten more colonies or a spare truck-night would be worth. The rules are printed; their figures are
    constants that you may replace by your own.

    \b
    Example:
      bloomhaul risk april/plan.json --seasons 1000
    """
    from api.commands.season import risk_of

    raise typer.Exit(risk_of(plan, seasons=seasons, seed=seed, as_json=as_json))


def steady(
    operation: Operation,
    *,
    out: Out,
    seconds: Seconds = 180.0,
    seasons: Annotated[int, typer.Option(metavar="N", min=1, max=100_000, help="Seasons to simulate.")] = 1000,
    seed: Seed = 0,
) -> None:
    """Plan for the seasons that may come, not for the average one.

    Plans five candidates: as the contracts stand, with one and two nights of slack kept at the end of every window, with
    stronger lots, and both. Each is run through the same seasons; the one whose seasons cost least is written with its
    sheets, risk.txt and risk.json. The time given is for all five together.

    \b
    Example:
      bloomhaul steady mine.xlsx --out april --seconds 300
    """
    from api.commands.season import steady_of

    raise typer.Exit(steady_of(operation, out, seconds=seconds, seasons=seasons, seed=seed))


COMMANDS = (season, year, quote, risk, steady)
