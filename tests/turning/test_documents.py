"""The page on turning and the docstrings say what the code does."""

import importlib
import inspect
import pkgutil
import re
from pathlib import Path

import pytest

import studio.turning

PAGE = Path(__file__).parents[2] / "docs" / "turning.md"
MODULES = [
    importlib.import_module(f"studio.turning.{found.name}")
    for found in pkgutil.iter_modules(studio.turning.__path__)
]
FUNCTIONS = [
    member
    for module in MODULES
    for name, member in inspect.getmembers(module)
    if not name.startswith("_")
    and getattr(member, "__module__", None) == module.__name__
    and callable(member)
    and not inspect.isclass(member)
]
CHECKS = re.findall(r"`([^`]+\))?((?:\.\w+|\[\d\])*)` = ([^|]+) \|", PAGE.read_text("utf-8"))
NEVER_REFUSE = {
    "all_drills", "all_species", "figure_sides", "in_english", "is_named", "is_same", "sold_by_awg",
}  # fmt: skip
NAMES = {name: member for module in MODULES for name, member in vars(module).items()}


def test_the_page_has_a_check_for_every_function():
    page = PAGE.read_text("utf-8")
    public = {
        f.__name__ for f in FUNCTIONS if f.__module__ != "studio.turning.ranges"
    }  # ranges refuses, it computes nothing
    assert len(public) > 40
    assert {name for name in public if f"`{name}(" not in page and f"({name}(" not in page} == set()


@pytest.mark.parametrize(("call", "attributes", "shown"), CHECKS)
def test_the_page_shows_what_the_code_gives(call, attributes, shown):
    value = eval(call + attributes, dict(NAMES))  # our own page, not a stranger's
    shown = shown.strip()
    if isinstance(value, float):
        places = len(shown.partition(".")[2])
        assert f"{value:.{places}f}" == shown
    else:
        assert str(value) == shown


@pytest.mark.parametrize("function", FUNCTIONS, ids=lambda f: f"{f.__module__}.{f.__name__}")
def test_docstrings_give_source_errors_and_an_example(function):
    text = inspect.getdoc(function) or ""
    assert ">>>" in text
    if function.__name__ not in NEVER_REFUSE:
        assert "Raises:\n    ValueError:" in text
    reads_text = function.__name__.startswith(("parse_", "figure_sides"))
    if function.__module__ != "studio.turning.ranges" and not reads_text:
        assert "Source" in text
