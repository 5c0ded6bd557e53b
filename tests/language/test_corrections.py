"""Corrections speak the language of the papers that they stand on."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from studio.commands.correct import correct
from studio.episode.assemble import open_episode
from studio.episode.published import Record, as_text, publication, read_record, record_file
from studio.episode.records import Change
from studio.episode.retold import Reprint
from studio.language import ENGLISH, language_of, speaking
from studio.measure.trace import plain
from studio.paper.description import without_corrections
from studio.paper.papers import PAPERS

DAY = date(2026, 3, 2)


def publish(design: Path) -> None:
    episode = open_episode(design)
    told = publication(episode, without_corrections(episode), None, DAY)
    record_file(design).write_text(as_text(Record((told,))), "utf-8")


def silent(design: Path) -> tuple[Change, ...]:
    episode = open_episode(design)
    return read_record(design).changed(episode, without_corrections(episode))


def test_a_rows_place_and_a_step_are_called_in_the_designs_language(
    in_german: Callable[[str], Path],
) -> None:
    design = in_german("crowned-globe")
    publish(design)
    text = design.read_text("utf-8")
    taper = "{shape: taper, length: 24 mm, end: 5 mm}"
    assert taper in text
    design.write_text(text.replace(taper, taper.replace("5 mm", "5.5 mm")), "utf-8")
    rows = [one.label for one in silent(design) if re.fullmatch(r"finial\.\w+_\d+", one.name)]
    assert any(" bei " in label for label in rows)
    assert not any(re.search(r"\bat\b", label) for label in rows)
    changed = text.replace("{{ finial.tenon }}, {{", "{{ finial.hole }}, {{")
    assert changed != text
    design.write_text(changed, "utf-8")
    (step,) = [one.label for one in silent(design) if one.name.endswith("turn-finial:do")]
    assert step.startswith("Schritt")


@pytest.mark.parametrize("name", ["globe", "lobed-globe", "crowned-globe", "twelve-lobe-drop"])
def test_a_figure_on_record_is_the_one_that_the_other_language_prints(
    folder: Path, name: str
) -> None:
    """Every measurement of a design: what German makes of it is what stands on record there."""
    own = open_episode(folder / f"{name}.yaml")
    english, german = own.table, language_of("de")
    with speaking(german):
        to_german = Reprint(ENGLISH)
    to_english = Reprint(german)
    kept = set()
    for one in open_episode(folder / f"{name}.yaml", language="de", first=own).table.values():
        for said in ("text", "other", "both"):
            here, there = getattr(english[one.name], said), getattr(one, said)
            with speaking(german):
                told = to_german.figure(here)
            if told is None:
                kept.add(here)
                continue
            assert told == there, one.name
            assert to_english.figure(there) == here, one.name
    # names of figures and shapes, "short" and "past", and what lies between others are left
    assert len(kept) < 0.3 * len(english), kept
    assert all(re.search(r"[a-z]{2}", one) for one in kept)


def test_corrections_on_papers_of_a_second_language_speak_it(folder: Path) -> None:
    design = folder / "globe.yaml"
    publish(design)
    text = design.read_text("utf-8")
    changed = text.replace("diameter: 60 mm", "diameter: 61.5 mm")
    assert changed != text
    design.write_text(changed, "utf-8")
    assert correct(design, "measured anew", as_json=False, today=DAY) == 0
    own, other = open_episode(design), open_episode(design, language="de")
    assert not own.as_recorded
    (recorded,), (told,) = own.corrections, other.corrections
    by_name = {one.name: one for one in told.changes}
    assert len(by_name) == len(recorded.changes)
    sphere = by_name["sphere.diameter"]
    assert (sphere.label, sphere.new, sphere.old) == (
        "Durchmesser", "61,5 mm (2 27/64 Zoll)", "60 mm (2 23/64 Zoll)",
    )  # fmt: skip
    assert "– Durchmesser: 61,5 mm (2 27/64 Zoll), nicht 60 mm" in plain(
        PAPERS["description.txt"](other)
    )
    # what is no figure stays as viewers were told it, and the page says in which language
    page = PAPERS["handout.html"](other)
    assert page.count('<li lang="en-GB">') == len(other.as_recorded) < len(told.changes) / 4
