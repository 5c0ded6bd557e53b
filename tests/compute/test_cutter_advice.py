"""What is advised where no cutter or flare fits: each advice names its key, and works."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest

from studio.episode.assemble import open_episode
from studio.errors import BadInput

FaultsOf = Callable[[Path], list[str]]

START = "title: Cut\nstock: {species: European sycamore, diameter: 60 mm}\n"
STEPS = "steps:\n  - {id: turn, title: Turn, does: [spindle-running], stage: general, do: Do it.}\n"


def cut(folder: Path, grooves: str, workshop: str = "") -> Path:
    path = folder / "cut.yaml"
    more = f"workshop: {{{workshop}}}\n" if workshop else ""
    path.write_text(f"{START}grooves: {{number: 4, {grooves}}}\n{more}{STEPS}", encoding="utf-8")
    return path


def test_a_chamfer_too_wide_is_told_the_widest_and_the_other_edge(
    folder: Path, faults_of: FaultsOf
) -> None:
    wide = "width: 6 mm, depth: 2 mm, shape: flared, flare: 2 mm, edge: chamfered"
    (told,) = faults_of(cut(folder, wide))
    found = re.search(r"write flare: (\d[\d.]* mm) or less, or edge: rounded", told)
    assert found is not None, told
    open_episode(cut(folder, wide.replace("2 mm, edge", f"{found[1]}, edge")))
    open_episode(cut(folder, wide.replace("chamfered", "rounded")))
    more = f"{float(found[1].split()[0]) + 0.02:.2f} mm"
    (told,) = faults_of(cut(folder, wide.replace("2 mm, edge", f"{more}, edge")))
    assert found[0] in told


def test_too_many_grooves_and_a_chamfer_too_wide_are_told_at_once(
    folder: Path, faults_of: FaultsOf
) -> None:
    """One after the other, what is advised for the count would be refused for the flare."""
    wide = "width: 6 mm, depth: 2 mm, shape: flared, flare: 0.4 mm, edge: chamfered"
    path = cut(folder, wide)
    path.write_text(path.read_text("utf-8").replace("number: 4", "number: 14"), "utf-8")
    told = "\n".join(faults_of(path))
    fewer = re.search(r"write number: (\d+) or less", told)
    narrower = re.search(r"write flare: (\d[\d.]* mm) or less", told)
    assert fewer, told
    assert narrower, told
    text = path.read_text("utf-8").replace("number: 14", f"number: {fewer[1]}")
    path.write_text(text.replace("0.4 mm", narrower[1]), "utf-8")
    open_episode(path)


def test_a_chamfer_that_no_flare_mends_is_told_the_other_edge_alone(
    folder: Path, faults_of: FaultsOf
) -> None:
    """A cove 1 mm deep and 6 mm wide rises at less than 45° at its edge."""
    flat = "width: 6 mm, depth: 1 mm, shape: flared, flare: 1 mm, edge: chamfered"
    (told,) = faults_of(cut(folder, flat, "cutters: [9 mm, 10 mm]"))
    assert told.endswith("write edge: rounded")


@pytest.mark.parametrize(
    ("grooves", "workshop"),
    [
        # a cutter narrower than the groove makes it at no depth
        ("width: 6 mm, depth: 2 mm", "cutters: [5 mm]"),
        # one that makes it far too deep makes it a fifth narrower instead
        ("width: 8 mm, depth: 1.3 mm", "cutters: [10 mm]"),
    ],
)
def test_where_no_cutter_fits_the_other_measure_may_be_kept(
    folder: Path, faults_of: FaultsOf, grooves: str, workshop: str
) -> None:
    (told,) = faults_of(cut(folder, grooves, workshop))
    found = re.search(r"write keep: depth, which makes it (\d[\d.]*) mm wide", told)
    assert found is not None, told
    table = open_episode(cut(folder, f"{grooves}, keep: depth", workshop)).table
    assert table["grooves.width"].value == pytest.approx(float(found[1]), abs=0.005)


def test_the_other_measure_is_not_advised_where_it_makes_another_groove(
    folder: Path, faults_of: FaultsOf
) -> None:
    (told,) = faults_of(cut(folder, "width: 6 mm, depth: 1.2 mm", "cutters: [4 mm]"))
    assert "keep:" not in told
    assert "grooves.depth" in "".join(
        faults_of(cut(folder, "width: 6 mm, depth: 2 mm, keep: width", "cutters: [12 mm]"))
    )


@pytest.mark.parametrize("keep", ["width", "depth"])
def test_no_cutter_is_advised_where_none_would_make_the_groove(folder: Path, keep: str) -> None:
    # deeper than half its width a cove's walls lean over, whatever cuts it
    said = advised(folder, f"width: 6 mm, depth: 4.2 mm, keep: {keep}")
    if keep == "width":
        assert "3.15 mm deep at most" in said
    else:
        # with its depth kept one of 7.9 mm would cut that, but 8 mm wide; the one owned goes less
        assert "at least 7.9 mm wide" in said
        assert "write depth: 3.1 mm or less" in said
    assert "add a cutter" not in said


def test_the_deepest_works_with_the_width_that_goes_with_it(folder: Path) -> None:
    path = with_grooves(folder, "width: 6 mm, depth: 2 mm, keep: depth")
    deepest = open_episode(path).table["grooves.deepest"]
    width = re.search(r"([\d.]+ mm) \(\S+ in\) wide", deepest.where)
    assert width is not None
    grooves = f"width: {width[1]}, depth: {deepest.text}, keep: depth"
    table = open_episode(with_grooves(folder, grooves)).table
    assert table["grooves.depth"].text == deepest.text
    assert table["grooves.cutter"].text == "6 mm"


def with_grooves(folder: Path, grooves: str) -> Path:
    path = folder / "grooved.yaml"
    path.write_text(
        "title: G\nstock: {species: cherry, diameter: 60 mm}\nindexing: {marks: 8}\n"
        f"grooves: {{number: 4, {grooves}}}\n"
        "workshop: {index_plates: [48], cutters: [6 mm], chuck: {rims: [36 mm]}}\n"
        "steps:\n  - {id: a, title: A, does: [mounting], stage: rough, do: Do it.}\n",
        encoding="utf-8",
    )
    return path


def advised(folder: Path, grooves: str) -> str:
    with pytest.raises(BadInput) as raised:
        open_episode(with_grooves(folder, grooves))
    return "\n".join(str(fault) for fault in raised.value.faults)


def test_a_groove_is_not_printed_wider_than_the_widest_that_it_is(folder: Path) -> None:
    """4 in across, a 90° V of 1/8 in: the one cutter owned makes 6.18 mm, and is the widest too."""
    path = folder / "vee.yaml"
    path.write_text(
        "title: V\nstock: {species: cherry, diameter: 4 in}\nindexing: {marks: 12}\n"
        "grooves: {number: 6, width: 1/4 in, depth: 1/8 in, shape: vee, keep: depth}\n"
        "steps:\n  - {id: a, title: A, does: [mounting], stage: general, do: Do it.}\n",
        encoding="utf-8",
    )
    table = open_episode(path).table
    width = table["grooves.width"]
    for name in ("grooves.widest", "grooves.seat_widest"):
        assert table[name].value == pytest.approx(width.value)
        assert table[name].both == width.both
