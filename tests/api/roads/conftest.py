"""Maps and tiles that the tests of roads share; tiles are there on the Pythons that have the engine."""

import sys
from pathlib import Path

import pyrosm
import pytest

from tests.api.roads.county import write_county

HAS_ENGINE = sys.version_info >= (3, 12)


@pytest.fixture(scope="session")
def county(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The invented county as a map."""
    return write_county(tmp_path_factory.mktemp("county") / "county.osm.pbf")


@pytest.fixture(scope="session")
def helsinki() -> Path:
    """A real extract: the middle of Helsinki, as the package pyrosm carries it (OpenStreetMap contributors, ODbL)."""
    return Path(pyrosm.__file__).parent / "data" / "Helsinki.osm.pbf"


if HAS_ENGINE:
    from api.roads.tiles import build_roads

    @pytest.fixture(scope="session")
    def county_roads(county: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
        """Tiles of the county."""
        into = tmp_path_factory.mktemp("tiles") / "county"
        build_roads(county, into)
        return into

    @pytest.fixture(scope="session")
    def helsinki_roads(helsinki: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
        """Tiles of the real extract."""
        into = tmp_path_factory.mktemp("tiles") / "helsinki"
        build_roads(helsinki, into, country="FI")
        return into
