"""What the headings of a weather file mean, and in which unit its temperatures are."""

import re
from dataclasses import dataclass
from typing import Literal

Meaning = Literal["place", "day", "hour", "temperature", "low", "high", "kind"]
Unit = Literal["F", "C", "K", ""]

NEEDED = (
    "the headings 'date', 'hour' and 'temperature [deg F]' of a file by the hour, or 'date', 'low [deg F]' and 'high [deg F]'"
    " of one by the day; [deg C] and [K] are read too; 'place' and 'kind' may stand beside them"
)
_WORDS: dict[str, Meaning] = {
    **dict.fromkeys(("place", "yard", "contract", "orchard", "station", "where"), "place"),
    **dict.fromkeys(("date", "day", "on", "timestamp", "datetime", "date time", "date and time", "time hour", "valid"), "day"),
    **dict.fromkeys(("hour", "time", "time of day", "clock"), "hour"),
    **dict.fromkeys(("temperature", "temp", "air temperature", "air temp", "dry bulb", "dry bulb temperature"), "temperature"),
    **dict.fromkeys(("low", "min", "minimum", "lowest", "tmin", "low temperature", "min temperature", "temp min",
                     "minimum temperature"), "low"),
    **dict.fromkeys(("high", "max", "maximum", "highest", "tmax", "high temperature", "max temperature", "temp max",
                     "maximum temperature"), "high"),
    **dict.fromkeys(("kind", "seen or normal"), "kind"),
}  # fmt: skip
_UNITS: dict[str, Unit] = {
    **dict.fromkeys(("f", "deg f", "degf", "°f", "degrees f", "fahrenheit", "degrees fahrenheit"), "F"),
    **dict.fromkeys(("c", "deg c", "degc", "°c", "degrees c", "celsius", "degrees celsius"), "C"),
    **dict.fromkeys(("k", "kelvin", "deg k"), "K"),
}  # fmt: skip
_BRACKETS = re.compile(r"[\[(]([^\])]*)[\])]\s*$")
TEMPERATURES: tuple[Meaning, ...] = ("temperature", "low", "high")


@dataclass(frozen=True)
class Heading:
    """One heading understood."""

    meaning: Meaning
    unit: Unit
    """Of a temperature; empty when the heading says none."""


def heading_of(text: str) -> Heading | None:
    """Return what a heading means; None for a column that is not read, such as humidity.

    Examples
    --------
    >>> heading_of("Low [deg F]")
    Heading(meaning='low', unit='F')
    >>> heading_of("temp_c"), heading_of("Temperature")
    (Heading(meaning='temperature', unit='C'), Heading(meaning='temperature', unit=''))
    >>> heading_of("humidity (%)") is None
    True
    """
    plain = text.strip().casefold()
    unit: Unit = ""
    found = _BRACKETS.search(plain)
    if found is not None:
        unit = _UNITS.get(" ".join(found[1].split()), "")
        plain = plain[: found.start()]
    words = plain.replace("_", " ").replace("-", " ").split()
    for length in (2, 1):
        tail = " ".join(words[-length:])
        if len(words) > length and not unit and tail in _UNITS:
            unit, words = _UNITS[tail], words[:-length]
    meaning = _WORDS.get(" ".join(words))
    if meaning is None:
        return None
    return Heading(meaning, unit if meaning in TEMPERATURES else "")


def fahrenheit(value: float, unit: Unit) -> float:
    """Return degrees Fahrenheit of a value in a unit. [F, C or K] -> [deg F]"""
    if unit == "F":
        return value
    return (value - (273.15 if unit == "K" else 0.0)) * 1.8 + 32.0
