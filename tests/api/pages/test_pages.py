"""What every page keeps to, seen without a browser: policy, no script in a page, forms, addresses, the look."""

import gzip
import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from api.app import create_app
from api.endpoints.pages_frame import local_address
from api.pages.curve import curve_svg
from api.pages.look import look, look_files
from api.settings import Settings
from api.store.job import JobAsked
from api.store.operation import Origin, ProgressPoint
from api.store.operations import OperationStore
from fixtures.demo import demo_operation
from fixtures.nasty import nasty_plan
from fixtures.tiny import tiny_operation, tiny_plan
from routing.plan_record import Plan

HERE = "http://127.0.0.1"
READ = {"accept": "text/html"}
FORM = READ | {"origin": HERE}
Put = Callable[[Plan], str]


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    """A running application, its store empty at first."""
    settings = Settings(store=tmp_path_factory.mktemp("store") / "plans.sqlite")
    with TestClient(create_app(settings), base_url=HERE, headers=READ, follow_redirects=False) as running:
        yield running


@pytest.fixture
def put(client: TestClient) -> Put:
    """A function that puts a finished plan with its operation into the store and returns the path of its page."""

    def put_plan(plan: Plan) -> str:
        runner = client.app.state.runner  # type: ignore[attr-defined]
        store, document = OperationStore(runner.settings.store), plan.operation.model_dump_json()
        kept = store.keep(plan.operation.name, document, source="mine.json")
        # Asked for and stopped at once, before the runner sees it: only the store is under test here.
        job = runner.store.add(JobAsked(operation_name=plan.operation.name, operation=document, seconds=1.0, seed=0, steps=None))
        runner.store.ask_to_stop(job.id, "cancel")
        runner.store.keep_plan(job.id, plan.model_dump_json())
        store.link(Origin(job=job.id, operation=kept.id, operation_version=1))
        return f"/p/{job.id}"

    return put_plan


def _pages(client: TestClient, plan: str) -> Iterator[tuple[str, str]]:
    night = re.search(rf"{plan}/nights/[\d-]+", client.get(f"{plan}/nights").text)
    assert night
    operation = re.search(r'href="(/o/\w+)"', client.get(plan).text)
    assert operation
    orchards = ("/orchards", "/orchards/0", "/orchards/0/bees")
    parts = ("", "/season", "/nights", "/loads/0", *orchards, "/checks", "/odds", "/change", "/sheets")
    own = [plan + one for one in parts]
    sheet = re.search(r"/drive/\w+/[\w-]+", client.get(night[0]).text)
    assert sheet
    frame = ("/", "/reader", "/drive", sheet[0].rpartition("/")[0], sheet[0])
    stock = (operation[1], f"{operation[1]}/land", f"{operation[1]}/quote")
    for address in (*frame, *stock, night[0], *own, "/nothing"):
        yield address, client.get(address).text


def test_no_script_and_no_style_stands_in_a_page_and_the_policy_forbids_them(client: TestClient, put: Put) -> None:
    for address, text in _pages(client, put(tiny_plan())):
        assert re.findall(r"<script(?![^>]*\ssrc=)|<style|\sstyle=|\son\w+=|javascript:", text) == [], address
    policy = client.get("/").headers["content-security-policy"]
    assert "unsafe" not in policy
    assert "default-src 'none'" in policy
    assert "http" not in policy


def test_names_full_of_markup_stay_names(client: TestClient, put: Put) -> None:
    for address, text in _pages(client, put(nasty_plan())):
        assert "<b>" not in text, address
        assert "<script>alert" not in text, address
        assert "../..\\49" not in text, address


def test_a_page_links_to_nothing_elsewhere(client: TestClient, put: Put) -> None:
    for address, text in _pages(client, put(tiny_plan())):
        links = re.findall(r'(?:href|src|action)="([^"]*)"', text)
        assert [one for one in links if not one.startswith(("/", "#", "data:,", "tel:", "geo:"))] == [], address


def test_every_id_of_a_page_is_its_own_and_every_field_has_a_label(client: TestClient, put: Put) -> None:
    for address, text in _pages(client, put(tiny_plan())):
        ids = re.findall(r'\sid="([^"]*)"', text)
        assert len(ids) == len(set(ids)), address
        for target in re.findall(r'<label for="([^"]*)"', text):
            assert target in ids, (address, target)


FORMS = (
    "/reader", "/bring-in", "/bring-in-demo", "/o/x/plan", "/o/x/replace", "/o/x/remove", "/o/x/quote", "/p/x/enough",
    "/p/x/again", "/p/x/remove", "/p/x/change", "/p/x/take-on", "/p/x/odds", "/drive/x/in-force", "/drive/x/y/record",
    "/drive/x/y/events",
)  # fmt: skip


@pytest.mark.parametrize("path", FORMS)
def test_no_form_is_taken_from_a_sender_that_does_not_say_it_is_one_of_our_pages(client: TestClient, path: str) -> None:
    for headers in ({}, {"origin": "http://orchard.example"}, {"origin": "null"}, {"sec-fetch-site": "same-site"}):
        assert client.post(path, headers=headers).status_code == 403, headers


@pytest.mark.parametrize(
    ("path", "status"),
    [
        ("/p/none", 404), ("/p/none/season", 404), ("/o/none", 404), ("/o/none/land.geojson", 404), ("/look/none.css", 404),
        ("/look/../app.py", 404), ("/p/none/orchards/99999999999", 422), ("/p/none/nights/soon", 422),
        ("/o/none/quotes/none", 404), ("/drive/none", 404), ("/drive/none/2027-04-24-old-blue", 404), ("/drive/none/UP", 422),
    ],
)  # fmt: skip
def test_what_is_not_there_is_a_page_that_says_so(client: TestClient, path: str, status: int) -> None:
    answer = client.get(path)
    assert answer.status_code == status
    assert answer.headers["content-type"].startswith("text/html")
    assert "That did not work" in answer.text


