"""The same sheets as HTML: one file, no address outside, every name escaped."""

import re

import pytest
from lxml import html

from api.files.html import drop_sheet_html, yard_sheets_html
from fixtures.nasty import NASTY_NAMES, nasty_plan
from fixtures.tiny import tiny_plan
from routing.sheets.drop_sheet import drop_sheets
from routing.sheets.yard_sheet import yard_nights, yard_sheets


def _pages(plan) -> list[str]:
    pages = [drop_sheet_html(sheet) for sheet in drop_sheets(plan)]
    pages += [yard_sheets_html(yard_sheets(plan, night)) for night in yard_nights(plan)]
    return [page.decode("utf-8") for page in pages]


@pytest.mark.parametrize("make_plan", [tiny_plan, nasty_plan])
def test_a_page_refers_to_nothing_outside_itself(make_plan):
    for page in _pages(make_plan()):
        assert not re.search(r"https?:|//[a-z]|url\(|@import", page, re.IGNORECASE)
        root = html.fromstring(page)
        links = [link for _, attribute, link, _ in root.iterlinks() if attribute]
        assert links
        assert all(link.startswith("geo:") for link in links)


def test_no_name_becomes_markup():
    plain, nasty = _pages(tiny_plan()), _pages(nasty_plan())
    for before, after in zip(plain, nasty, strict=True):
        root = html.fromstring(after)
        assert not root.xpath("//script | //b | //td[contains(., '</td>') and *[self::script]]")
        tags = [
            [element.tag for element in html.fromstring(page).iter() if isinstance(element.tag, str)]
            for page in (before, after)
        ]
        drawn = {"text", "path", "g"}  # a longer label may fall elsewhere, but no tag may be new
        assert set(tags[1]) - drawn == set(tags[0]) - drawn


def test_the_page_shows_each_name_as_it_is():
    sheet = drop_sheets(nasty_plan())[1]
    text = html.fromstring(drop_sheet_html(sheet).decode("utf-8")).text_content()
    for old in ("Old blue", "P. Nobody", "Home yard", "Early cherries", "Late blueberries", "H1"):
        assert NASTY_NAMES[old] in text


def test_every_stop_has_its_own_section_with_times_and_counts():
    sheet = drop_sheets(tiny_plan())[1]
    root = html.fromstring(drop_sheet_html(sheet).decode("utf-8"))
    for stop in sheet.stops:
        text = " ".join(root.get_element_by_id(f"stop-{stop.number}").text_content().split())
        for part in (
            stop.place,
            f"{stop.arrive_words} {stop.zone}",
            stop.date_words,
            stop.doing_words,
            *stop.checks,
        ):
            assert part in text


def test_the_style_says_nothing_by_colour():
    page = _pages(tiny_plan())[0]
    style = re.search(r"<style>(.*?)</style>", page, re.DOTALL)[1]
    assert set(re.findall(r"#[0-9a-fA-F]{3,6}\b", style)) == {"#000", "#fff"}
    assert "@media print" in style


def test_no_yard_is_no_page():
    with pytest.raises(ValueError, match="no yard sheet"):
        yard_sheets_html(())
