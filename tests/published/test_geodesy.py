"""Distances against the Vincenty test line and against a second library."""

import pytest
from geographiclib.geodesic import Geodesic

from routing.formulas.geodesy import geodesic_miles

METRES_PER_MILE = 1609.344


def _degrees(degrees: int, minutes: int, seconds: float) -> float:
    return degrees + minutes / 60 + seconds / 3600


def test_flinders_peak_to_buninyong_is_the_vincenty_line() -> None:
    # Geoscience Australia's test line for Vincenty's formulae: 54,972.271 m on GRS 80, the same on WGS 84.
    flinders_peak = (-_degrees(37, 57, 3.72030), _degrees(144, 25, 29.52440))
    buninyong = (-_degrees(37, 39, 10.15610), _degrees(143, 55, 35.38390))
    metres = geodesic_miles([flinders_peak, buninyong])[0][1] * METRES_PER_MILE
    assert metres == pytest.approx(54_972.271, abs=0.001)


def test_nashville_to_los_angeles_is_the_geodesic_and_not_the_sphere() -> None:
    # Geodesic 2,892.77696 km (geographiclib); the sphere of radius 6371.0088 km would give 2,886.44843 km.
    metres = geodesic_miles([(36.12, -86.67), (33.94, -118.40)])[0][1] * METRES_PER_MILE
    assert metres == pytest.approx(2_892_776.96, abs=0.01)


def test_a_table_of_places_agrees_with_karneys_own_library() -> None:
    places = [(44.1, -90.2), (46.6021, -120.5059), (25.4687, -80.4776), (44.6, -67.93), (44.1002, -90.2)]
    table = geodesic_miles(places)
    for i, origin in enumerate(places):
        for j, destination in enumerate(places):
            metres = Geodesic.WGS84.Inverse(*origin, *destination)["s12"]
            assert table[i][j] * METRES_PER_MILE == pytest.approx(metres, abs=1e-6)
