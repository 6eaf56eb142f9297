"""The words of the pages: one table a language, in the folder ``words``; a page asks for a text by its name.

A language is a folder of JSON files, each of sections of names. To translate, copy ``en``, keep the names and the
``{fields}``. Text of a plan itself (reasons, checks, cautions) comes from the planner and is English.
"""

import json
from functools import cache
from importlib import resources

LANGUAGE = "en"


@cache
def words(language: str = LANGUAGE) -> dict[str, str]:
    """Return every text of a language by ``section.name``.

    Raises
    ------
    ValueError
        If two files have the same name in the same section.
    """
    found: dict[str, str] = {}
    folder = resources.files("api.pages").joinpath("words", language)
    for file in sorted(folder.iterdir(), key=lambda one: one.name):
        for section, texts in json.loads(file.read_text(encoding="utf-8")).items():
            for name, text in texts.items():
                if f"{section}.{name}" in found:
                    raise ValueError(f"{file.name}: {section}.{name} stands twice")
                found[f"{section}.{name}"] = text
    return found


def say(name: str, /, **values: object) -> str:
    """Return the text called ``section.name`` with its ``{fields}`` filled in.

    Raises
    ------
    KeyError
        If there is no such text, or a field of it is not given.
    """
    text = words()[name]
    return text.format_map(values) if values else text


def count(name: str, number: float, /, **values: object) -> str:
    """Return the text ``name.one`` or ``name.many`` with the number as ``{n}``: ``1 hive``, ``1,200 hives``."""
    return say(f"{name}.{'one' if number == 1 else 'many'}", n=f"{number:,.0f}", **values)


def has_words(name: str) -> bool:
    """Tell whether there is a text of that name."""
    return name in words()
