"""Every worked example in the docstrings of the formulas gives what it prints."""

import doctest
import importlib
import pkgutil

import pytest

import routing.formulas

MODULES = sorted(found.name for found in pkgutil.iter_modules(routing.formulas.__path__, "routing.formulas."))


@pytest.mark.parametrize("module_name", MODULES)
def test_worked_examples_are_right(module_name: str) -> None:
    failed, tried = doctest.testmod(importlib.import_module(module_name))
    assert tried > 0
    assert failed == 0
