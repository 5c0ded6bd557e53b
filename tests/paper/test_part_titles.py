"""A part goes by its title wherever it is read; its name in the design is the turner's own."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from studio.episode.assemble import open_episode
from studio.episode.records import Episode
from studio.film.captions import caption_files
from studio.measure.trace import plain
from studio.paper.markup import visible_text
from studio.paper.papers import papers_of
from studio.paper.pdfs import marked_lines, template_content

KNOB = """\
  QKNOB:
    title: Button
    place: QCAP
    profile:
      - {shape: fillet, length: 14 mm, diameter: 8 mm}
      - {shape: tenon, length: 3 mm, diameter: 3 mm}

steps:
"""

TURNED = """\
title: A drop
form: turned
language: LANGUAGE
stock: {species: black cherry, diameter: 20 mm, section: 26 mm}
hanger: {wire: 0.5 mm, hole_depth: 8 mm}
parts:
  QDROP:
    title: Ice Drop
    profile:
      - {shape: bead, length: 20 mm, crown: 14 mm, start: 0 mm, end: 12 mm}
      - {shape: fillet, length: 20 mm, diameter: 16 mm}
steps:
  - {id: t, title: T, part: QDROP, stage: finish, does: [spindle-running], do: T.}
"""


def stacked(folder: Path, language: str) -> Episode:
    """Parts on a globe and on one another; none goes by its name in the design."""
    path = folder / "crowned-globe.yaml"
    text = path.read_text("utf-8").replace("\nsteps:\n", f"\n{KNOB}", 1)
    # hosts take so much alone, and German is longer
    text = re.sub(r"credit: .*\n", "", text)
    for part, title in (("finial", "Spike"), ("cap", "Lid")):
        text = re.sub(rf"\b{part}(?=\.\w)|(?<=part: ){part}\b", f"q{part}", text)
        text = text.replace(f"\n  {part}:\n", f"\n  q{part}:\n    title: {title}\n")
    text = text.replace("QCAP", "qcap").replace("QKNOB", "qknob")
    for texts in folder.glob("*.de.yaml"):
        texts.unlink()
    path.write_text(f"language: {language}\n{text}", "utf-8")
    return open_episode(path, pieces=12)


def alone(folder: Path, language: str) -> Episode:
    """A turned part by itself, hung by its joint end."""
    for texts in folder.glob("*.de.yaml"):
        texts.unlink()
    path = folder / "drop.yaml"
    path.write_text(TURNED.replace("LANGUAGE", language).replace("QDROP", "qdrop"), "utf-8")
    return open_episode(path, pieces=12)


def read(episode: Episode) -> Iterator[tuple[str, str]]:
    """Everything that is read by others, by the name of its file."""
    for name, render in papers_of(episode).items():
        text = plain(render(episode))
        yield name, visible_text(text) if name.endswith(".html") else text
    for name, data in caption_files(episode).items():
        yield name, data.decode()
    yield "templates.pdf", plain("\n".join(marked_lines(template_content(episode, "A4"))))
    for card in episode.cards:
        rows = " ".join(plain(f"{row.label} {row.where}") for row in card.rows)
        yield card.file_name, f"{plain(card.heading)} {rows}"


@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize("made", [stacked, alone])
def test_no_part_goes_by_its_name_in_the_design(
    made: Callable[[Path, str], Episode], language: str, folder: Path
) -> None:
    own = re.compile(r".*\bq(?:finial|cap|knob|drop)\b(?!\.).*", re.IGNORECASE)
    named = {name: own.findall(text) for name, text in read(made(folder, language))}
    assert {name: lines for name, lines in named.items() if lines} == {}


def test_where_the_hanger_is_and_where_a_hole_begins_say_the_title(folder: Path) -> None:
    """In English a title is small inside a sentence, as in “Hole for lid”."""
    table = stacked(folder, "en").table
    assert table["hanger.in"].text == "the free end of button"
    assert table["qknob.hole_depth"].where == "from the free end of lid"
    drop = alone(folder, "en").table
    assert drop["hanger.in"].text == "the joint end of ice drop, which was at the headstock"
    drop = alone(folder, "de").table
    assert drop["hanger.in"].text == "das Verbindungsende von Ice Drop, das am Spindelstock war"
