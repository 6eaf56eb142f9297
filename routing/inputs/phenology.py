"""What a bloom forecast rests on: temperatures by day, stages seen, bloom of earlier years, the user's own sums."""

import datetime as dt
from typing import Literal

from routing.record import Record, column

WeatherKind = Literal["seen", "normal"]


class Weather(Record):
    """Temperatures of one day at one place, seen, or usual for that day of the year."""

    place: str = column("yard or contract; empty: everywhere", example="", default="")
    on: dt.date = column("day; of a usual one the year does not count", example=dt.date(2027, 2, 1))
    low_f: float = column("lowest temperature of the day", unit="deg F", example=24.0, ge=-60, le=130)
    high_f: float = column("highest temperature of the day", unit="deg F", example=36.0, ge=-60, le=130)
    hours_f: str = column(
        "the 24 temperatures of the hours from midnight on, standard time, with blanks between them, if known",
        unit="deg F", example="", default="", max_length=400,
    )  # fmt: skip
    kind: WeatherKind = column("seen that day, or usual for it?", example="seen", default="seen")


class StageNote(Record):
    """A stage of the buds or flowers that was seen in an orchard."""

    contract: str = column("contract", example="Lower pears")
    stage: str = column("stage, for instance tight cluster, first bloom, full bloom, petal fall", example="tight cluster", min_length=1, max_length=40)
    on: dt.date = column("day on which it was seen", example=dt.date(2027, 3, 31))


class PastBloom(Record):
    """Bloom of an earlier year in the same orchard, to which the forecast is fitted."""

    contract: str = column("contract", example="Lower pears")
    percent_bloom: float = column("share of flowers open", unit="%", example=10.0, ge=0, le=100)
    on: dt.date = column("day on which it was reached", example=dt.date(2026, 4, 17))


class BloomSum(Record):
    """The user's own chill and heat to bloom; it counts before any published one."""

    crop: str = column("crop, as the contracts write it", example="pear", min_length=1, max_length=40)
    cultivar: str = column("cultivar; empty: every one", example="", default="", max_length=40)
    percent_bloom: float = column("share of flowers open when the heat is reached", unit="%", example=10.0, ge=0, le=100)
    chill_portions: float = column(
        "chill portions before heat counts; 0: heat counts from January 1 (south of the equator from July 1)", example=40.0, default=0.0, ge=0, le=150
    )
    heat_sum: float = column("growing degree hours (4, 25, 36 deg C) from then on", example=6200.0, gt=0, le=60000)
    error_days: float = column("usual error of the forecast", unit="d", example=4.0, default=5.0, ge=0.5, le=30)
    source: str = column("where the figures come from", example="our own notes, 2018 to 2026", min_length=1, max_length=300)
