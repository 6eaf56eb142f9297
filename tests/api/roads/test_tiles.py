"""From a map to tiles: what the folder says of itself, and what keeps it from being made."""

import shutil
from pathlib import Path

import pytest

from api.roads.country import FIRST_ID, country_of, write_boundary
from api.roads.errors import EngineMissingError, RoadsError
from api.roads.mend import plain_text, speed_text, write_mended
from api.roads.scan import ROADS, read_signs, scan_map, ways_of, write_signs
from api.roads.tiles import build_roads, read_stamp
from api.roads.trial import can_be_tried, figure, known_texts, spots
from tests.api.roads.conftest import HAS_ENGINE
from tests.api.roads.county import write_county

if HAS_ENGINE:
    from api.roads.engine import ADMINS, build_boundaries
    from api.roads.errors import SelfTestError
    from api.roads.trial import misread, must_pass, run_trials

    def test_the_stamp_says_what_was_built_and_which_signs_were_tried(county: Path, county_roads: Path) -> None:
        stamp = read_stamp(county_roads)
        assert (stamp.extract, stamp.country, stamp.roads) == ("county.osm.pbf", "US", 12)
        assert len(stamp.sha256) == 64
        assert any(one.startswith("maxweight=20 st at ") and one.endswith("read right") for one in stamp.tried)
        assert stamp.mended == ("maxheight=12-6 as 3.81",)
        assert stamp.given_speed == 1

    def test_the_same_map_is_not_built_twice(county: Path, county_roads: Path) -> None:
        said: list[str] = []
        assert build_roads(county, county_roads, say=said.append) == read_stamp(county_roads)
        assert said == [f"{county_roads}: made of this map already, by the same engine; nothing to do."]

    def test_without_the_countrys_boundary_short_tons_are_misread_and_the_tiles_are_refused(county: Path, tmp_path: Path) -> None:
        build_boundaries(tmp_path, [county])
        trials = run_trials(tmp_path, scan_map(county).points, country="US")
        wrong = set(misread(trials))
        assert {("maxweight", "20 st"), ("maxweight", "40000 lbs"), ("maxaxleload", "10 st")} <= wrong
        assert not wrong & {("maxheight", "12'6\""), ("maxlength", "40'")}
        with pytest.raises(SelfTestError, match=r"maxweight=20 st at .*: a truck just over it crosses, and"):
            must_pass(trials, "US", "county.osm.pbf")

    def test_a_boundary_around_a_part_of_the_map_only_is_found_out(county: Path, tmp_path: Path) -> None:
        # The county goes from 90.10 to 89.89 degrees west; this boundary, with its margin of half a degree, ends at 90.02.
        write_boundary("US", (43.9, -91.0, 44.1, -90.52), tmp_path / "part.osm.pbf")
        build_boundaries(tmp_path, [county, tmp_path / "part.osm.pbf"])
        trials = run_trials(tmp_path, scan_map(county).points, country="US")
        within = {one.stops_over for one in trials if one.value == "20 st" and one.at[1] < -90.02}
        beyond = {one.stops_over for one in trials if one.value == "20 st" and one.at[1] > -89.98}
        assert (within, beyond) == ({True}, {False})
        with pytest.raises(SelfTestError):
            must_pass(trials, "US", "county.osm.pbf")

    @pytest.mark.parametrize(("tons", "read"), [("20 st", 18.14), ("40000 lbs", 18.14), ("10 st", 9.07)])
    def test_what_a_sign_allows_is_worked_out_by_our_own_reading(tons: str, read: float) -> None:
        assert figure("maxweight", tons) == pytest.approx(read, abs=0.01)

    def test_texts_that_the_engine_misreads_are_found_by_trying_them(county: Path, county_roads: Path) -> None:
        # 12'6 without the mark of inches, and a comma among thousands: found by trial with engine 3.9.1.
        texts = (("maxheight", "12'6"), ("maxweight", "40,000 lbs"), ("maxheight", "12'6\""))
        trials = run_trials(county_roads, scan_map(county).points, country="US", texts=texts)
        assert set(misread(trials)) == set(texts[:2])
        mended = [(key, plain_text(key, value, "US")) for key, value in texts[:2]]
        assert mended == [("maxheight", "3.81"), ("maxweight", "40000 lbs")]
        again = run_trials(county_roads, scan_map(county).points, country="US", texts=mended)
        assert set(misread(again)) == set()

    def test_a_failed_build_leaves_what_was_there(county: Path, county_roads: Path, tmp_path: Path) -> None:
        into = tmp_path / "roads"
        shutil.copytree(county_roads, into)
        broken = tmp_path / "broken.osm.pbf"
        broken.write_bytes(county.read_bytes()[:300])
        with pytest.raises(RoadsError, match=r"broken\.osm\.pbf: found a file that cannot be read as a map"):
            build_roads(broken, into)
        assert read_stamp(into).extract == "county.osm.pbf"
        assert not list(tmp_path.glob(".*"))

    def test_a_folder_with_other_files_is_left_alone(county: Path, tmp_path: Path) -> None:
        (tmp_path / "taxes.txt").write_text("2026")
        with pytest.raises(RoadsError, match="found a folder that holds other files, allowed: a new or empty one"):
            build_roads(county, tmp_path)
        assert (tmp_path / "taxes.txt").read_text() == "2026"

    def test_the_boundaries_stay_beside_the_tiles(county_roads: Path) -> None:
        assert (county_roads / ADMINS).stat().st_size > 0

