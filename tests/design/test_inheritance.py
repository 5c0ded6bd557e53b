"""A design based on another says only what differs."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from studio.design.reading import load
from studio.episode.assemble import open_episode


def test_what_is_not_written_comes_from_the_base(folder: Path) -> None:
    lobed = open_episode(folder / "lobed-globe.yaml")
    assert lobed.table["sphere.diameter"].text == "60 mm"
    assert lobed.table["index.marks"].text == "8"
    assert lobed.table["hanger.drill"].text == "1.7 mm"


def test_steps_are_changed_added_and_placed_by_id(folder: Path) -> None:
    plain = [step.id for step in open_episode(folder / "globe.yaml").steps]
    lobed = [step.id for step in open_episode(folder / "lobed-globe.yaml").steps]
    behind = plain.index("index") + 1
    assert lobed == [*plain[:behind], "mount-axis", "cut-grooves", *plain[behind:]]


def test_a_change_in_the_base_reaches_its_cousin(
    folder: Path, edit: Callable[[Path, str, str], Path]
) -> None:
    edit(folder / "globe.yaml", "  diameter: 60 mm", "  diameter: 50 mm")
    assert open_episode(folder / "lobed-globe.yaml").table["sphere.diameter"].text == "50 mm"


def test_a_step_can_be_dropped(folder: Path) -> None:
    cousin = folder / "cousin.yaml"
    cousin.write_text(
        "title: Without sanding\nbased_on: globe.yaml\nsteps:\n  - id: sand\n    drop: yes\n",
        encoding="utf-8",
    )
    assert "sand" not in [step.id for step in load(cousin).design.steps]


def test_film_and_bench_measurements_are_not_inherited(
    folder: Path, edit: Callable[[Path, str, str], Path]
) -> None:
    edit(folder / "globe.yaml", "indexing:\n", "as_measured:\n  diameter: 59 mm\nindexing:\n")
    cousin = folder / "cousin.yaml"
    cousin.write_text("title: Cousin\nbased_on: globe.yaml\n", encoding="utf-8")
    design = load(cousin).design
    assert design.film.marks == {}
    assert design.as_measured.diameter is None
