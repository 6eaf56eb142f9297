"""A season, a quote and a risk in plain lines, as the command line prints them."""

import datetime as dt
from collections.abc import Iterator

from routing.quote.record import Quote
from routing.risk.record import Lever, PromiseRisk, Risk, Share
from routing.risk.steady import Candidate, Steady
from routing.season.assignment import Chain, Choice, Season, Stay
from routing.sheets.clock import short_day
from routing.sheets.words import counted


def season_lines(season: Season) -> tuple[str, ...]:
    """Return a season in lines: profit with every line of its account, each choice, each chain of blooms."""
    return (*_profit(season), "", *_choices(season), "", *_chains(season), *_findings(season))


def _usd(amount: float) -> str:
    return f"-${-amount:,.2f}" if amount < 0 else f"${amount:,.2f}"


def _profit(season: Season) -> Iterator[str]:
    yield f"Profit of the season {_usd(season.profit_usd)}; {_proven(season)}."
    yield f"  The bound covers {season.bound_covers}."
    for line in season.lines:
        if line.usd:
            yield f"  {line.name}: {_usd(line.usd)}"


def _proven(season: Season) -> str:
    if season.bound_usd is None or season.gap is None:
        return "no bound was proven in the time given"
    return f"proven: no season earns more than {_usd(season.bound_usd)} (gap {season.gap:.1%})"


def _choices(season: Season) -> Iterator[str]:
    yield "Contracts and offers:"
    for one in season.choices:
        yield f"  {_choice(one)}"


def _choice(one: Choice) -> str:
    kind = "signed" if one.signed else "offer"
    line = f"{one.contract} ({one.crop}, {kind}): {one.outcome.upper() if one.outcome in ('refused', 'short') else one.outcome}"
    if one.delivered:
        line += f", {one.delivered} of {one.colonies} colonies at {one.average_frames:.1f} frames"
        line += f", {_usd(one.fee_usd + one.bonus_usd)}"
    else:
        line += f", none of {one.colonies} colonies"
    if one.penalty_usd:
        line += f", taken off {_usd(one.penalty_usd)}"
    return f"{line}; {one.why}" if one.why else line


def _chains(season: Season) -> Iterator[str]:
    yield "Where hives go, night by night (tours may choose other nights within the windows):"
    for chain in season.chains:
        yield f"  {_chain(chain)}"


def _chain(chain: Chain) -> str:
    hives = counted(chain.hives, "hive")
    if len(chain.stays) == 1:
        return f"{chain.group}, {hives}: stays at {chain.stays[0].place}{_supers(chain.stays[0])}"
    return f"{chain.group}, {hives}: " + " > ".join(_stay(stay) for stay in chain.stays)


def _stay(stay: Stay) -> str:
    since = f" from {short_day(stay.came)}" if stay.came else ""
    return f"{stay.place}{since}{_supers(stay)}"


def _supers(stay: Stay) -> str:
    spans = [_span(one.on, one.off) for one in stay.supers if one.on]
    return f" (honey supers {', '.join(spans)})" if spans else ""


def _span(first: dt.date | None, last: dt.date | None) -> str:
    return f"{short_day(first) if first else 'the start'} to {short_day(last) if last else 'the end'}"


def _findings(season: Season) -> Iterator[str]:
    broken = [one for one in season.findings if one.status == "broken"]
    unknown = [one for one in season.findings if one.status == "unknown"]
    if broken or unknown:
        yield ""
    for one in broken:
        yield f"BROKEN: {one.check}, {one.subject}. {one.note}".rstrip()
    if unknown:
        yield f"Could not be checked: {counted(len(unknown), 'thing')}. That is not the same as being well."
        for one in unknown:
            yield f"  {one.check}, {one.subject}: {one.note}"


def quote_lines(quote: Quote) -> tuple[str, ...]:
    """Return a quote in lines: the least fee with its interval, what it displaces, what it uses."""
    return tuple(_quote(quote))


