"""Credits and links: said where they are due; and the two systems of each figure agree."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from studio.check import credits, unit_pairs
from studio.check.context import Context
from studio.measure.measurement import MeasurementTable, System
from studio.measure.rounding import length_in

DO = "Sand from {{ sanding.first }} to {{ sanding.last }}, at"


def edit(built, old: str, new: str) -> None:
    text = built.design.read_text("utf-8")
    assert text.count(old) == 1
    built.design.write_text(text.replace(old, new), "utf-8")


@pytest.mark.parametrize("name", ["handout.html", "description.txt"])
def test_a_credit_cut_from_a_paper_is_found(built, name: str) -> None:
    text = (built.out / name).read_text("utf-8")
    assert "common to the trade" in text
    (built.out / name).write_text(text.replace("common to the trade", "mine"), "utf-8")
    found = [one for one in built.check().findings if one.code == "missing-credit"]
    assert [one.where for one in found] == [name]
    assert "common to the trade" in found[0].expected


def test_a_derived_design_says_what_it_derives_from(built) -> None:
    derived = built.design.with_name("cousin.yaml")
    derived.write_text("title: A cousin\nbased_on: globe.yaml\n", "utf-8")
    # every other check would lay the globe's outputs on the cousin's
    (found,) = [
        one
        for one in credits.check(Context.of(derived, built.out)).findings
        if one.code == "missing-credit" and one.where.endswith("cousin.yaml")
    ]
    assert found.at.startswith("line 2")
    assert "based on globe.yaml" in found.said
    derived.write_text(
        "title: A cousin\nbased_on: globe.yaml\ncredit: Derived from the plain globe.\n", "utf-8"
    )
    assert not [
        one
        for one in credits.check(Context.of(derived, built.out)).findings
        if one.code == "missing-credit" and one.where.endswith("cousin.yaml")
    ]


@pytest.mark.parametrize(
    "address", ["javascript:void", "www.example.org", "", "ftp://example.org/"]
)
def test_a_link_that_leads_nowhere_is_told_with_its_line(built, address: str) -> None:
    edit(built, DO, DO.replace("Sand", f"See [here]({address}). Sand"))
    outcome = credits.check(Context.of(built.design, built.out))
    found = [one for one in outcome.findings if one.code == "bad-link"]
    assert len(found) == 1
    assert "steps.5.do" in found[0].at or "steps[6].do" in found[0].at
    assert found[0].said == (address or "(no address)")


def test_a_whole_check_tells_a_link_that_leads_nowhere(built) -> None:
    edit(built, DO, DO.replace("Sand", "See [here](ftp://example.org/). Sand"))
    assert "bad-link" in built.codes()


def test_a_good_link_is_none(built) -> None:
    edit(built, DO, DO.replace("Sand", "See [here](https://example.org/a). Sand"))
    assert "bad-link" not in built.codes()


def test_a_figure_converted_wrongly_is_found(built) -> None:
    context = Context.of(built.design, built.out)
    table = context.episode.table
    right = table["sphere.set_in"]
    # a sixteenth off in the second system, and the table believes it exact
    wrong = replace(right, imperial=length_in(Fraction(12, 16), System.IMPERIAL, 0.75 * 25.4))
    others = [one for one in table.values() if one.name != right.name]
    bad = replace(
        context, episode=replace(context.episode, table=MeasurementTable([*others, wrong]))
    )
    (found,) = unit_pairs.check(bad).findings
    assert found.code == "units-disagree"
    assert found.measurement == "sphere.set_in"
    assert unit_pairs.check(context).findings == ()
