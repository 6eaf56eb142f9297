"""The forecast of one contract's bloom, from the best that is known of it."""

from routing.bloom.by_dates import forecast_by_dates
from routing.bloom.by_weather import Courses, Model, courses_of, forecast_by_weather, sums_of
from routing.bloom.curve import NoBloomDayError
from routing.bloom.forecast import BloomForecast
from routing.bloom.models import model_of, published_portions
from routing.bloom.notes import known_anchors, seen_anchors
from routing.bloom.remembered import remembered
from routing.bloom.sums import HeatRule, heat_from_date
from routing.bloom.weather import NoWeatherError, SeasonHours, season_hours, season_start
from routing.errors import OperationError
from routing.inputs.constants import constant
from routing.inputs.contract import Contract
from routing.inputs.faults import Fault
from routing.inputs.operation import Operation
from routing.inputs.places import Place, places
from routing.limits.crop_rows import Crop, crop_named


@remembered
def bloom_forecast(operation: Operation, contract: Contract) -> BloomForecast:
    """Return when a contract's crop comes to each stage, with its spread.

    Parameters
    ----------
    operation
        Gives notes, dates, weather, earlier years and own sums.
    contract
        A contract of the operation.

    Returns
    -------
    BloomForecast
        From chill and heat where weather and a heat sum are known: the user's own sums, else one fitted to the
        orchard's earlier years, else a published one. Else from dates, with a wide spread, and ``warnings`` says why.
        What was seen counts before all else and moves what comes after it.

    Raises
    ------
    OperationError
        If the notes contradict each other, or nothing at all is known of this bloom.
    """
    crop = crop_named(contract.crop)
    try:
        why = ""
        if operation.weather:
            try:
                return _with_typed(operation, contract, crop, _by_weather(operation, contract, crop))
            except NoWeatherError as error:
                why = f"not from weather: {error}"
        anchors = known_anchors(operation, contract, crop, error_days=constant(operation, "bloom_error_days"))
    except NoBloomDayError as error:
        raise OperationError((no_forecast(operation, contract, str(error)),)) from error
    if not anchors:
        found = f"nothing that tells when it blooms{'; ' if why else ''}{why}"
        raise OperationError((no_forecast(operation, contract, found),))
    forecast = forecast_by_dates(operation, contract, crop, anchors)
    if not why:
        return forecast
    plain = plain_courses(operation, contract)
    sums = None if plain is None else sums_of(*plain, None)
    return forecast.model_copy(update={"warnings": (why,), "sums": sums})


def plain_rule(contract: Contract, place: Place) -> HeatRule:
    """Return what chill and heat are counted by where no heat sum to bloom is known: from published chill, or a date."""
    portions = published_portions(crop_named(contract.crop), contract.cultivar)
    return HeatRule("degree hours", portions=portions, from_month_day=heat_from_date(place.latitude_deg))


def plain_courses(operation: Operation, contract: Contract) -> tuple[Courses, HeatRule] | None:
    """Return the course of chill and heat of a contract without a heat sum, and by which rule; None without weather."""
    place = places(operation).get(contract.name)
    if not operation.weather or place is None:
        return None
    try:
        rule = plain_rule(contract, place)
        return courses_of(operation, place, season_of(operation, place), rule=rule, heat=None), rule
    except NoWeatherError:
        return None


def model_courses(operation: Operation, contract: Contract) -> tuple[Courses, Model] | None:
    """Return the course of chill and heat that a contract's forecast rests on, and its model; None where it has none."""
    place = places(operation).get(contract.name)
    if place is None or weather_forecast(operation, contract) is None:
        return None
    model = model_of(operation, contract, crop_named(contract.crop), place=place)
    return courses_of(operation, place, season_of(operation, place), rule=model.rule, heat=model.sums[0][1]), model


def weather_forecast(operation: Operation, contract: Contract) -> BloomForecast | None:
    """Return the forecast where it rests on weather; None where it rests on dates alone, or no weather is given.

    Raises
    ------
    OperationError
        If weather is given, and the notes contradict each other or nothing at all is known of this bloom.
    """
    if not operation.weather:
        return None
    found = bloom_forecast(operation, contract)
    return None if found.kind == "dates" else found


def season_of(operation: Operation, place: Place) -> SeasonHours:
    """Return the hours of the season that is planned; raise ``NoWeatherError`` when they cannot be had."""
    middle = operation.first_night + (operation.last_night - operation.first_night) / 2
    return season_hours(operation, place, season_start(operation, place, middle))


def no_forecast(operation: Operation, contract: Contract, found: str) -> Fault:
    """Return the fault of a contract whose bloom cannot be foretold."""
    row = next((i for i, one in enumerate(operation.contracts) if one.name == contract.name), None)
    table = "contracts" if row is None else f"contracts[{row}]"
    allowed = "a row of bloom, a stage seen, bloom of earlier years, weather with a heat sum, or dates"
    return Fault(
        file=operation.name, column="crop", path=f"{table}.crop", found=f"{found} (contract {contract.name})", allowed=allowed
    )


def _by_weather(operation: Operation, contract: Contract, crop: Crop) -> BloomForecast:
    place = places(operation).get(contract.name)
    if place is None:
        raise NoWeatherError("the orchard has no gate, so it is not known where it lies")
    season = season_of(operation, place)
    model = model_of(operation, contract, crop, place=place)
    anchors = seen_anchors(operation, contract, crop)
    return forecast_by_weather(operation, contract, crop, place=place, season=season, model=model, anchors=anchors)


def _with_typed(operation: Operation, contract: Contract, crop: Crop, found: BloomForecast) -> BloomForecast:
    """Return the forecast with a word on each forecast that was typed in and is not used."""
    told = []
    for row in operation.blooms:
        if row.contract == contract.name and not row.seen:
            days = round(row.on.toordinal() - found.reached(row.percent_bloom)[0])
            if days:
                apart = f"{abs(days)} {'day' if abs(days) == 1 else 'days'} {'later' if days > 0 else 'earlier'}"
                told.append(f"the forecast typed in, {row.percent_bloom:g} % on {row.on}, is {apart} and is not used")
    return found.model_copy(update={"warnings": (*found.warnings, *told)}) if told else found
