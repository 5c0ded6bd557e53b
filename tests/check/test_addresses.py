"""Figures that belong to no measurement: in an address, and in the title that a turner gave."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from studio.cli import main
from studio.resources import shipped

DESIGN = """\
title: A ball
summary: A plain ball, see https://heron-lane.example/2024/ball-7 for the first one.
stock: {species: maple, diameter: 2 in}
parts:
  cap:
    title: Tier 2
    place: top
    profile:
      - {shape: bead, length: 8 mm, crown: 10 mm, start: 4 mm, end: 6 mm}
      - {shape: cove, length: 8 mm, throat: 6 mm, start: 6 mm, end: 14 mm}
      - {shape: tenon, length: 8 mm, diameter: 6 mm}
steps:
  - id: a
    title: Turn it
    does: [nothing]
    show: [cap.hole]
    do: "Turn it, as at https://heron-lane.example/2024/ball-7 too."
"""


def test_an_address_and_a_title_with_a_digit_hold_no_figure_but_what_they_say_is_checked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    shutil.copy(shipped("designs") / "workshop.yaml", tmp_path)
    Path("ball.yaml").write_text(DESIGN, "utf-8")
    assert main(["build", "ball.yaml"]) == 0
    assert main(["check", "ball.yaml"]) == 0
    for name, was, now in (
        ("description.txt", "2024/ball-7", "2023/ball-7"),
        ("shot-list.md", "tier 2", "tier 3"),
    ):
        told = tmp_path / "build" / "ball" / name
        text = told.read_text("utf-8")
        assert was in text
        told.write_text(text.replace(was, now, 1), "utf-8")
        assert main(["check", "ball.yaml"]) == 1
        told.write_text(text, "utf-8")
