"""Ways measured on tiles: the county whose every sign is known, and the middle of Helsinki as it is."""

import math
import random
from pathlib import Path

import pytest

from api.roads.errors import EngineMissingError, NoAnswerError, RoadsError
from routing.inputs.places import Place
from routing.roads.vehicle import RoadVehicle, road_vehicles
from tests.api.roads.conftest import HAS_ENGINE
from tests.api.roads.county import POINTS, county_operation, write_county
from tests.api.roads.road_server import Streets

SMALL = RoadVehicle(
    trucks=("Small",), vehicle_class="pickup", height_in=75.0, height_measured=True, width_in=78.0, length_in=220.0,
    length_measured=True, gross_lb=5000.0, rating_lb=7000.0, axle_lb=3000.0, tandem_lb=0.0, axles=2, axles_known=True,
)  # fmt: skip
METRES_PER_MILE = 1609.344


def place(name: str, at: "tuple[float, float]") -> Place:
    return Place(name=name, kind="yard", latitude_deg=at[0], longitude_deg=at[1], access="semi", loading="hand",
                 open_from=None, open_until=None, time_zone="UTC")  # fmt: skip


HOME, PEARS, CHERRIES, HOPS = (place(name, POINTS[name]) for name in ("H", "P", "C", "T"))

if HAS_ENGINE:
    from api.roads.engine import Engine, build_tiles
    from api.roads.graph import KEPT, Graph
    from api.roads.matrix import NO_YARD_LIES_ON, truck_costing, ways
    from api.roads.mend import write_mended
    from api.roads.scan import read_signs
    from api.roads.vehicle_options import truck_options
    from routing.roads.on_way import passings
    from routing.roads.sign import says

    @pytest.fixture(scope="session")
    def graph(county_roads: Path) -> Graph:
        return Graph(county_roads)

    @pytest.mark.parametrize(("short_tons", "crosses"), [(19.9, True), (20.1, False)])
    def test_a_truck_over_the_bridges_sign_goes_round(graph: Graph, short_tons: float, crosses: bool) -> None:
        truck = SMALL.model_copy(update={"gross_lb": 2000.0 * short_tons})
        way = graph.measure(truck, (HOME, PEARS)).ways["H", "P"]
        # 0.11 degrees of longitude at 44 N are 0.11 x 49.86 = 5.48 miles; round by the ridge two legs of 2.07 more.
        straight = 0.11 * math.cos(math.radians(44.0)) * 69.17
        assert way.miles == pytest.approx(straight if crosses else straight + 2 * 0.03 * 69.05, rel=0.01)

    @pytest.mark.parametrize(("height_in", "passes"), [(149.0, True), (151.0, False)])
    def test_the_sign_written_twelve_dash_six_lets_twelve_feet_six_through(graph: Graph, height_in: float, passes: bool) -> None:
        measured = graph.measure(SMALL.model_copy(update={"height_in": height_in}), (HOME, CHERRIES))
        assert (("H", "C") in measured.ways) is passes
        assert ("H", "C") in measured.freely

    def test_a_private_one_way_track_has_no_way_back_and_is_driven_at_a_farmers_speed(graph: Graph) -> None:
        measured = graph.measure(SMALL, (HOME, HOPS))
        assert set(measured.ways) == {("H", "T")}
        way = measured.ways["H", "T"]
        assert 60.0 * way.miles / way.minutes == pytest.approx(8.0, rel=0.05)
        assert "private, or for those with business there" in measured.meetings["T"].remarks

    def test_a_place_off_the_map_and_one_far_from_roads_meet_none_and_say_why(graph: Graph) -> None:
        off, far = place("off", (45.5, -90.0)), place("far", (44.047, -90.0))
        measured = graph.measure(SMALL, (HOME, off, far))
        assert measured.meetings["off"].why == "outside the map"
        assert measured.meetings["far"].why == "no road near"
        assert measured.ways == {}

    def test_the_lane_from_the_road_to_the_yard_is_added_at_the_speed_of_a_lane(graph: Graph) -> None:
        back = place("back", (POINTS["P"][0] + 0.002, POINTS["P"][1] - 0.004))  # 0.002 degrees: 0.138 miles off the road
        there = place("there", (POINTS["P"][0], POINTS["P"][1] - 0.004))
        far, near = (graph.measure(SMALL, (HOME, one)).ways["H", one.name] for one in (back, there))
        assert far.miles - near.miles == pytest.approx(0.138, abs=0.002)
        assert far.minutes - near.minutes == pytest.approx(0.138 / 8.0 * 60.0, abs=0.05)

    def test_what_was_measured_is_kept_and_read_back(county_roads: Path) -> None:
        graph = Graph(county_roads)
        truck = SMALL.model_copy(update={"gross_lb": 12_345.0})
        first = graph.measure(truck, (HOME, PEARS))
        again = Graph(county_roads).measure(truck, (HOME.model_copy(update={"name": "Renamed"}), PEARS))
        assert again.ways["Renamed", "P"] == first.ways["H", "P"]
        files = sorted((county_roads / KEPT).iterdir(), key=lambda file: file.stat().st_mtime)
        files[-1].write_bytes(b"no longer readable")
        assert graph.measure(truck, (HOME, PEARS)).ways == first.ways

    def test_a_gravel_road_is_taken_at_its_speed_or_kept_off_when_only_paved_roads_are_wanted(tmp_path: Path) -> None:
        build_tiles(tmp_path, write_gravel(tmp_path))
        engine = Engine(tmp_path)
        miles = {
            paved: ways(engine, (HOME, PEARS), truck_costing(truck_options(SMALL, paved_only=paved)))["H", "P"].miles
            for paved in (False, True)
        }  # fmt: skip
        assert miles[False] == pytest.approx(5.49, abs=0.02)
        assert miles[True] == pytest.approx(9.63, abs=0.02)  # round by the ridge, as a heavy truck goes

    def write_gravel(folder: Path) -> Path:
        """Return the engine's copy of the county with a bridge that is not paved; speeds as ours are written on it."""
        plain = write_county(folder / "plain.osm.pbf", changes={"B1 B2": {"surface": "gravel", "maxweight": ""}})
        write_mended(plain, folder / "gravel.osm.pbf", texts=(), country="US")
        return folder / "gravel.osm.pbf"

    def test_a_place_moved_is_measured_anew(graph: Graph) -> None:
        moved = PEARS.model_copy(update={"longitude_deg": POINTS["X1"][1]})
        assert graph.measure(SMALL, (HOME, moved)).ways["H", "P"].miles < graph.measure(SMALL, (HOME, PEARS)).ways["H", "P"].miles

    @pytest.fixture(scope="session")
    def corners(helsinki: Path) -> "tuple[Streets, tuple[Place, ...], dict[str, int]]":
        """Forty crossings of the real map, and the map as a graph of our own that heeds no rule."""
        streets = Streets(helsinki, heed_one_way=False)
        crossings = sorted(node for node, others in streets.next.items() if len(others) >= 3 and node not in streets.under)
        chosen = random.Random(7).sample(crossings, 40)
        return streets, tuple(place(str(node), streets.at[node]) for node in chosen), {str(node): node for node in chosen}

    def test_no_way_in_helsinki_is_shorter_than_the_shortest_that_our_own_search_finds(
        helsinki_roads: Path, corners: "tuple[Streets, tuple[Place, ...], dict[str, int]]"
    ) -> None:
        streets, stops, node = corners
        measured = Graph(helsinki_roads).measure(SMALL, stops)
        # A place that the engine puts on another road than its own would be compared with another way.
        there = {name for name, one in measured.meetings.items() if one.feet < 3.0}
        ways = {pair: way for pair, way in measured.ways.items() if set(pair) <= there}
        assert len(ways) > 500
        shortest = {name: streets.metres_from(number) for name, number in node.items()}
        # Half a percent: the engine measures on a sphere; 5 m: it keeps metres, and three feet at each end.
        late = [pair for pair, way in ways.items()
                if way.miles * METRES_PER_MILE < 0.994 * shortest[pair[0]][node[pair[1]]] - 5.0]  # fmt: skip
        assert late == []

    def test_the_limits_posted_in_helsinki_are_obeyed(
        helsinki_roads: Path, corners: "tuple[Streets, tuple[Place, ...], dict[str, int]]"
    ) -> None:
        _, stops, _ = corners
        truck = SMALL.model_copy(update={
            "height_in": 157.0, "length_in": 530.0, "gross_lb": 60_000.0, "axle_lb": 19_000.0, "width_in": 100.0,
        })  # fmt: skip
        signs = read_signs(helsinki_roads)
        measured = Graph(helsinki_roads).measure(truck, stops)
        keeping_out = [one for one in signs if one.heard and says(one, truck) == "keeps out"]
        assert {one.kind for one in keeping_out} >= {"height", "weight", "length"}
        assert passings(keeping_out, measured.ways) == ()
        # The same signs stand on the ways of a vehicle that need not obey them, so the test could fail.
        assert len(passings(keeping_out, measured.freely)) >= 3
        assert len(measured.ways) < len(measured.freely)

    def test_a_pair_told_to_have_no_way_has_none_by_a_search_of_its_own_either(helsinki_roads: Path) -> None:
        # The table of many pairs misses ways to this corner, which lies on a street for residents.
        corner = place("corner", (60.168832, 24.942806))
        starts = tuple(place(f"start {number}", at) for number, at in enumerate(
            ((60.1722, 24.9490), (60.1660, 24.9400), (60.1765, 24.9435), (60.1690, 24.9500), (60.1705, 24.9387))
        ))  # fmt: skip
        truck = SMALL.model_copy(update={"height_in": 157.0, "length_in": 530.0, "gross_lb": 60_000.0, "axle_lb": 19_000.0})
        engine, costing = Engine(helsinki_roads), truck_costing(truck_options(truck))
        stops = (*starts, corner)
        found = ways(engine, stops, costing)
        points = [{"lat": one.latitude_deg, "lon": one.longitude_deg, "search_filter": NO_YARD_LIES_ON} for one in stops]
        table = engine.ask("sources_to_targets", {"sources": points, "targets": points, "verbose": True, **costing})
        missed = {(stops[one["from_index"]].name, stops[one["to_index"]].name)
                  for row in table["sources_to_targets"] for one in row if one["distance"] is None}  # fmt: skip
        assert missed & found.keys()  # told by the second search
        at = {stop.name: point for stop, point in zip(stops, points, strict=True)}
        for a, b in missed - found.keys():
            with pytest.raises(NoAnswerError):
                engine.ask("route", {"locations": [at[a], at[b]], **costing})

    def test_a_folder_without_tiles_is_told(tmp_path: Path) -> None:
        with pytest.raises(RoadsError, match=r"found no roads\.json in it, allowed: a folder that 'bloomhaul roads build' made"):
            Graph(tmp_path)

else:

    def test_without_the_engine_the_tool_says_what_is_missing(tmp_path: Path) -> None:
        from api.roads.engine import Engine

        with pytest.raises(EngineMissingError, match=r"pyvalhalla, which is not here; it needs Python 3\.12 or newer"):
            Engine(tmp_path)


def test_the_trucks_of_the_county_are_alike_to_no_road() -> None:
    blue, semi = road_vehicles(county_operation())
    assert (blue.name, semi.name) == ("Old blue", "Hired semi")
    assert (semi.height_in, semi.length_in) == (162.0, 780.0)