else:

    def test_without_the_engine_the_tool_says_what_is_missing(county: Path, tmp_path: Path) -> None:
        with pytest.raises(EngineMissingError, match=r"it needs Python 3\.12 or newer and this is Python 3\.11"):
            build_roads(county, tmp_path / "roads")


def test_the_signs_of_a_map_are_found_with_their_roads(county: Path) -> None:
    scan = scan_map(county)
    told = {(one.text, one.road, one.heard) for one in scan.signs}
    assert told == {
        ("maxweight=20 st", "Mill Bridge", True), ("maxheight=12-6", "Low Lane", True),
        ("maxweightrating=10 st", "Ridge Road", False),
        ("maxweight:conditional=5 st @ (Mar-Apr)", "County A", False), ("route=ferry", "Old Ferry", False),
    }  # fmt: skip
    assert scan.box == pytest.approx((43.96, -90.1, 44.03, -89.89))


def test_the_signs_of_the_middle_of_helsinki_are_those_that_a_plain_count_finds(helsinki: Path) -> None:
    keys = ("maxheight", "maxweight", "maxaxleload")
    found = scan_map(helsinki).signs
    counted = {key: sum(one.key == key and one.heard for one in found) for key in keys}
    every = road_tags(helsinki)
    assert counted == {key: sum(key in tags for tags in every) for key in keys}
    assert len(every) == scan_map(helsinki).roads
    assert counted["maxheight"] >= 15


def road_tags(file: Path) -> "list[dict[str, str]]":
    """Return the tags of every road, read without any filter."""
    import osmium

    found = [{tag.k: tag.v for tag in one.tags} for one in osmium.FileProcessor(str(file)) if one.is_way()]
    return [tags for tags in found if tags.get("highway") in ROADS]


def test_signs_are_kept_and_read_back(county: Path, tmp_path: Path) -> None:
    signs = scan_map(county).signs
    write_signs(signs, tmp_path)
    assert read_signs(tmp_path) == signs


def test_a_map_without_roads_and_a_file_that_is_none_are_told(tmp_path: Path) -> None:
    write_boundary("US", (44.0, -90.0, 44.1, -89.9), tmp_path / "empty.osm.pbf")
    with pytest.raises(RoadsError, match=r"empty\.osm\.pbf: found no road in it"):
        scan_map(tmp_path / "empty.osm.pbf")
    (tmp_path / "notes.txt").write_text("not a map")
    with pytest.raises(RoadsError, match=r"notes\.txt: found a file that cannot be read as a map .*, allowed: an Open"):
        scan_map(tmp_path / "notes.txt")


