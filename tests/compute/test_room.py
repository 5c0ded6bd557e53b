"""Room: between rim and groove, for the cutters owned, round a tenon, at the lip of an opening."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from studio.episode.assemble import open_episode
from studio.errors import BadInput
from studio.measure.measurement import MeasurementTable

START = "title: Room\nstock: {species: cherry, diameter: 60 mm}\n"
STEPS = "steps:\n  - {id: a, title: A, does: [mounting], stage: off-centre, do: Do it.}\n"


def written(folder: Path, text: str, start: str = START) -> Path:
    path = folder / "room.yaml"
    path.write_text(start + text + STEPS, encoding="utf-8")
    return path


def table(folder: Path, text: str, start: str = START) -> MeasurementTable:
    return open_episode(written(folder, text, start)).table


def faults(folder: Path, text: str, start: str = START) -> str:
    with pytest.raises(BadInput) as raised:
        open_episode(written(folder, text, start))
    return "\n".join(str(fault) for fault in raised.value.faults)


def grooved(rims: str, more: str = "") -> str:
    return (
        "indexing: {marks: 8}\ngrooves: {number: 4, width: 6 mm, depth: 1 mm, keep: width}\n"
        f"workshop: {{cutters: [10 mm], chuck: {{rims: [{rims}]{more}}}}}\n"
    )


def test_the_best_rim_keeps_clear_of_the_groove(folder: Path) -> None:
    near = table(folder, grooved("30 mm, 59.3 mm"))
    assert near["grooves.rim"].text == "30 mm"
    assert "grooves.rim_2" not in near
    # asked for less room the wider one is the better seat: 1.59 mm by hand, rounded down
    mine = table(folder, grooved("30 mm, 59.3 mm", ", clearance: 1.5 mm"))
    assert mine["grooves.rim"].text == "59.3 mm"
    assert mine["grooves.rim_clear"].text == "1.5 mm"


def test_a_rim_left_out_is_told(folder: Path) -> None:
    episode = open_episode(written(folder, grooved("30 mm, 59.3 mm")))
    (seats,) = (one for one in episode.schedules if one.name == "grooves.seats")
    told = " ".join(seats.notes)
    assert "Left out:" in told
    assert "59.3 mm" in told.partition("Left out:")[2]


def test_the_rim_that_is_asked_for_is_taken(folder: Path) -> None:
    told = faults(folder, grooved("59.3 mm"))
    most = re.search(r"add a cup chuck of (\S+ mm) .*at most", told)
    assert most is not None, told
    assert table(folder, grooved(most[1]))["grooves.rim"].text == most[1]
    over = f"{float(most[1].split()[0]) + 0.01:.2f} mm"
    assert "no rim owned" in faults(folder, grooved(over))


def test_a_clearance_that_no_rim_can_keep_is_told(folder: Path) -> None:
    small = START.replace("60 mm", "12 mm")
    text = (
        "indexing: {marks: 8}\ngrooves: {number: 4, width: 1 mm, depth: 0.3 mm, keep: width,\n"
        "  least_land: 1 mm}\n"
        "workshop: {cutters: [1.2 mm], chuck: {rims: [10 mm], clearance: 20 mm}}\n"
    )
    assert "smaller clearance" in faults(folder, text, small)
