"""What the table advises, obeyed; what it prints, possible; what it cannot use, refused."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest

from studio.episode.assemble import open_episode
from studio.errors import BadInput
from studio.turning import drills

Edit = Callable[[Path, str, str], Path]

START = "title: Advised\nstock: {species: sycamore, diameter: 60 mm}\n"
STEPS = (
    "steps:\n  - id: turn\n    title: Turn\n    does: [spindle-running]\n"
    "    stage: general\n    do: Do it.\n"
)
HANGER = "hanger: {wire: 22 AWG, strands: 4, pitch: 6 mm, hole_depth: DEPTH}\n"


def written(folder: Path, text: str, start: str = START) -> Path:
    path = folder / "advised.yaml"
    path.write_text(start + text + STEPS, encoding="utf-8")
    return path


def advice(path: Path) -> str:
    with pytest.raises(BadInput) as raised:
        open_episode(path)
    return "\n".join(str(fault) for fault in raised.value.faults)


def capped(elements: str) -> str:
    return f"parts:\n  cap:\n    place: top\n    profile: [{elements}]\n"


THIN_BELOW = (
    "{shape: straight, length: 6 mm, diameter: 12 mm}, "
    "{shape: taper, length: 8 mm, start: 12 mm, end: 4 mm}, "
    "{shape: straight, length: 4 mm, diameter: 4 mm}, "
    "{shape: fillet, length: 3 mm, diameter: 16 mm}, "
    "{shape: tenon, length: 8 mm, diameter: 8 mm}"
)


def test_the_advised_depth_of_a_hole_in_a_cap_is_accepted(folder: Path) -> None:
    text = capped(THIN_BELOW) + HANGER
    told = advice(written(folder, text.replace("DEPTH", "18 mm")))
    assert "of wood in cap" in told
    depth = re.search(r"write hole_depth: (\d[\d.]* mm) or less", told)
    assert depth is not None, told
    table = open_episode(written(folder, text.replace("DEPTH", depth[1]))).table
    assert table["hanger.depth"].text == depth[1]
    more = f"{float(depth[1].split()[0]) + 0.1:.2f} mm"
    assert "of wood in cap" in advice(written(folder, text.replace("DEPTH", more)))


def test_the_advised_thickness_of_a_cap_is_accepted(folder: Path) -> None:
    thin = "{shape: straight, length: 14 mm, diameter: ACROSS}, " + (
        "{shape: fillet, length: 3 mm, diameter: 16 mm}, "
        "{shape: tenon, length: 8 mm, diameter: 8 mm}"
    )
    text = capped(thin) + HANGER.replace("DEPTH", "12 mm")
    told = advice(written(folder, text.replace("ACROSS", "4 mm")))
    across = re.search(r"at least (\d[\d.]* mm) across", told)
    assert across is not None, told
    assert "or less" not in told  # no depth helps where the free end itself is too thin
    table = open_episode(written(folder, text.replace("ACROSS", across[1]))).table
    assert table["hanger.depth"].text == "12 mm"


def test_the_advised_depth_in_the_ball_leaves_wood_and_no_note(folder: Path) -> None:
    told = advice(written(folder, HANGER.replace("DEPTH", "61 mm")))
    depth = re.search(r"write hole_depth: (\d[\d.]* mm) or less", told)
    assert depth is not None, told
    episode = open_episode(written(folder, HANGER.replace("DEPTH", depth[1])))
    # beyond the point of the drill, which is counted from the hole's full width
    point = drills.point_mm(episode.table["hanger.drill"].value)
    assert episode.table["hanger.beyond"].value - point == pytest.approx(3, abs=0.1)
    assert not [note for note in episode.notes if note.startswith("hanger: only")]
    close = open_episode(written(folder, HANGER.replace("DEPTH", "58 mm")))
    (note,) = [note for note in close.notes if note.startswith("hanger: only")]
    assert depth[0] in note


BASE = (
    "title: Turned\nstock: {{species: sycamore, diameter: 20 mm}}\n"
    "form: turned\nparts:\n  body:\n{own}    profile:\n"
    "      - {{shape: straight, length: 40 mm, diameter: 20 mm}}\n"
)


@pytest.mark.parametrize(
    ("key", "value"),
    [("truing", "2 mm"), ("allowance", "{headstock: 9 mm, tailstock: 9 mm}")],
)
def test_the_base_has_no_blank_of_its_own(folder: Path, key: str, value: str) -> None:
    open_episode(written(folder, "", BASE.format(own="")))
    told = advice(written(folder, "", BASE.format(own=f"    {key}: {value}\n")))
    assert f"write {key}: under stock:" in told
    assert "advised.yaml:6:" in told


def test_no_calliper_setting_is_wider_than_the_cylinder_printed_for_it(folder: Path) -> None:
    """20 mm is 0.78740 in, printed down on a rule of 1/32 as 25/32; 20.5 rounds up past it."""
    workshop = folder / "workshop.yaml"
    workshop.write_text(workshop.read_text("utf-8").replace("1/64 in", "1/32 in", 1), "utf-8")
    table = open_episode(written(folder, "", BASE.format(own=""))).table
    trued = table["body.cylinder"]
    settings = [m for name, m in table.items() if re.match(r"body\.(setting|cut_setting)_", name)]
    assert settings
    for setting in settings:
        assert setting.metric.value <= trued.metric.value
        assert setting.imperial.value <= trued.imperial.value
    assert any(setting.imperial.text == trued.imperial.text for setting in settings)


def test_the_rim_speed_is_that_of_the_widest_part(folder: Path) -> None:
    wide = capped(
        "{shape: fillet, length: 3 mm, diameter: 90 mm}, "
        "{shape: fillet, length: 3 mm, diameter: 20 mm}, "
        "{shape: tenon, length: 8 mm, diameter: 8 mm}"
    )
    plain, capped_table = (open_episode(written(folder, text)).table for text in ("", wide))
    for table, across in ((plain, 0.060), (capped_table, 0.090)):
        exact = 3.141592653589793 * across * table["speed.finish"].value / 60
        assert table["speed.rim"].value == pytest.approx(exact, rel=1e-6)


WALL = "hollow: {wall: WALL, opening: 14 mm, pole: bottom}\n"


def test_a_thin_wall_gets_one_advice_that_holds(folder: Path) -> None:
    """Four bundles of 1.62 mm (ours) are more than a wall of 6 mm gives: no depth is advised."""
    text = WALL + HANGER
    told = advice(written(folder, text.replace("WALL", "6 mm").replace("DEPTH", "12 mm")))
    assert "no depth does here" in told
    assert "less than" not in told
    assert "or less" not in told
    wanted = re.search(r"hollow: wall: (\d[\d.]* mm) or more and hole_depth: (\d[\d.]* mm)", told)
    assert wanted is not None, told
    obeyed = text.replace("WALL", wanted[1]).replace("DEPTH", wanted[2])
    episode = open_episode(written(folder, obeyed))
    assert not [note for note in episode.notes if note.startswith("hanger:")]
    # a shallow hole that does fit hears the same
    shallow = open_episode(written(folder, text.replace("WALL", "6 mm").replace("DEPTH", "4 mm")))
    (note,) = [note for note in shallow.notes if note.startswith("hanger:")]
    assert wanted[0] in note
    assert "drill at least" not in note


def test_a_thick_wall_is_told_the_depths_that_do(folder: Path) -> None:
    text = (WALL + HANGER).replace("WALL", "12 mm")
    told = advice(written(folder, text.replace("DEPTH", "12 mm")))
    depth = re.search(r"write hole_depth: (\d[\d.]* mm) or less", told)
    assert depth is not None, told
    wall = re.search(r"hollow: wall: (\d[\d.]* mm) or more", told)
    assert wall is not None, told
    for obeyed in (
        text.replace("DEPTH", depth[1]),
        text.replace("12 mm", wall[1]).replace("DEPTH", "12 mm"),
    ):
        episode = open_episode(written(folder, obeyed))
        assert not [note for note in episode.notes if note.startswith("hanger:")]