def _quote(quote: Quote) -> Iterator[str]:
    if not quote.delivered:
        yield f"{quote.contract}: no plan was found that brings any of its {quote.colonies} colonies; there is no fee to name."
    else:
        yield (
            f"{quote.contract}: least fee {_usd(quote.fee_usd_per_colony)} a colony for {quote.delivered} of {quote.colonies} "
            f"colonies, {quote.verdict} at the {_usd(quote.asked_usd_per_colony)} that stands in it."
        )
        yield (
            f"  Proven: below {_usd(quote.fee_low_usd_per_colony)} it cannot pay, from {_usd(quote.fee_high_usd_per_colony)} "
            "on it surely does; between the two the gaps of the plans leave it open."
        )
        if quote.cost_without_usd > 0.0 == quote.bound_without_usd or quote.bound_with_usd <= 0.0:
            yield "  No bound was proven in the time given, so the interval is as wide as it can be: --seconds gives more."
    yield (
        f"  Without it: cost {_usd(quote.cost_without_usd)}, bound {_usd(quote.bound_without_usd)}. With it, its fee left out: "
        f"cost {_usd(quote.cost_with_usd)}, bound {_usd(quote.bound_with_usd)}."
    )
    if quote.own_terms_usd:
        yield f"  In that cost: {_usd(quote.own_terms_usd)} for its own colonies late, weak, short or left in."
    yield from _displaced(quote)
    yield from _uses(quote)
    if quote.considered:
        yield f"  In both plans: {', '.join(quote.considered)}, which have hives standing when it does."
    if quote.left_out:
        yield f"  In neither plan, since not signed: {', '.join(quote.left_out)}."


def _displaced(quote: Quote) -> Iterator[str]:
    if not quote.displaced:
        yield "  It displaces nothing: no other promise is kept less well."
    for one in quote.displaced:
        more = "more" if one.colonies > 0 else "fewer"
        yield f"  {one.contract}: {counted(abs(one.colonies), 'colony', 'colonies')} {more} {one.kind}, {_usd(one.usd)}."


def _uses(quote: Quote) -> Iterator[str]:
    yield f"  Truck-nights more than without it: {quote.truck_nights_more}. It uses:"
    for one in quote.uses:
        what = ", ".join(f"{hives} {way}" for hives, way in ((one.hives_in, "in"), (one.hives_out, "out")) if hives)
        also = f", together with {', '.join(one.also)}" if one.also else ""
        yield f"    {short_day(one.night)}, {one.truck}: {what}{also}"


def steady_lines(steady: Steady) -> tuple[str, ...]:
    """Return what a plan for the seasons that may come was chosen from."""
    return ("Candidates, in the same seasons:", *(_candidate(one) for one in steady.candidates))


def _candidate(one: Candidate) -> str:
    mark = "chosen" if one.chosen else "not chosen"
    return (
        f"  {one.what}: {_usd(one.expected_usd)} a season (+/- {_usd(one.error_usd)}), {_usd(one.planned_usd)} as planned, "
        f"{one.kept_colonies:.1%} of colonies kept; {mark}"
    )


def risk_lines(risk: Risk) -> tuple[str, ...]:
    """Return a risk in lines: promises kept by contract, the spread of the cost, what would help, the rules."""
    return tuple(_risk(risk))


def _share(one: Share) -> str:
    return f"{one.value:.1%} ({one.low:.1%} to {one.high:.1%})"


def _risk(risk: Risk) -> Iterator[str]:
    yield (
        f"{counted(risk.seasons, 'season')} simulated, seed {risk.seed}: every promise is kept in {_share(risk.all_kept)} "
        f"of them; {risk.kept_colonies:.1%} of the colonies promised are in on time, strong and out in time."
    )
    yield (
        f"Cost {_usd(risk.cost_usd)} on average (+/- {_usd(risk.cost_error_usd)}), {_usd(risk.cost_low_usd)} to "
        f"{_usd(risk.cost_high_usd)} in 90 of 100 seasons; as planned {_usd(risk.planned_usd)}."
    )
    yield f"A season moves {risk.moved_truck_nights:.1f} truck-nights and loses {risk.lost_truck_nights:.2f}."
    yield ""
    yield "Kept, of the seasons (in brackets what so many seasons leave open), the least first:"
    for one in sorted(risk.promises, key=lambda one: one.kept.value):
        yield f"  {_promise(one)}"
    yield ""
    yield "What would help most, in the very same seasons:" if risk.levers else "Nothing tried would help."
    for lever in risk.levers[:8]:
        yield f"  {_lever(lever)}"
    yield ""
    yield "Rules:"
    yield from (f"  {rule}" for rule in risk.rules)


def _promise(one: PromiseRisk) -> str:
    ways = (("late", one.late), ("short", one.short), ("weak", one.weak), ("not out in time", one.left_in))
    why = ", ".join(f"{name} {share.value:.1%}" for name, share in ways if share.value)
    short = f"; the plan itself is {one.planned_short} short" if one.planned_short else ""
    return f"{one.contract}: {_share(one.kept)}{', ' + why if why else ''}, costs {_usd(one.usd)} a season{short}"


def _lever(one: Lever) -> str:
    return (
        f"{one.what}, {one.contract}: kept {one.kept_more:+.1%} ({one.kept_low:+.1%} to {one.kept_high:+.1%}), saves "
        f"{_usd(one.saves_usd)} a season ({_usd(one.saves_low_usd)} to {_usd(one.saves_high_usd)})"
    )
