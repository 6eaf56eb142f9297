"""A plan is asked for anew with something changed, and two plans are seen side by side."""

import json
import time

JSON = {"content-type": "application/json"}


def finished(client, address):
    for _ in range(300):
        job = client.get(address).json()
        if job["state"] not in {"waiting", "running"}:
            return job
        time.sleep(0.1)
    raise AssertionError(job)


def test_a_plan_is_made_anew_and_compared(client, put_done, tiny_plan_json):
    old = put_done(tiny_plan_json)
    nights = [one["night"] for one in json.loads(tiny_plan_json)["truck_nights"]]
    asked = {"next_night": nights[0], "changes": [{"kind": "no moves", "nights": [nights[0]]}]}
    answer = client.post(f"/plans/{old}/changes?steps=2", content=json.dumps(asked), headers=JSON)
    assert answer.status_code == 202, answer.text
    job = finished(client, answer.headers["Location"])
    assert job["state"] == "done", job
    plan = client.get(job["links"]["plan"]).json()
    assert nights[0] not in [one["night"] for one in plan["truck_nights"]]
    found = client.get(f"/plans/{job['id']}/changes", params={"since": old}).json()
    assert (nights[0], "called off") in [(one["night"], one["what"]) for one in found["nights"]]


def test_a_change_of_an_unknown_kind_or_name_is_answered_with_its_place(client, put_done, tiny_plan_json):
    old = put_done(tiny_plan_json)
    for change, path in (({"kind": "locusts"}, "changes[0]"), ({"kind": "bloom", "contract": "Nowhere", "days": 1}, "")):
        body = json.dumps({"next_night": "2027-04-24", "changes": [change]})
        answer = client.post(f"/plans/{old}/changes", content=body, headers=JSON)
        assert answer.status_code == 422
        (fault,) = answer.json()["faults"]
        assert fault["path"] == path
    assert "change 1, column name: found 'Nowhere'" in fault["message"]


def test_changes_of_a_plan_that_is_not_there_are_told(client):
    body = json.dumps({"next_night": "2027-04-24"})
    assert client.post("/plans/none/changes", content=body, headers=JSON).status_code == 404
    assert client.get("/plans/none/changes", params={"since": "none"}).status_code == 404
