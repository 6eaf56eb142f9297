"""Conversion at the edges; inside, the trade's US customary units.

Exact by definition: NIST Special Publication 811 (2008), appendix B (from memory).
"""

METRES_PER_MILE = 1609.344
METRES_PER_NAUTICAL_MILE = 1852.0
KG_PER_LB = 0.45359237
CM_PER_INCH = 2.54


def miles_from_metres(distance_m: float) -> float:
    """Return statute miles. [m] -> [mi]"""
    return distance_m / METRES_PER_MILE


def celsius_from_fahrenheit(temperature_f: float) -> float:
    """Return degrees Celsius. [deg F] -> [deg C]"""
    return (temperature_f - 32.0) * 5.0 / 9.0


def kg_from_lb(weight_lb: float) -> float:
    """Return kilograms. [lb] -> [kg]"""
    return weight_lb * KG_PER_LB


def feet_from_inches(length_in: float) -> float:
    """Return feet. [in] -> [ft]"""
    return length_in / 12.0
