"""A tenon too short for what it carries is told; a slender part's cautions and cuts agree."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from studio.episode.assemble import open_episode
from studio.episode.records import Episode
from tests.compute.told import STEPS, written

CAP = (
    "parts:\n  cap:\n    place: top\n    profile: [{shape: fillet, length: LONG mm, "
    "diameter: 30 mm}, {shape: tenon, length: TENON mm, diameter: 8 mm}]\n"
)


def cap(folder: Path, long: str, tenon: str) -> Episode:
    return open_episode(written(folder, CAP.replace("LONG", long).replace("TENON", tenon)))


def short(episode: Episode) -> list[str]:
    return [note for note in episode.notes if "is short for" in note]


@pytest.mark.parametrize(("long", "least"), [("60", 6), ("20", 4), ("200", 8)])
def test_a_stub_is_told_and_what_is_told_does(folder: Path, long: str, least: float) -> None:
    """Half its thickness of 8 mm, a tenth of what stands on it, at most its thickness (ours)."""
    (told,) = short(cap(folder, long, "1"))
    found = re.search(r"write length: (\d+(?:\.\d+)?) mm or more", told)
    assert found is not None, told
    assert float(found[1]) == least
    assert not short(cap(folder, long, found[1]))
    assert short(cap(folder, long, str(least - 0.1)))


HOLLOW = (
    "parts:\n  cap:\n    place: top\n    profile: [{shape: fillet, length: 15 mm, diameter: "
    "24 mm}, {shape: tenon, length: TENON mm}]\n  drop:\n    place: bottom\n    profile: "
    "[{shape: straight, length: 40 mm, diameter: 12 mm}, {shape: tenon, length: TENON mm, "
    "diameter: 7.8 mm}]\nhollow: {wall: WALL mm, opening: 18 mm, pole: top}\n"
)


@pytest.mark.parametrize("tenon", ["3.2", "10"])
def test_what_stands_in_the_hollow_holds_nothing(folder: Path, tenon: str) -> None:
    """A wall of 3 mm holds 3 mm of a tenon, however long; what is told then holds (ours)."""
    text = HOLLOW.replace("TENON", tenon)
    told = short(open_episode(written(folder, text.replace("WALL", "3"))))
    assert [note.split(":")[0] for note in told] == ["cap", "drop"]
    walls = [re.search(r"hollow: wall: (\d+(?:\.\d+)?) mm or more", note) for note in told]
    lengths = [re.search(r"length: (\d+(?:\.\d+)?) mm or more there", note) for note in told]
    wall = max(float(found[1]) for found in walls if found is not None)
    long = max([float(tenon), *(float(found[1]) for found in lengths if found is not None)])
    mended = HOLLOW.replace("TENON", f"{long:g}")
    assert not short(open_episode(written(folder, mended.replace("WALL", f"{wall:g}"))))
    assert short(open_episode(written(folder, mended.replace("WALL", f"{wall - 0.1:g}"))))


def test_shipped_designs_have_tenons_that_hold(folder: Path) -> None:
    for name in ("crowned-globe", "twelve-lobe-drop"):
        assert not short(open_episode(folder / f"{name}.yaml"))


DROP = (
    "title: Drop\nform: turned\nstock: {species: cherry, diameter: 24 mm}\n"
    "parts:\n  drop:\n    profile: [{shape: taper, length: LONG mm, start: 5 mm, end: 7 mm}, "
    "{shape: cove, length: 10 mm, throat: 6 mm, start: 7 mm, end: 14 mm}, "
    "{shape: fillet, length: 12 mm, diameter: 20 mm}]\n"
)


@pytest.mark.parametrize(("long", "slender"), [("90", True), ("20", False)])
def test_a_slender_part_is_cut_and_finished_stretch_by_stretch(
    folder: Path, long: str, slender: bool
) -> None:
    """The thin places come first in the table of cuts: no caution may say that they come last."""
    path = folder / "drop.yaml"
    steps = STEPS.replace(
        "does: [mounting], stage: off-centre", "part: drop, does: [spindle-running]"
    )
    path.write_text(DROP.replace("LONG", long) + steps, encoding="utf-8")
    episode = open_episode(path)
    (cuts,) = (one for one in episode.schedules if one.name == "drop.partings")
    notes = " ".join(cuts.notes)
    cautions = {one.code: one.text for step in episode.steps for one in step.cautions}
    assert ("slender" in cautions) == slender
    assert ("one stretch at a time" in notes) == slender
    if slender:
        assert "finish each stretch before the wood behind it is thinned" in cautions["slender"]
        assert "last" not in cautions["slender"]


def test_a_part_without_a_tenon_has_labels_without_one(folder: Path) -> None:
    path = folder / "drop.yaml"
    path.write_text(DROP.replace("LONG", "20") + STEPS, encoding="utf-8")
    drop, crowned = open_episode(path).table, open_episode(folder / "crowned-globe.yaml").table
    assert (drop["drop.length"].label, drop["drop.neck"].label) == ("Length", "Thinnest neck")
    assert crowned["cap.length"].label == "Length, tenon included"
    assert crowned["finial.neck"].label == "Thinnest neck or tenon"
