"""The flat grid of feet agrees with the ellipsoid; the ground is what the operation says of one contract."""

from collections.abc import Callable

import pytest
from pyproj import Geod

from routing.drops.drop import SitingError
from routing.drops.ground import LocalGrid, buffer_of, ground_of
from routing.inputs.operation import Operation

Draw = Callable[..., Operation]
Box = Callable[[float, float, float, float], str]


@pytest.mark.parametrize(("latitude", "longitude"), [(43.976, -86.288), (27.5, -80.4), (48.1, -119.9), (-38.2, 176.3)])
def test_feet_on_the_grid_are_feet_on_the_ellipsoid(latitude: float, longitude: float) -> None:
    grid = LocalGrid(latitude, longitude)
    # Two places 2.5 miles north-east and south-west of the middle: 26,400 ft; an inch is 0.083 ft.
    one, other = grid.degrees(9_334.0, 9_334.0), grid.degrees(-9_334.0, 3_000.0)
    _, _, metres = Geod(ellps="WGS84").inv(one[1], one[0], other[1], other[0])
    flat = grid.spot(*one).distance(grid.spot(*other))
    assert flat == pytest.approx(metres / 0.3048, abs=0.05)


def test_a_degree_of_latitude_has_its_published_length() -> None:
    # At 45 north a degree of latitude is 111,131.7 m (from memory; Snyder, table of the meridian): 364,605 ft.
    grid = LocalGrid(45.0, -90.0)
    assert grid.spot(45.5, -90.0).y - grid.spot(44.5, -90.0).y == pytest.approx(111_131.7 / 0.3048, rel=1e-5)


def test_buffers_are_the_features_own_then_the_users_then_the_cited(orchard: Draw, box: Box) -> None:
    land = (("house", "Cottage", "POINT(500 1200)"),)
    cited = orchard(blocks={"A": box(0, 0, 1000, 1000)}, land=land)
    assert buffer_of(cited, cited.land_features[0]) == 300.0
    users = orchard(blocks={"A": box(0, 0, 1000, 1000)}, land=land, figures={"house_buffer_ft": 120.0})
    assert buffer_of(users, users.land_features[0]) == 120.0
    own = users.land_features[0].model_copy(update={"buffer_ft": 50.0})
    assert buffer_of(users, own) == 50.0


def test_what_keeps_an_orchard_from_being_sited_is_one_sentence(orchard: Draw, box: Box) -> None:
    operation = orchard(blocks={"A": box(0, 0, 1000, 1000)})
    with pytest.raises(SitingError, match=r"There is no contract called 'Nowhere'; there are: 'Early cherries'\."):
        ground_of(operation, "Nowhere")
    with pytest.raises(SitingError, match=r"Early cherries: no gate is given"):
        ground_of(operation.model_copy(update={"gates": ()}), "Early cherries")
    bare = tuple(block.model_copy(update={"outline": None}) for block in operation.blocks)
    with pytest.raises(SitingError, match=r"none of its 1 blocks has an outline"):
        ground_of(operation.model_copy(update={"blocks": bare}), "Early cherries")
