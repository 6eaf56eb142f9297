"""What a bloom forecast warns of: frost that kills buds at their stage, nights agreed that miss the bloom."""

import datetime as dt
from collections.abc import Iterator

from routing.bloom.chance import chance_of_bloom_by, chance_of_petal_fall_by
from routing.bloom.forecast import BloomForecast, StageDay
from routing.inputs.contract import Contract
from routing.inputs.operation import Operation
from routing.limits.crop_rows import crop_named

LIKELY = 0.5


def frost_cautions(operation: Operation, contract: Contract, forecast: BloomForecast) -> Iterator[str]:
    """Yield one sentence for each night whose low kills buds at the stage that they are likely to have reached.

    Nights are those of the table of temperatures, for this contract or for everywhere.
    """
    for row in sorted(operation.temperatures, key=lambda row: row.night):
        stage = stage_on(forecast, row.night)
        if row.place not in ("", contract.name) or stage is None or stage.kill_10_f is None:
            continue
        if row.low_f <= stage.kill_10_f:
            yield (
                f"night of {row.night}: {row.low_f:g} deg F is expected at {stage.stage};"
                f" half an hour at {stage.kill_10_f:g} kills 10, at {stage.kill_90_f:g} 90 of 100 buds"
            )


def stage_on(forecast: BloomForecast, day: dt.date) -> StageDay | None:
    """Return the last stage that is likely reached on ``day``; None before the first, and once petals have fallen a week."""
    reached = [one for one in forecast.stages if one.day <= day]
    if not reached or day > forecast.stages[-1].day + dt.timedelta(days=7):
        return None
    return reached[-1]


def agreed_cautions(contract: Contract, forecast: BloomForecast) -> Iterator[str]:
    """Yield one sentence for each night agreed that likely misses the bloom.

    Only where the forecast rests on weather or on something seen: dates agreed say nothing against themselves.
    """
    if forecast.kind == "dates" and not any(one.seen for one in forecast.stages):
        return
    crop = crop_named(contract.crop)
    if contract.in_from is not None:
        late = chance_of_bloom_by(forecast, crop.in_until_percent, contract.in_from)
        if late > LIKELY:
            yield (
                f"on the first night agreed, {contract.in_from}, more than {crop.in_until_percent:g} % of flowers are likely"
                f" open already (chance {late:.0%})"
            )
    if contract.in_until is not None:
        open_by = chance_of_bloom_by(forecast, crop.in_percent, contract.in_until)
        if open_by < LIKELY:
            yield (
                f"on the last night agreed, {contract.in_until}, {crop.in_percent:g} % of flowers are not likely open yet"
                f" (chance {open_by:.0%})"
            )
    leave = contract.out_from or contract.petal_fall_on
    if leave is not None:
        over = chance_of_petal_fall_by(forecast, crop.out_percent_petal_fall, leave)
        if over < LIKELY:
            yield (
                f"hives may leave from {leave}, when {crop.out_percent_petal_fall:g} % of petals have not likely fallen"
                f" (chance {over:.0%})"
            )
