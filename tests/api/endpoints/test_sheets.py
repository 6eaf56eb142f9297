"""The sheets of a finished plan, over the API. What stands on them is tested beside their makers."""

from collections.abc import Callable

import pytest
from fastapi.testclient import TestClient

from api.files.sheets import MEDIA_TYPES, render, sheet_names
from fixtures.tiny import tiny_plan

PutDone = Callable[[str], str]


def test_every_sheet_listed_can_be_fetched_in_every_format(client: TestClient, put_done: PutDone, tiny_plan_json: str) -> None:
    listed = client.get(f"/plans/{put_done(tiny_plan_json)}/sheets").json()["sheets"]
    assert {one["name"] for one in listed} == set(sheet_names(tiny_plan()))
    for sheet in listed:
        for one in sheet["formats"]:
            answer = client.get(one["href"])
            assert answer.status_code == 200, one
            assert answer.headers["content-type"] == one["media_type"] == MEDIA_TYPES[one["format"]]
            assert answer.content


def test_a_sheet_is_the_same_as_the_command_line_writes(client: TestClient, put_done: PutDone, tiny_plan_json: str) -> None:
    job = put_done(tiny_plan_json)
    for name, format_ in (("moves", "csv"), ("moves", "geojson"), ("2027-04-24-old-blue", "txt")):
        assert client.get(f"/plans/{job}/sheets/{name}.{format_}").content == render(tiny_plan(), name, format_)


def test_the_lists_titles_say_which_truck_and_night(client: TestClient, put_done: PutDone, tiny_plan_json: str) -> None:
    listed = client.get(f"/plans/{put_done(tiny_plan_json)}/sheets").json()["sheets"]
    titles = {one["name"]: one["title"] for one in listed}
    assert titles["2027-04-24-old-blue"] == "Drop sheet, 2027-04-24 Old blue"
    assert titles["2027-04-24-yards"] == "Yard sheets, night of 2027-04-24"
    assert (titles["moves"], titles["checks"]) == ("All moves", "Every check")


def test_pages_are_shown_in_place_and_tables_are_handed_out(client: TestClient, put_done: PutDone, tiny_plan_json: str) -> None:
    job = put_done(tiny_plan_json)
    page = client.get(f"/plans/{job}/sheets/2027-04-24-old-blue.html")
    assert page.headers["content-disposition"] == 'inline; filename="2027-04-24-old-blue.html"'
    assert "script-src" not in page.headers["content-security-policy"]
    assert "default-src 'none'" in page.headers["content-security-policy"]
    assert client.get(f"/plans/{job}/sheets/moves.csv").headers["content-disposition"].startswith("attachment")


@pytest.mark.parametrize(
    "sheet",
    [
        "unheard-of.pdf",
        "moves.pdf",
        "moves.exe",
        "2027-04-24-old-blue.xlsx",
        "..%2F..%2Fetc.txt",
        "moves%00.csv",
    ],
)
def test_a_sheet_that_the_plan_has_not_is_not_found(
    client: TestClient, put_done: PutDone, tiny_plan_json: str, sheet: str
) -> None:
    answer = client.get(f"/plans/{put_done(tiny_plan_json)}/sheets/{sheet}")
    assert answer.status_code == 404
    assert answer.headers["content-type"] == "application/problem+json"


def test_the_plan_is_answered_as_it_was_kept(client: TestClient, put_done: PutDone, tiny_plan_json: str) -> None:
    assert client.get(f"/plans/{put_done(tiny_plan_json)}/plan").text == tiny_plan_json
