"""The examples in the docstrings of the arithmetic give what they say."""

import doctest
import pkgutil
from importlib import import_module

import pytest

from assets import engineering

FINDER = doctest.DocTestFinder(exclude_empty=True)
MODULES = [
    import_module(found.name)
    for found in pkgutil.walk_packages(engineering.__path__, f"{engineering.__name__}.")
]
EXAMPLES = [
    test for module in MODULES for test in FINDER.find(module, module.__name__) if test.examples
]


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda test: test.name)
def test_an_example_gives_what_it_says(example):
    said: list[str] = []
    outcome = doctest.DocTestRunner(verbose=False).run(example, out=said.append)
    assert outcome.failed == 0, "".join(said)


def test_there_are_examples_where_figures_are_read_and_sums_begin():
    shown = {example.name.removeprefix("assets.engineering.") for example in EXAMPLES}
    assert shown >= {
        "figures.figure",
        "units.converted",
        "nuts.turning",
        "separation.separation_mm",
        "wheels.passage_mm",
        "lost_motion.window",
        "rails.stiffness_range",
        "blade.Blade.through",
    }