def test_a_map_outside_the_united_states_must_name_its_country(helsinki: Path) -> None:
    points = scan_map(helsinki).points
    with pytest.raises(RoadsError, match=r"found a road at latitude 60\.\d+, longitude 24\.\d+, outside the United States"):
        country_of(points, None, "Helsinki.osm.pbf")
    assert country_of(points, "fi", "Helsinki.osm.pbf") == "FI"
    assert country_of([(44.0, -90.0), (21.3, -157.8), (64.8, -147.7)], None, "x") == "US"
    with pytest.raises(RoadsError, match="The country 'Finland' is none, allowed: two letters"):
        country_of(points, "Finland", "Helsinki.osm.pbf")


def test_the_boundary_has_numbers_that_no_map_has(tmp_path: Path) -> None:
    write_boundary("US", (44.0, -90.0, 44.1, -89.9), tmp_path / "b.osm.pbf")
    import osmium

    kinds = {type(one).__name__: one.id for one in osmium.FileProcessor(str(tmp_path / "b.osm.pbf"))}
    assert set(kinds) == {"Node", "Way", "Relation"}
    assert min(kinds.values()) >= FIRST_ID > 100_000_000_000


@pytest.mark.parametrize(("tags", "speed"), [
    ({"highway": "track"}, "8 mph"), ({"highway": "track", "maxspeed": "5 mph"}, None),
    ({"highway": "unclassified", "surface": "gravel"}, "29 mph"), ({"highway": "unclassified", "surface": "asphalt"}, None),
    ({"highway": "footway", "surface": "gravel"}, None), ({"highway": "tertiary", "surface": "dirt", "maxspeed:hgv": "30"}, None),
])  # fmt: skip
def test_only_tracks_and_gravel_roads_without_a_speed_are_given_one(tags: "dict[str, str]", speed: "str | None") -> None:
    assert speed_text(tags) == speed


def test_the_engines_copy_differs_in_the_signs_and_speeds_and_in_nothing_else(county: Path, tmp_path: Path) -> None:
    mended = tmp_path / "mended.osm.pbf"
    assert write_mended(county, mended, texts={("maxheight", "12-6")}, country="US") == (1, 1)
    before, after = (
        {way.id: {tag.k: tag.v for tag in way.tags} for way in ways_of(file, "highway", "route")} for file in (county, mended)
    )
    changed = {way: (before[way], after[way]) for way in before if before[way] != after[way]}
    assert len(before) == len(after) == 13
    assert sorted(set(b.items()) ^ set(a.items()) for a, b in changed.values()) == sorted(
        [{("maxheight", "12-6"), ("maxheight", "3.81")}, {("maxspeed", "8 mph")}]
    )


def test_spots_spread_over_the_map_and_stand_apart() -> None:
    points = [(40.0 + 0.1 * row, -90.0 + 0.1 * column) for row in range(11) for column in range(11)]
    found = spots(points)
    assert len(found) == 5  # the middle and the four corners: the middles of the sides fall on them
    assert found[0] == pytest.approx((40.5, -89.5))
    corners = {(north, east) for north in (40.0, 41.0) for east in (-90.0, -89.0)}
    assert {tuple(round(one, 1) for one in point) for point in found[1:]} == corners


def test_signs_without_a_figure_or_beyond_any_truck_are_not_tried() -> None:
    assert [can_be_tried("maxheight", text) for text in ("12-6", "none", "below_default", "40")] == [True, False, False, False]
    assert not can_be_tried("hgv", "no")
    assert all(can_be_tried(*text) for country in ("US", "FI") for text in known_texts(country))


def test_a_county_may_be_written_with_other_signs(tmp_path: Path) -> None:
    file = write_county(tmp_path / "other.osm.pbf", changes={"B1 B2": {"maxweight": "5 st"}})
    assert "maxweight=5 st" in {one.text for one in scan_map(file).signs}
