"""The examples in the docstrings of the roads hold."""

import doctest

from routing.roads import estimate


def test_the_examples_of_the_estimate_hold() -> None:
    outcome = doctest.testmod(estimate)
    assert outcome.attempted >= 1
    assert outcome.failed == 0
