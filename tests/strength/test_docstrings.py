"""The examples in the docstrings of the strength room hold."""

import doctest

from routing.strength import student


def test_the_examples_of_students_t_hold() -> None:
    outcome = doctest.testmod(student)
    assert outcome.attempted >= 1
    assert outcome.failed == 0
