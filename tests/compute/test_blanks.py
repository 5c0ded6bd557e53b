"""The blank, the cylinder it is trued to, the callipers and the speeds: one and the same wood."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from studio.episode.assemble import open_episode
from studio.measure.measurement import MeasurementTable
from studio.measure.trace import plain

Edit = Callable[[Path, str, str], Path]
FaultsOf = Callable[[Path], list[str]]

FINIAL = """\
      - {shape: bead, length: 5 mm, crown: 5 mm, start: 0 mm, end: 3.4 mm}
      - {shape: taper, length: 24 mm, end: 5 mm}
      - {shape: fillet, length: 2 mm, diameter: 20 mm}
      - {shape: tenon, length: 7 mm, diameter: 7.8 mm}
"""


def turned(folder: Path, stock: str = "diameter: 20 mm", more: str = "") -> Path:
    """Turned parts alone: one finial, made from the stock itself."""
    path = folder / "turned.yaml"
    path.write_text(
        f"title: Finial\nform: turned\nstock: {{species: black cherry, {stock}}}\n{more}"
        f"parts:\n  f:\n    profile:\n{FINIAL}"
        "steps:\n  - {id: t, title: T, part: f, stage: finish, does: [spindle-running], do: T.}\n",
        encoding="utf-8",
    )
    return path


def cut_depths(table: MeasurementTable, part: str) -> list[tuple[float, float]]:
    """Callipers and depth of every parting cut."""
    found = []
    while (setting := table.get(f"{part}.cut_setting_{len(found) + 1}")) is not None:
        found.append((setting.value, table[f"{part}.cut_depth_{len(found) + 1}"].value))
    return found


@pytest.mark.parametrize(
    ("stock", "more", "cylinder", "depth"),
    [
        # half of what stands over the callipers: (20 − 5.5) / 2, (40 − 5.5) / 2, (22 − 5.5) / 2
        ("diameter: 20 mm", "", 20, "7.2 mm"),
        ("diameter: 40 mm", "", 40, "17.2 mm"),
        ("diameter: 20 mm, section: 26 mm", "as_measured: {diameter: 22 mm}\n", 22, "8.2 mm"),
    ],
)
def test_the_base_is_parted_from_the_cylinder_that_is_there(
    folder: Path, stock: str, more: str, cylinder: float, depth: str
) -> None:
    table = open_episode(turned(folder, stock, more)).table
    assert table["f.cylinder"].value == cylinder
    assert table["f.cut_setting_1"].text == "5.5 mm"
    assert table["f.cut_depth_1"].text == depth
    for setting, deep in cut_depths(table, "f"):
        assert cylinder - 2 * deep == pytest.approx(setting)


def test_no_setting_is_wider_than_the_cylinder(folder: Path) -> None:
    """20 mm of wood, 20 mm finished: nothing is left for the allowance, which is told."""
    episode = open_episode(turned(folder))
    count = round(episode.table["f.stations"].value)
    settings = [episode.table[f"f.setting_{k}"].value for k in range(1, count + 1)]
    assert max(settings) == 20
    assert any(
        note.startswith("f: the cylinder of 20 mm") and "20.5 mm" in note for note in episode.notes
    )
    roomy = open_episode(turned(folder, "diameter: 20.5 mm"))
    assert not any(note.startswith("f: the cylinder") for note in roomy.notes)


def test_a_cylinder_measured_thinner_than_the_part_is_told(
    folder: Path, faults_of: FaultsOf
) -> None:
    (told,) = faults_of(turned(folder, more="as_measured: {diameter: 18 mm}\n"))
    assert "as_measured.diameter" in told
    assert "f is 20 mm thick" in told


def test_a_stock_thinner_than_the_part_is_told_alone(folder: Path, faults_of: FaultsOf) -> None:
    (told,) = faults_of(turned(folder, "diameter: 15 mm"))
    assert "write at least 20 mm" in told


def test_a_parts_blank_has_room_for_truing_and_for_the_callipers(folder: Path, edit: Edit) -> None:
    """20 mm finial, 3 mm of truing, 0.5 mm of allowance: 23.5 sawn, 20.5 trued, cuts from there."""
    episode = open_episode(folder / "crowned-globe.yaml")
    table = episode.table
    assert table["finial.section"].value == pytest.approx(20 + 0.5 + 3)
    assert table["finial.section"].text == "24 mm"
    assert table["finial.cylinder"].text == "20.5 mm"
    (partings,) = [one for one in episode.schedules if one.name == "finial.partings"]
    assert any("from a cylinder of 20.5 mm" in plain(note) for note in partings.notes)
    cuts = cut_depths(table, "finial")
    assert cuts
    for setting, deep in cuts:
        assert 20.5 - 2 * deep == pytest.approx(setting)
    assert all(deep > 0.01 for _, deep in cuts), "the cylinder needs no cut where it is the setting"


def test_little_truing_and_a_large_allowance_still_fit_in_the_blank(
    folder: Path, edit: Edit
) -> None:
    edit(folder / "workshop.yaml", "allowance: 0.5 mm", "allowance: 3 mm")
    crowned = edit(
        folder / "crowned-globe.yaml",
        "    place: bottom\n",
        "    place: bottom\n    truing: 1 mm\n",
    )
    table = open_episode(crowned).table
    widest = max(
        table[f"finial.setting_{k}"].value
        for k in range(1, int(table["finial.stations"].value) + 1)
    )
    assert widest == pytest.approx(23)
    assert table["finial.cylinder"].value == pytest.approx(23)
    assert table["finial.section"].value == pytest.approx(24)


@pytest.mark.parametrize(
    ("stock", "more", "swing"),
    [
        ("diameter: 200 mm", "", 200),
        ("diameter: 200 mm", "as_measured: {diameter: 190 mm}\n", 190),
    ],
)
def test_the_bases_speeds_are_those_of_the_cylinder(
    folder: Path, stock: str, more: str, swing: float
) -> None:
    """The rule, 9,000 over the swing in inches (common practice): 200 mm gives 1,143 rpm."""
    path = turned(folder, stock, more)
    again = "  - {id: again, title: T, part: f, stage: finish, does: [spindle-running], do: T.}\n"
    path.write_text(path.read_text("utf-8") + again, "utf-8")
    episode = open_episode(path)
    assert episode.table["f.speed_finish"].value == pytest.approx(9000 * 25.4 / swing)
    assert episode.table["f.speed_finish"].value == episode.table["speed.finish"].value
    assert episode.table["f.speed_general"].value == pytest.approx(6000 * 25.4 / swing)
    assert episode.table["f.speed_rough"].value == episode.table["speed.rough"].value
    # the first step that runs a blank begins with its corners, whatever stage it comes to
    for step, stage in zip(episode.steps, ("rough", "finish"), strict=True):
        (caution,) = [one for one in step.cautions if one.code == "speed"]
        assert episode.table[f"speed.{stage}"].text in plain(caution.short)


def test_another_parts_speeds_are_those_of_its_own_cylinder(folder: Path, edit: Edit) -> None:
    crowned = folder / "crowned-globe.yaml"
    edit(crowned, "{shape: fillet, length: 2 mm, diameter: 20 mm}",
         "{shape: fillet, length: 2 mm, diameter: 60 mm}")  # fmt: skip
    table = open_episode(crowned).table
    assert table["finial.speed_sanding"].value == pytest.approx(4500 * 25.4 / 60.5)


def test_a_typed_blank_thinner_than_the_ball_is_answered_with_truing(
    globe: Path, edit: Edit, faults_of: FaultsOf
) -> None:
    edit(globe, "  truing: 4 mm\n", "  section: 50 mm\n  truing: 3 mm\n")
    (told,) = faults_of(globe)
    assert "a blank of 50 mm is thinner than the piece" in told
    assert "write 63 mm" in told


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("60 mm", "leaves nothing to turn it true to 60 mm"),
        ("61.5 mm", "leaves only 1.5 mm to turn it true to 60 mm"),
        ("63 mm", ""),
        ("61.5 mm\n  truing: 1 mm", ""),
    ],
)
def test_a_typed_blank_with_less_truing_than_wanted_is_told(
    globe: Path, edit: Edit, typed: str, told: str
) -> None:
    # 3 mm is the design's default
    edit(globe, "  truing: 4 mm\n", f"  section: {typed}\n")
    notes = [note for note in open_episode(globe).notes if note.startswith("stock: a blank")]
    assert bool(notes) is bool(told)
    for note in notes:
        assert told in note
        assert "saw it to 63 mm" in note


def test_a_board_too_small_every_way_is_told_in_one_run(folder: Path) -> None:
    """60 mm with 3 mm of truing; 12 mm of waste at each end and two cuts of 3 mm: 63 and 90 mm."""

    def notes(board: str) -> list[str]:
        path = folder / "boarded.yaml"
        path.write_text(
            "title: Boarded\nstock: {species: sycamore, diameter: 60 mm, truing: 3 mm,"
            f" board: {{{board}}}}}\nsteps:\n  - {{id: turn, title: Turn, stage: general,"
            " does: [spindle-running], do: Do it.}\n",
            encoding="utf-8",
        )
        return [note for note in open_episode(path).notes if note.startswith("stock: no blank")]

    (told,) = notes("length: 80 mm, width: 50 mm, thickness: 40 mm")
    for lacks in ("80 mm long", "50 mm wide", "40 mm thick"):
        assert lacks in told
    assert told.count("where it takes 63 mm") == 2
    assert "where it takes 90 mm" in told
    (told,) = notes("length: 90 mm, width: 63 mm, thickness: 62 mm")
    assert "62 mm thick where it takes 63 mm" in told
    assert "long" not in told
    assert "wide" not in told
    assert not notes("length: 90 mm, width: 63 mm, thickness: 63 mm")
