"""The examples in the docstrings of the strength room hold."""

import doctest

import pytest

from routing.strength import acceptance, coverage, sampling, student


@pytest.mark.parametrize("module", [student, coverage, sampling, acceptance], ids=lambda module: module.__name__)
def test_the_examples_hold(module: object) -> None:
    outcome = doctest.testmod(module)  # type: ignore[arg-type]
    assert outcome.attempted >= 1
    assert outcome.failed == 0
