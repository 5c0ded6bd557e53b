"""A published figure that is printed otherwise is told with the line that was changed since.

The changes are invented, the design is the shipped one.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from studio.check.context import Context
from studio.check.findings import Finding
from studio.check.publication import check as publication_check
from studio.commands.correct import correct
from studio.commands.publish import publish
from studio.design.reading import load
from studio.episode.published import as_text, read_record, record_file
from studio.episode.told_keys import typed_keys, typed_otherwise

FIRST, LATER = date(2026, 3, 2), date(2026, 3, 9)


@pytest.fixture
def published(built):
    assert publish([built.design], built.out, as_json=False, today=FIRST) == 0
    return built


def workshop(built) -> Path:
    return built.design.with_name("workshop.yaml")


def change(file: Path, old: str, new: str) -> int:
    """The line that was changed."""
    text = file.read_text("utf-8")
    assert text.count(old) == 1
    file.write_text(text.replace(old, new), "utf-8")
    return text[: text.index(old)].count("\n") + 1


def silent(built) -> dict[str, Finding]:
    findings = publication_check(Context.of(built.design, built.out)).findings
    return {one.measurement: one for one in findings if one.code == "silent-change"}


@pytest.mark.parametrize(
    ("old", "new", "keys", "measurement"),
    [
        ("  fastest: 2500 rpm", "  fastest: 900 rpm", "chuck.fastest", "speed.sanding"),
        ("metric_step: 0.1 mm", "metric_step: 1 mm", "units.metric_step", "sphere.set_in"),
        ("10 mm by 0.1 mm", "10 mm by 0.5 mm", "drills", "hanger.drill"),
    ],
)
def test_what_follows_from_the_workshop_file_names_its_line(
    published, old: str, new: str, keys: str, measurement: str
) -> None:
    line = change(workshop(published), old, new)
    found = silent(published)
    assert measurement in found
    assert {one.where for one in found.values()} == {str(workshop(published))}
    assert {one.at for one in found.values()} == {
        f"line {line} (workshop.{keys}), published 2 March 2026"
    }


def test_of_several_changed_lines_the_one_called_like_the_figure_is_told(published) -> None:
    depth = change(published.design, "hole_depth: 12 mm", "hole_depth: 14 mm")
    chuck = change(workshop(published), "  fastest: 2500 rpm", "  fastest: 900 rpm")
    found = silent(published)
    assert found["hanger.depth"].at == f"line {depth} (hanger.hole_depth), published 2 March 2026"
    speed = found["speed.sanding"]
    assert speed.where == str(workshop(published))
    assert speed.at == (
        f"line {chuck} (workshop.chuck.fastest) or globe.yaml line {depth} (hanger.hole_depth), "
        "published 2 March 2026"
    )


def test_a_line_put_right_on_record_is_told_no_more(published) -> None:
    change(published.design, "hole_depth: 12 mm", "hole_depth: 14 mm")
    assert correct(published.design, "Deeper.", as_json=False, today=LATER) == 0
    line = change(workshop(published), "  fastest: 2500 rpm", "  fastest: 900 rpm")
    assert silent(published)["speed.sanding"].at.startswith(
        f"line {line} (workshop.chuck.fastest),"
    )


def test_a_record_that_does_not_know_what_was_typed_is_read_as_before(published) -> None:
    record = read_record(published.design)
    assert record.typed()
    old = replace(record, publications=tuple(replace(one, typed={}) for one in record.publications))
    record_file(published.design).write_text(as_text(old), "utf-8")
    assert "typed" not in record_file(published.design).read_text("utf-8")
    line = change(published.design, "hole_depth: 12 mm", "hole_depth: 14 mm")
    assert silent(published)["hanger.depth"].at.startswith(f"line {line} (hanger.hole_depth),")


def test_where_nothing_was_typed_otherwise_no_line_is_named(published) -> None:
    """As after an update of the tool that mends a formula."""
    (told,) = read_record(published.design).publications
    depth = replace(told.measurements["hanger.depth"], text="11 mm", metric="11 mm")
    other = replace(told, measurements={**told.measurements, "hanger.depth": depth})
    record = replace(read_record(published.design), publications=(other,))
    record_file(published.design).write_text(as_text(record), "utf-8")
    found = silent(published)["hanger.depth"]
    assert (found.where, found.at) == (str(published.design), "published 2 March 2026")
    assert "studio itself reckons it otherwise" in found.expected


def test_keys_that_came_went_or_changed_are_typed_otherwise(published) -> None:
    told = typed_keys(load(published.design))
    assert typed_otherwise(load(published.design), told) == ()
    change(published.design, "values:\n", "values:\n  rest: 20 min\n")
    change(published.design, "hole_depth: 12 mm", "hole_depth: 14 mm")
    change(published.design, "  coil: ", "  # coil: ")
    # a text is told only where nothing else was changed
    change(workshop(published), "CC BY 4.0", "CC BY 3.0")
    assert set(typed_otherwise(load(published.design), told)) == {
        ("values", "rest"), ("hanger", "hole_depth"), ("hanger", "coil"),
    }  # fmt: skip


def test_a_text_alone_that_was_changed_is_told(published) -> None:
    told = typed_keys(load(published.design))
    change(workshop(published), "CC BY 4.0", "CC BY 3.0")
    assert typed_otherwise(load(published.design), told) == (("workshop", "licence"),)
