"""The ways of an operation over the API, with what was found about them."""

from collections.abc import Callable

from fastapi.testclient import TestClient

from fixtures.tiny import tiny_operation, tiny_plan
from routing.inputs.operation import Distance, Operation
from routing.inputs.ways import ClosedPlace, RoadSign

GRAPH = "road graph of x.osm.pbf (0123); for Old blue"


def measured() -> Operation:
    tiny = tiny_operation()
    rows = tuple(row.model_copy(update={"basis": GRAPH}) for row in tiny.distances[1:])
    sign = RoadSign(
        origin="Home yard", destination="Far yard", kind="ferry", text="route=ferry", latitude_deg=43.6, longitude_deg=-86.1
    )
    own = Distance(origin="Home yard", destination="Far yard", trucks="Old blue", miles=13.0, minutes=20.0, basis=GRAPH)
    return tiny.model_copy(update={
        "distances": (tiny.distances[0], *rows, own), "road_signs": (sign,),
        "closed_places": (ClosedPlace(truck="Old blue", place="Far yard", why="road graph of x: no way there"),),
    })  # fmt: skip


def asked(client: TestClient, operation: Operation, truck: str = "") -> "dict[str, object]":
    answer = client.post("/operations/roads", params={"truck": truck}, content=operation.model_dump_json(),
                         headers={"Content-Type": "application/json"})  # fmt: skip
    assert answer.status_code == 200, answer.text
    return answer.json()


def test_every_way_is_listed_with_its_basis(client: TestClient) -> None:
    told = asked(client, measured())
    ways = {(row["origin"], row["destination"]): row for row in told["ways"]}
    assert len(ways) == 4 * 3
    assert ways["Home yard", "Early cherries"]["basis"] == "your own table"
    assert ways["Early cherries", "Home yard"]["basis"] == "your own table, the way back"
    assert (ways["Home yard", "Far yard"]["basis"], ways["Home yard", "Far yard"]["miles"]) == (GRAPH, 12.0)
    found = {one["check"]: one for one in told["findings"]}
    assert found["posted limits on measured ways"]["status"] == "unknown"
    assert found["sign on the way: ferry"]["status"] == "unknown"
    assert told["closed_places"][0]["place"] == "Far yard"


def test_a_trucks_own_way_is_listed_when_it_is_asked_for(client: TestClient) -> None:
    ways = {(row["origin"], row["destination"]): row["miles"] for row in asked(client, measured(), "Old blue")["ways"]}
    assert ways["Home yard", "Far yard"] == 13.0
    assert ways["Home yard", "Late blueberries"] == 28.0


def test_a_truck_that_is_not_there_is_told_with_the_nearest(client: TestClient) -> None:
    answer = client.post("/operations/roads", params={"truck": "Old blu"}, content=measured().model_dump_json(),
                         headers={"Content-Type": "application/json"})  # fmt: skip
    assert (answer.status_code, answer.json()["type"]) == (422, "/problems/bad-parameter")
    assert "Old blue" in answer.json()["faults"][0]["allowed"]


def test_the_ways_of_a_plan_are_those_of_its_operation(client: TestClient, put_done: Callable[[str], str]) -> None:
    job = put_done(tiny_plan().model_dump_json())
    told = client.get(f"/plans/{job}/roads").json()
    assert {row["basis"] for row in told["ways"]} == {"your own table", "your own table, the way back"}
    assert client.get("/plans/none/roads").status_code == 404
