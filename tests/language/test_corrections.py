"""Corrections speak the language of the papers that they stand on."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date
from pathlib import Path

from studio.episode.assemble import open_episode
from studio.episode.published import Record, as_text, publication, read_record, record_file
from studio.episode.records import Change
from studio.paper.description import without_corrections

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