def test_a_plan_has_no_page_beyond_its_last_night_load_and_orchard(client: TestClient, put: Put) -> None:
    plan = put(tiny_plan())
    for beyond in ("nights/2027-01-01", "loads/99", "orchards/99", "beside"):
        assert client.get(f"{plan}/{beyond}").status_code == 404, beyond


def test_a_caller_that_is_no_browser_still_gets_problem_details(client: TestClient) -> None:
    answer = client.get("/p/none", headers={"accept": "application/json"})
    assert answer.headers["content-type"] == "application/problem+json"


ELSEWHERE = ("http://orchard.example/", "//orchard.example", "/\\orchard.example", "javascript:x", "", "x", "/a\nb")


@pytest.mark.parametrize("back", ELSEWHERE)
def test_the_way_back_never_leaves_this_server(back: str) -> None:
    assert local_address(back) == "/"


def test_the_readers_choice_is_kept_in_a_cookie_that_no_other_site_sends(client: TestClient) -> None:
    answer = client.post("/reader", headers=FORM, data={"units": "metric", "clock": "24", "ground": "dusk", "back": "/p/x"})
    assert (answer.status_code, answer.headers["location"]) == (303, "/p/x")
    assert "samesite=strict" in answer.headers["set-cookie"].lower()
    assert "httponly" in answer.headers["set-cookie"].lower()
    client.cookies.clear()


def test_the_look_is_packed_kept_for_good_and_changes_its_address_with_its_content(client: TestClient) -> None:
    answer = client.get(look("page.css"))
    assert answer.headers["cache-control"].endswith("immutable")
    assert answer.headers["content-encoding"] == "gzip"
    assert client.get("/look/page.css?v=old").headers["cache-control"] == "public, max-age=3600"
    tag = answer.headers["etag"]
    assert client.get("/look/page.css", headers={"if-none-match": tag}).status_code == 304
    plain = client.get("/look/page.css", headers={"accept-encoding": "identity"})
    assert plain.text == answer.text


def test_the_first_load_is_light_and_so_is_the_map() -> None:
    def sent(*names: str) -> int:
        return sum(len(look_files()[name].packed or look_files()[name].content) for name in names)

    # Style, script, both letters; what the page itself weighs is measured by the benchmark.
    assert sent("page.css", "page.js", "letters-regular.ttf", "letters-bold.ttf", "mark.svg") < 100_000
    states = look_files()["states.geojson"]
    assert len(states.content) < 150_000
    assert b"public domain" in states.content
    assert states.packed is not None
    assert gzip.decompress(states.packed) == states.content


def test_the_curve_draws_cost_and_bound_and_nothing_before_there_is_a_cost() -> None:
    points = [
        ProgressPoint(elapsed_s=1.0, cost_usd=900.0, lower_bound_usd=None, unkept_colonies=4),
        ProgressPoint(elapsed_s=2.0, cost_usd=700.0, lower_bound_usd=500.0, unkept_colonies=0),
    ]
    drawn = curve_svg(points, until_s=10.0)
    assert drawn.count("<path") == 3
    assert "$700.00" in drawn
    assert "$500.00" in drawn
    assert "stroke-dasharray" in drawn
    assert curve_svg([], until_s=10.0) == ""
    assert curve_svg(points[:1], until_s=10.0).count("<path") == 2


def test_a_plan_of_a_version_that_has_passed_says_so(client: TestClient, put: Put) -> None:
    plan = put(tiny_plan())
    operation = re.search(r'href="(/o/\w+)"', client.get(plan).text)
    assert operation
    file = {"operation": ("new.json", tiny_operation().model_dump_json())}
    assert client.post(f"{operation[1]}/replace", headers=FORM, files=file, data={"version": "1"}).status_code == 303
    assert "Made of version 1 of the operation; it is version 2 by now" in client.get(plan).text


def test_an_operation_is_removed_only_when_the_box_is_ticked(client: TestClient) -> None:
    operation = client.post("/bring-in-demo", headers=FORM).headers["location"]
    assert demo_operation().name in client.get(operation).text
    client.post(f"{operation}/remove", headers=FORM)
    assert client.get(operation).status_code == 200
    client.post(f"{operation}/remove", headers=FORM, data={"sure": "yes"})
    assert client.get(operation).status_code == 404


def test_tiles_are_let_in_from_their_own_address_only(tmp_path: Path) -> None:
    settings = Settings(store=tmp_path / "plans.sqlite", tiles="https://tiles.example/{z}/{x}/{y}.png", tiles_by="an example")
    with TestClient(create_app(settings), base_url=HERE, headers=READ) as other:
        policy = other.get("/").headers["content-security-policy"]
    assert "img-src 'self' data: https://tiles.example;" in policy


def test_the_address_of_a_form_that_was_refused_leads_back_to_the_form(client: TestClient) -> None:
    assert client.get("/bring-in").headers["location"] == "/"
    assert client.get("/o/x/replace").headers["location"] == "/o/x#file"


def test_a_plan_stopped_while_it_waits_says_that_there_is_none(client: TestClient) -> None:
    runner = client.app.state.runner  # type: ignore[attr-defined]
    job = runner.store.add(JobAsked(operation_name="Tiny Bees", operation="{}", seconds=1.0, seed=0, steps=None))
    runner.store.ask_to_stop(job.id, "cancel")
    shown = client.get(f"/p/{job.id}").text
    assert "It was stopped before anything was planned." in shown
    assert "Plan it again" in shown
