"""What a fault of a German design tells to write is taken when it is written."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from studio.episode.assemble import open_episode
from studio.errors import BadInput

DESIGN = """\
title: Kugel
language: de
stock: {species: maple, diameter: 60 mm}
grooves: {number: 6, width: 4.8 mm, depth: DEPTH}
steps:
  - {id: a, title: Drehen, does: [nothing], do: Drehen.}
"""


def test_figures_to_write_have_the_files_form_and_are_taken(folder: Path) -> None:
    workshop = folder / "workshop.yaml"
    owned = re.sub(r"(?m)^cutters: .*", "cutters: [3 mm, 6 mm, 8 mm]", workshop.read_text("utf-8"))
    workshop.write_text(owned, "utf-8")
    design = folder / "kugel.yaml"
    design.write_text(DESIGN.replace("DEPTH", "0.7 mm"), "utf-8")
    with pytest.raises(BadInput) as told:
        open_episode(design)
    (fault,) = told.value.faults
    assert (fault.line, fault.keys) == (4, "grooves.depth")
    advised = re.search(r"depth: ([0-9.,]+ mm)", fault.write)
    assert advised is not None
    design.write_text(DESIGN.replace("DEPTH", advised[1]), "utf-8")
    made = open_episode(design)
    # viewers read it with a comma
    assert "," in made.table["grooves.depth"].text


def test_every_fault_is_told_once_in_its_place(folder: Path) -> None:
    design = folder / "kugel.yaml"
    text = DESIGN.replace("DEPTH", "30 mm").replace("do: Drehen.", 'do: "{{ nichts }} {{ hier }}"')
    design.write_text(text, "utf-8")
    faults = {}
    for language in ("de", "en"):
        design.write_text(text.replace("language: de", f"language: {language}"), "utf-8")
        with pytest.raises(BadInput) as told:
            open_episode(design)
        faults[language] = [(one.line, one.column, one.what) for one in told.value.faults]
    assert faults["de"] == faults["en"]
    assert len(faults["de"]) == len(set(faults["de"])) >= 3
