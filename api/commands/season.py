"""What the commands season, quote and risk do, once their words are understood. Each returns its exit code."""

import sys
from pathlib import Path

from api.commands.codes import ALL_WELL, NOT_KEPT
from api.commands.exits import faults_told, say, writing
from api.commands.printed import print_lines
from api.plannable import plannable
from routing.inputs.operation import Operation
from routing.record import Record


def season_of(file: Path, out: Path | None, *, seconds: float, as_json: bool) -> int:
    """Plan the season of the operation in ``file``, print it, and write its calendar to ``out`` if asked."""
    from routing.season.choose import plan_season
    from routing.sheets.season_calendar import season_figure
    from routing.sheets.season_lines import season_lines

    operation = _open(file)
    with faults_told(file):
        season = plan_season(operation, seconds=seconds)
    lines = season_lines(season)
    if out is not None:
        files = {"season.svg": season_figure(season), "season.json": season.model_dump_json(indent=1) + "\n",
                 "season.txt": "\n".join(lines) + "\n"}  # fmt: skip
        _write(out, files)
    _show(season, lines, as_json=as_json)
    return NOT_KEPT if any(one.outcome == "short" for one in season.choices) else ALL_WELL


def year_of(file: Path, out: Path, *, seconds: float, rounds: int, seed: int) -> int:
    """Plan season and tours until they agree; write the season and, with its sheets, the plan to ``out``."""
    from api.commands.work import keep_plan
    from routing.sheets.season_calendar import season_figure
    from routing.sheets.season_lines import season_lines
    from routing.year import Budget, plan_year

    operation = _open(file)
    with faults_told(file):
        year = plan_year(operation, Budget(seconds, rounds, seed), progress=_told)
    lines = (*season_lines(year.season), "", year.verdict)
    _write(out, {"season.json": year.season.model_dump_json(indent=1) + "\n", "season.txt": "\n".join(lines) + "\n",
                 "season-before-tours.svg": season_figure(year.season)})  # fmt: skip
    print_lines((*lines, ""))
    return keep_plan(year.plan, out, interrupted=False, unkept_is_well=False)


def quote_of(file: Path, contract: str, *, plan: Path | None, seconds: float, seed: int, as_json: bool) -> int:
    """Quote for one contract of the operation in ``file``."""
    from api.commands.plan_file import plan_from_file
    from routing.quote.quote import quote
    from routing.sheets.season_lines import quote_lines

    operation = _open(file)
    earlier = None
    if plan is not None:
        with faults_told(plan):
            earlier = plan_from_file(plan)
    with faults_told(file):
        told = quote(operation, contract, seconds=seconds, seed=seed, progress=_told, earlier=earlier)
    _show(told, quote_lines(told), as_json=as_json)
    return NOT_KEPT if told.verdict == "cannot be served" else ALL_WELL


def risk_of(file: Path, *, seasons: int, seed: int, as_json: bool) -> int:
    """Run the plan in ``file`` through so many seasons."""
    from api.commands.plan_file import plan_from_file
    from routing.risk.simulate import simulate
    from routing.sheets.season_lines import risk_lines

    with faults_told(file):
        plan = plan_from_file(file)
        risk = simulate(plan, seasons=seasons, seed=seed)
    _show(risk, risk_lines(risk), as_json=as_json)
    return ALL_WELL


def steady_of(file: Path, out: Path, *, seconds: float, seasons: int, seed: int) -> int:
    """Choose the plan whose seasons cost least; write it with its sheets and its risk to ``out``."""
    from api.commands.work import keep_plan
    from routing.risk.steady import steady_plan
    from routing.sheets.season_lines import risk_lines, steady_lines

    operation = _open(file)
    with faults_told(file):
        steady = steady_plan(operation, seconds=seconds, seed=seed, seasons=seasons, progress=_told)
    lines = (*steady_lines(steady), "", *risk_lines(steady.risk))
    _write(out, {"risk.txt": "\n".join(lines) + "\n", "risk.json": steady.risk.model_dump_json(indent=1) + "\n"})
    print_lines((*lines, ""))
    return keep_plan(steady.plan, out, interrupted=False, unkept_is_well=False)


def _open(file: Path) -> Operation:
    from api.files.open_operation import open_operation

    with faults_told(file):
        return plannable(open_operation(file), file.name)


def _show(value: Record, lines: tuple[str, ...], *, as_json: bool) -> None:
    if as_json:
        print(value.model_dump_json(indent=1))
    else:
        print_lines(lines)


def _write(out: Path, files: dict[str, str]) -> None:
    with writing(out):
        out.mkdir(parents=True, exist_ok=True)
        for name, content in files.items():
            (out / name).write_text(content, encoding="utf-8")
            say(f"Written: {out / name}")


_LAST = [0.0]


def _told(progress: object) -> None:
    """Tell on standard error how far a plan is, at most once in three seconds."""
    from api.commands.planning import progress_line
    from routing.plan import Progress

    assert isinstance(progress, Progress)
    if abs(progress.seconds - _LAST[0]) >= 3.0:
        _LAST[0] = progress.seconds
        print(progress_line(progress, progress.seconds), file=sys.stderr)
