"""What README and DEVELOPERS show is there: every picture sound and small, every link resolved."""

import io
import re

import pytest
from PIL import Image

from fixtures.tiny import tiny_plan
from tests.pictures import FOLDER, GREYS, MOST_BYTES, MOST_BYTES_TOGETHER, ROOT, showing, small, summary, with_block

PAGES = ("README.md", "DEVELOPERS.md")
LINK = re.compile(r"(!?)\[[^\]]*\]\(([^)\s]+)\)")


def _text(page):
    return (ROOT / page).read_text(encoding="utf-8")


def _links(page):
    # Links within fenced blocks are only text.
    return LINK.findall(re.sub(r"```.*?```", "", _text(page), flags=re.DOTALL))


def _shown():
    return [ROOT / link for page in PAGES for mark, link in _links(page) if mark]


@pytest.mark.parametrize("page", PAGES)
def test_every_relative_link_leads_to_something_in_the_project(page):
    links = [link for _, link in _links(page) if not re.match(r"[a-z]+:", link)]
    assert links or page == "DEVELOPERS.md"
    assert [link for link in links if not (ROOT / link.partition("#")[0]).exists()] == []


def test_a_link_to_nothing_is_found():
    assert LINK.findall("see [a](b.md) and ![c](d/e.png)") == [("", "b.md"), ("!", "d/e.png")]


def test_every_picture_shown_is_a_small_png_in_a_few_greys():
    assert len(_shown()) >= 5
    for file in _shown():
        content = file.read_bytes()
        assert len(content) <= MOST_BYTES, file.name
        Image.open(io.BytesIO(content)).verify()
        picture = Image.open(io.BytesIO(content))
        assert picture.format == "PNG"
        assert len(picture.convert("RGB").getcolors(256) or range(257)) <= GREYS, file.name


def test_no_picture_lies_about_unshown_and_together_they_are_small():
    files = list(FOLDER.iterdir())
    assert {file.name for file in files} == {file.name for file in _shown()}
    assert sum(file.stat().st_size for file in files) <= MOST_BYTES_TOGETHER


def test_the_readme_begins_with_the_job_and_the_two_commands():
    text = _text("README.md")
    assert text.startswith("# Bloomhaul\n\nBloomhaul plans pollination moves for a sideline beekeeper")
    assert text.index("bloomhaul demo demo-out") < text.index("<!-- test command -->") < text.index("![")


def test_the_printed_blocks_are_filled():
    for name, sign in (("summary", "proven: no plan costs less than"), ("message", " on duty.")):
        block = _text("README.md").split(f"<!-- {name} -->")[1].split(f"<!-- end of {name} -->")[0]
        assert sign in block


def test_a_block_is_replaced_and_the_rest_stays():
    page = "a\n<!-- x -->\nold\n<!-- end of x -->\nb"
    assert with_block(page, "x", ["new"]) == "a\n<!-- x -->\n```text\nnew\n```\n<!-- end of x -->\nb"
    with pytest.raises(ValueError, match="not one block called y"):
        with_block(page, "y", [])


def test_a_picture_too_large_is_refused():
    noise = Image.effect_noise((900, 900), 200)
    out = io.BytesIO()
    noise.save(out, "PNG")
    with pytest.raises(ValueError, match="make it smaller"):
        small(out.getvalue())


def test_the_night_with_the_most_to_see_is_shown():
    # April: one pick-up, one set-down; May: two pick-ups and a set-down.
    assert showing(tiny_plan()).id == "2027-05-11 Old blue"


def test_the_summary_ends_before_the_nights_and_no_line_runs_off_the_page():
    lines = summary(tiny_plan())
    assert "Nights:" not in lines
    assert lines[0].startswith("Tiny Bees")
    assert max(map(len, lines)) <= 116
