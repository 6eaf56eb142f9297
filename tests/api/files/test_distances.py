"""Distances that the user knows come from CSV files as spreadsheet programs write them."""

import pytest

from api.files.distances import with_distances
from routing.errors import OperationError
from routing.inputs.example import example_operation
from routing.inputs.operation import Distance
from routing.inputs.read import draft_from_json
from routing.inputs.rows import operation_from_draft

HEAD = "origin,destination,miles,minutes\n"
KNOWN = Distance(origin="Home yard", destination="Lower pears", miles=18.4, minutes=29.0)


def read(content: str | bytes) -> tuple[Distance, ...]:
    """Return the distances of the worked example, all of them from a CSV file."""
    operation = example_operation().model_copy(update={"distances": ()})
    raw = content.encode() if isinstance(content, str) else content
    draft = draft_from_json(operation.model_dump_json(), "bees.json")
    return operation_from_draft(with_distances(draft, raw, "ways.csv")).distances


def faults(content: str | bytes) -> list[str]:
    with pytest.raises(OperationError) as refused:
        read(content)
    return [str(fault) for fault in refused.value.faults]


WAYS = [
    HEAD + "Home yard,Lower pears,18.4,29\n",
    "\ufeff" + HEAD + "Home yard,Lower pears,18.4,29",
    "origin;destination;miles;minutes\r\nHome yard;Lower pears;18,4;29,0\r\n",
    "minutes\torigin\tdestination\tmiles [mi]\n29\tHome yard\tLower pears\t18.4\n",
    'Origin , DESTINATION,Miles,minutes [min]\n\n"Home yard", Lower pears ,"18,4",29\n,,,\n',
    HEAD.strip() + ",both ways\nHome yard,Lower pears,18.4,29,yes\n",
]


@pytest.mark.parametrize("content", WAYS, ids=range(len(WAYS)))
def test_the_common_ways_to_write_a_csv_file_are_read(content: str) -> None:
    assert read(content) == (KNOWN,)


def test_a_fault_names_the_line_and_the_column() -> None:
    assert faults(HEAD + "Home yard,Lower pears,far,29\nHome yard,Lower paers,18.4,29\n") == [
        "ways.csv, row 2, column miles: found 'far', "
        "allowed: a number of at least 0 and at most 4000 [mi].",
        "ways.csv, row 3, column destination: found 'Lower paers', "
        "allowed: the name of a yard or contract; the nearest is 'Lower pears'.",
    ]  # fmt: skip


def test_a_decimal_comma_between_commas_is_told_as_what_it_most_likely_is() -> None:
    (sentence,) = faults(HEAD + "Home yard,Lower pears,18,4,29\n")
    assert sentence.startswith("ways.csv, row 2: found 5 values, allowed: 4, as many as headings")


def test_a_row_cut_short_is_told() -> None:
    (sentence,) = faults(HEAD + "Home yard,Lower pears,18.4\n")
    assert "row 2: found 3 values" in sentence


def test_a_way_written_twice_is_told_at_its_second_line() -> None:
    (sentence,) = faults(HEAD + "Home yard,Lower pears,18.4,29\n" * 1 + "Home yard,Lower pears,19,30\n")
    assert sentence.startswith(
        "ways.csv, row 3, column destination: found 'Home yard' and 'Lower pears' again"
    )


def test_missing_and_unknown_headings_are_told() -> None:
    told = faults("from,destination,mils,minutes\nHome yard,Lower pears,18.4,29\n")
    assert any("row 1: found the unknown heading 'from'" in sentence for sentence in told)
    assert any(
        "row 1: found the unknown heading 'mils', allowed: a heading such as 'miles'" in one for one in told
    )
    assert any("row 1: found no heading 'origin'" in sentence for sentence in told)


def test_a_heading_in_kilometres_is_refused() -> None:
    told = faults("origin,destination,miles [km],minutes\nHome yard,Lower pears,18.4,29\n")
    assert any(
        "found the heading 'miles [km]', allowed: the heading 'miles [mi]' once" in one for one in told
    )


NO_CSV = [
    (b"", "an empty file"),
    (b"  \n ", "an empty file"),
    (HEAD.encode() + b"Home yard,Caf\xe9,1,2\n", "a byte that is not UTF-8 at position 47"),
    (HEAD.encode("utf-16"), "a byte that is not UTF-8 at position 1"),
    (b"a\x00b", "a file that is not text"),
    (HEAD.encode() + b'"Home yard,Lower pears,1,2\n', "quotation marks that do not close"),
]


@pytest.mark.parametrize(("content", "found"), NO_CSV, ids=range(len(NO_CSV)))
def test_what_is_no_csv_file_is_refused_in_one_sentence(content: bytes, found: str) -> None:
    (sentence,) = faults(content)
    assert sentence.startswith("ways.csv")
    assert found in sentence


def test_headings_alone_give_no_distance() -> None:
    assert read(HEAD) == ()
