"""Read the text of a posted limit as a map has it: ``12'6"``, ``12-6``, ``20 st``, ``40,000 lbs``.

The rules of the map: a length without a unit is metres, a weight without a unit is metric tonnes, signs of the United
States are written in feet and inches, ``st`` (short tons of 2,000 lb) and ``lbs``.

References
----------
OpenStreetMap wiki, "Key:maxweight" and "Map features/Units", https://wiki.openstreetmap.org/wiki/Key:maxweight
"""

import math
import re
from collections.abc import Callable

from routing.units import CM_PER_INCH, KG_PER_LB

NO_LIMIT = ("none", "no", "unlimited", "default", "unsigned")
"""What a map says where there is no sign to obey."""

_NUMBER = r"\d+(?:[.,]\d+)?"
_FEET = r"(?:'|ft\.?|feet|foot)"
_INCHES = r"(?:\"|''|in\.?|inch|inches)"
_FEET_AND_INCHES = re.compile(rf"({_NUMBER})\s*{_FEET}\s*(?:({_NUMBER})\s*{_INCHES}?)?")
_DASHED = re.compile(r"(\d{1,2})\s*-\s*(\d{1,2})")
_PLAIN = re.compile(r"(\d[\d.,  ]*)\s*([^\d\s].*)?")
_LENGTHS_IN = {
    "": 100.0 / CM_PER_INCH, "m": 100.0 / CM_PER_INCH, "meter": 100.0 / CM_PER_INCH, "metre": 100.0 / CM_PER_INCH,
    "meters": 100.0 / CM_PER_INCH, "metres": 100.0 / CM_PER_INCH, "cm": 1.0 / CM_PER_INCH,
    "\"": 1.0, "''": 1.0, "in": 1.0, "inch": 1.0, "inches": 1.0,
}  # fmt: skip
_TONNE_LB = 1000.0 / KG_PER_LB
_WEIGHTS_LB = {
    "": _TONNE_LB, "t": _TONNE_LB, "tonne": _TONNE_LB, "tonnes": _TONNE_LB, "mt": _TONNE_LB, "kg": 1.0 / KG_PER_LB,
    "st": 2000.0, "short ton": 2000.0, "short tons": 2000.0, "ton": 2000.0, "tons": 2000.0,
    "lb": 1.0, "lbs": 1.0, "pound": 1.0, "pounds": 1.0, "kip": 1000.0, "kips": 1000.0,
}  # fmt: skip
# A bare "ton" is the short one here: of the tons in use it is the lightest.


def posted_length_in(text: str) -> float | None:
    """Return the length that a posted limit allows, infinite where the text says that there is none. [in]

    Parameters
    ----------
    text
        Value of ``maxheight``, ``maxlength`` or ``maxwidth``. Of several values, parted by semicolons, the least counts.

    Returns
    -------
    float or None
        None when it cannot be read.

    Examples
    --------
    >>> posted_length_in("12'6\\""), posted_length_in("12-6"), posted_length_in("12 ft 6 in")
    (150.0, 150.0, 150.0)
    >>> round(posted_length_in("3.8"), 1)  # metres
    149.6
    >>> posted_length_in("below_default") is None
    True
    """
    return _least(text, _one_length_in)


def posted_weight_lb(text: str) -> float | None:
    """Return the weight that a posted limit allows, infinite where the text says that there is none. [lb]

    Parameters
    ----------
    text
        Value of ``maxweight``, ``maxaxleload`` and their like. Of several values the least counts.

    Returns
    -------
    float or None
        None when it cannot be read.

    Examples
    --------
    >>> posted_weight_lb("20 st"), posted_weight_lb("40,000 lbs"), posted_weight_lb("20 tons")
    (40000.0, 40000.0, 40000.0)
    >>> round(posted_weight_lb("20"))  # metric tonnes
    44092
    """
    return _least(text, _one_weight_lb)


def _least(text: str, read: Callable[[str], float | None]) -> float | None:
    values = [read(_plain(part)) for part in text.split(";")]
    known = [value for value in values if value is not None]
    return min(known) if known and len(known) == len(values) else None


_PRIMES = str.maketrans({"′": "'", "’": "'", "‘": "'", "″": '"', "”": '"', "“": '"', "–": "-", "\xa0": " "})


def _plain(text: str) -> str:
    return " ".join(text.translate(_PRIMES).casefold().split())


def _one_length_in(text: str) -> float | None:
    if text in NO_LIMIT:
        return math.inf
    if found := _FEET_AND_INCHES.fullmatch(text):
        feet, inches = found.groups()
        return 12.0 * _number(feet) + (_number(inches) if inches else 0.0)
    # A dash stands for feet only where what follows can be inches: 12-6, never 12-60.
    if (found := _DASHED.fullmatch(text)) and int(found[2]) < 12:
        return 12.0 * int(found[1]) + int(found[2])
    return _in_units(text, _LENGTHS_IN)


def _one_weight_lb(text: str) -> float | None:
    return math.inf if text in NO_LIMIT else _in_units(text, _WEIGHTS_LB)


def _in_units(text: str, units: dict[str, float]) -> float | None:
    found = _PLAIN.fullmatch(text)
    factor = units.get((found[2] or "").strip().rstrip(".")) if found else None
    if found is None or factor is None:
        return None
    value = _number(found[1])
    return value * factor if value > 0.0 else None


def _number(text: str) -> float:
    """Return a number; a comma or blank before three last digits parts thousands, any other comma is a decimal one."""
    text = text.strip()
    if re.fullmatch(r"\d{1,3}(?:[, ]\d{3})+(?:\.\d+)?", text):
        text = re.sub(r"[, ]", "", text)
    text = text.replace(",", ".")
    try:
        return float(text)
    except ValueError:
        return 0.0

