"""The words of the pages stand in one table; every text asked for is there, and none stands idle."""

import re
from pathlib import Path

import pytest

from api.pages.say import count, say, words

PAGES = Path(__file__).parents[3] / "api"
_ASKED = re.compile(r"""\b(?:say|count)\(\s*['"]([a-z_]+\.[\w.-]+)['"]\s*[,)]""")
_EITHER = re.compile(r"""(?:say|count)\(\s*['"]([a-z_]+\.[\w.-]+)['"] if .*? else ['"]([a-z_]+\.[\w.-]+)['"]""")
_BEGUN = re.compile(r"""['"]([a-z_]+\.[a-z_]*)['"] ?~|f"([a-z_]+\.[a-z_]*)\{""")
_TOLD = re.compile(r"""told\('([a-z_]+)',""")


def _sources() -> str:
    pages = [*PAGES.glob("pages/**/*.j2"), *PAGES.glob("pages/*.py"), *PAGES.glob("endpoints/*.py"), *PAGES.glob("drive/**/*.py")]
    return "\n".join(path.read_text(encoding="utf-8") for path in pages)


def _asked() -> set[str]:
    text = _sources()
    return set(_ASKED.findall(text)) | {name for pair in _EITHER.findall(text) for name in pair}


def _named() -> set[str]:
    return {name.removesuffix(".one").removesuffix(".many") for name in words()}


def test_every_text_that_a_page_asks_for_by_name_is_there() -> None:
    assert len(_asked()) > 150
    assert _asked() - _named() == set()


def test_no_text_stands_idle() -> None:
    text = _sources()
    begun = {one or other for one, other in _BEGUN.findall(text)} | {f"{section}." for section in _TOLD.findall(text)}
    quoted = set(re.findall(r"""['"]([a-z_]+\.[\w-]+)['"]""", text))
    idle = {name for name in _named() - _asked() - quoted if not name.startswith(tuple(begun))}
    assert idle == set()


def test_fields_are_filled_and_a_value_is_never_read_as_a_field() -> None:
    assert say("mistakes.in_file", file="{0}.xlsx") == "in {0}.xlsx"
    with pytest.raises(KeyError):
        say("mistakes.nothing")


@pytest.mark.parametrize(("number", "text"), [(0, "0 hives"), (1, "1 hive"), (1200, "1,200 hives")])
def test_one_and_many_have_their_own_words(number: int, text: str) -> None:
    assert count("count.hives", number) == text
