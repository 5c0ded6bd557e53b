"""Rings, hollow, turned parts, joints, mounting, finish: from a design to figures or a sentence."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from pathlib import Path

import pytest

from studio import cli
from studio.episode.assemble import open_episode
from studio.errors import BadInput
from studio.measure.measurement import System
from studio.picture.solids import mesh_of
from studio.turning import seat
from studio.turning.cutters import surface_radius_mm

Edit = Callable[[Path, str, str], Path]
FaultsOf = Callable[[Path], list[str]]

COUSINS = ("globe", "lobed-globe", "twelve-lobe-drop", "crowned-globe")

NAMES = (
    "sphere.octagon_side", "sphere.set_in", "index.chord", "index.stops", "grooves.land",
    "grooves.merge_latitude", "grooves.seat_left", "grooves.widest", "grooves.deepest",
    "grooves.seat_counts", "grooves.seat_widest", "axis.marks", "profile.stations", "hanger.wire",
    "hanger.bundle", "hanger.drill", "hanger.cut", "stock.section", "stock.length",
    "stock.board_blanks", "wood.movement", "speed.rough", "speed.off_centre", "piece.mass",
    "piece.area", "piece.volume", "hollow.thinnest", "hollow.reach", "hollow.saved",
    "assembly.height", "finial.neck", "finial.slenderness", "finial.tenon", "finial.hole",
    "finial.hole_depth", "finial.gap", "finial.fit_later", "finial.speed_rough", "cap.tenon",
    "finish.total", "finish.amount", "sanding.papers", "tolerance.sphere_driver",
)  # fmt: skip


@pytest.fixture
def crowned(folder: Path) -> Path:
    return folder / "crowned-globe.yaml"


@pytest.mark.parametrize("name", NAMES)
def test_the_largest_demo_names_the_whole_trade(name: str, folder: Path) -> None:
    measurement = open_episode(folder / "crowned-globe.yaml").table[name]
    for field in ("label", "unit", "text", "rule", "formula", "source"):
        assert getattr(measurement, field), f"{name} has no {field}"


@pytest.mark.parametrize("name", COUSINS)
def test_every_cell_of_a_schedule_is_a_measurement(name: str, folder: Path) -> None:
    episode = open_episode(folder / f"{name}.yaml")
    for schedule in episode.schedules:
        assert not schedule.missing(episode.table), schedule.name
        assert schedule.rows


def test_the_crowned_globes_own_figures(crowned: Path) -> None:
    """Worked by hand: 72 mm, wall 8 mm, opening 16 mm, six grooves of 2.4 mm."""
    table = open_episode(crowned).table
    assert table["hollow.diameter"].value == 72 - 2 * 8
    # the rim lies within the merged cap, below the plain ball's rim and above the core
    plain = math.sqrt(36**2 - 8**2)
    assert table["grooves.pole_height"].value / 2 - 1 < table["hollow.reach"].value - 28 < plain
    assert table["hollow.side"].value == 28 - 8
    # grooves fitted to the 8 mm cutter, a quarter of a millimetre of marking
    depth = table["grooves.depth"].value
    assert table["hollow.thinnest"].value == pytest.approx(8 - depth - 0.25)
    assert table["finial.length"].value == pytest.approx(62)
    assert table["cap.tenon"].value == pytest.approx(16 - 2 * 0.1)
    assert table["finial.gap"].value == pytest.approx((8 - 7.8) / 2)
    # free end to free end: 55 and 21 mm above the shoulders, which rest near the poles' height
    between = table["assembly.height"].value - 55 - 21
    assert table["grooves.pole_height"].value - 1 < between < 72


def test_a_tenon_left_out_fits_a_typed_drill_too(crowned: Path, edit: Edit) -> None:
    edit(crowned, "{shape: tenon, length: 7 mm, diameter: 7.8 mm}", "{shape: tenon, length: 7 mm}")
    edit(crowned, "    place: bottom\n", "    place: bottom\n    hole: 9 mm\n    gap: 0.15 mm\n")
    table = open_episode(crowned).table
    assert table["finial.tenon"].value == pytest.approx(8.7)
    assert table["finial.hole"].reading(System.METRIC).text == "9 mm"


def test_a_part_of_a_part(crowned: Path, edit: Edit) -> None:
    """A knob on the cap takes the hanger; the hole in the cap is for its tenon."""
    edit(
        crowned,
        "\nsteps:\n",
        "  knob:\n    place: cap\n    profile:\n"
        "      - {shape: bead, length: 9 mm, crown: 11 mm, start: 7 mm, end: 7 mm}\n"
        "      - {shape: tenon, length: 4 mm, diameter: 3.3 mm}\n\nsteps:\n",
    )
    edit(
        crowned,
        "  cap:\n    species: black walnut\n    place: top\n    profile:\n"
        "      - {shape: fillet, length: 2 mm, diameter: 8 mm}",
        "  cap:\n    species: black walnut\n    place: top\n    profile:\n"
        "      - {shape: fillet, length: 6 mm, diameter: 10 mm}",
    )
    episode = open_episode(crowned)
    assert episode.piece is not None
    parts = {part.name: part for part in episode.piece.parts}
    assert parts["knob"].shoulder_mm == pytest.approx(parts["cap"].height_mm(0.0))
    assert episode.table["hanger.in"].text == "the free end of knob"
    assert parts["cap"].bores[0].diameter_mm == episode.table["knob.hole"].value


def test_turned_parts_alone(folder: Path) -> None:
    drop = folder / "icicle.yaml"
    drop.write_text(
        "title: Icicle\nform: turned\nstock: {species: black cherry, diameter: 22 mm}\n"
        "parts:\n  icicle:\n    profile:\n"
        "      - {shape: taper, length: 60 mm, start: 2 mm, end: 7 mm}\n"
        "      - {shape: bead, length: 12 mm, crown: 20 mm, start: 9 mm, end: 9 mm}\n"
        "steps:\n  - {id: turn, title: Turn, part: icicle, stage: finish,\n"
        "     does: [spindle-running],\n"
        '     do: "Turn {{ icicle.length }} at {{ icicle.speed_finish }}."}\n',
        encoding="utf-8",
    )
    episode = open_episode(drop)
    table = episode.table
    assert table["icicle.length"].value == pytest.approx(72)
    assert table["assembly.height"].value == pytest.approx(72)
    assert "sphere.diameter" not in table
    assert table["stock.length"].value == pytest.approx(72 + 12 + 12 + 2 * 3)
    assert table["piece.volume"].value == table["icicle.volume"].value
    assert episode.piece is not None
    assert episode.piece.globe is None
    assert any("it whips" in note for note in episode.notes) is (
        table["icicle.slenderness"].value > 10
    )


def test_rings_go_by_place_from_the_top(folder: Path) -> None:
    path = folder / "ringed.yaml"
    path.write_text(
        "title: Ringed\nbased_on: lobed-globe.yaml\nrings:\n"
        "  - {place: 15 mm, width: 4 mm, depth: 1.2 mm}\n"
        "  - {place: 0 mm, width: 2 mm, depth: 1 mm, shape: vee, keep: depth}\n",
        encoding="utf-8",
    )
    episode = open_episode(path)
    table = episode.table
    assert [table[f"rings.side_{k}"].text for k in (1, 2, 3)] == [
        "tailstock side", "equator", "headstock side",
    ]  # fmt: skip
    # 15 mm up a 60 mm ball: asin(1/2), and dividers D·sin 30°
    assert table["rings.latitude_1"].value == pytest.approx(30)
    assert table["rings.dividers_1"].value == pytest.approx(30)
    plain = open_episode(folder / "lobed-globe.yaml").table
    assert table["piece.volume"].value < plain["piece.volume"].value


def test_notes_on_rings_say_which_ring(folder: Path, faults_of: FaultsOf) -> None:
    """A 3 mm cutter, R 1.5, makes neither 2 mm by 0.45 mm nor 2 mm by 0.93 mm."""
    two = (
        "rings:\n  - {place: 15 mm, width: 2 mm, depth: 0.45 mm}\n"
        "  - {place: 4 mm, width: 2 mm, depth: 0.DEPTH mm, side: bottom}\n"
    )
    notes = open_episode(ringed(folder, two.replace("DEPTH", "46"))).notes
    told = [note for note in notes if note.startswith("rings:")]
    # the first is cut on both halves, and told once
    assert ["the ring 15 mm from the equator" in note for note in told] == [True, False]
    assert ["the ring 4 mm from the equator on the bottom half" in note for note in told] == [
        False,
        True,
    ]
    (fault,) = faults_of(ringed(folder, two.replace("DEPTH", "93")))
    assert "rings[2].depth" in fault
    assert "makes the ring 4 mm from the equator on the bottom half" in fault


def test_flared_grooves_take_land(folder: Path, edit: Edit) -> None:
    lobed = folder / "lobed-globe.yaml"
    before = open_episode(lobed).table["grooves.land"].value
    edit(lobed, "  depth: 2 mm\n", "  depth: 2 mm\n  shape: flared\n  flare: 0.5 mm\n")
    table = open_episode(lobed).table
    assert table["grooves.land"].value == pytest.approx(before - 2 * 0.5)
    assert table["grooves.across"].value == pytest.approx(7)
    assert table["grooves.roundover"].value > 0


def test_the_mounting_card(folder: Path, edit: Edit) -> None:
    """Four grooves on eight marks: the axis of groove 1 is the line of groove 3, and so on."""
    lobed = folder / "lobed-globe.yaml"
    edit(lobed, "  depth: 2 mm\n", "  depth: 2 mm\n  order: [1, 3, 2, 4]\n")
    table = open_episode(lobed).table
    assert table["axis.marks_1"].text == "1 and 5"
    assert (table["axis.head_1"].text, table["axis.tail_1"].text) == ("3", "7")
    assert table["axis.stops_2"].text == "6 and 18"
    assert table["axis.groove_2"].text == "3"
    assert table["axis.turn_2"].text == "90° on"
    assert table["axis.point_2"].text == "in groove 1, already cut"
    assert "plug" in table["axis.protect_2"].text
    assert "cut later" in table["axis.point_1"].text
    assert "takes the point's mark away" in table["axis.protect_1"].text


def test_an_odd_count_puts_the_axis_in_mid_land(folder: Path, edit: Edit) -> None:
    lobed = folder / "lobed-globe.yaml"
    edit(lobed, "  number: 4", "  number: 3")
    edit(lobed, "  marks: 8\n  plate: 24", "  marks: 6\n  plate: 24")
    table = open_episode(lobed).table
    assert table["axis.head_1"].text == "half way from 2 to 3"
    assert table["axis.point_2"].text.startswith("in the middle of a land")
    assert table["grooves.marks_with_axes"].value == 12


def test_finish_times_and_amount(globe: Path) -> None:
    """Three coats 4 h apart and 24 h to dry: 32 h; 113.1 cm² thrice at 12 m² a litre: 2.83 ml."""
    table = open_episode(globe).table
    assert table["finish.total"].text == "32 h"
    assert table["finish.amount"].value / 1000 == pytest.approx(2.827, abs=0.002)
    assert table["finish.amount"].text == "2.9 ml"


def test_a_board_that_gives_no_blank_is_told_and_the_rest_stands(globe: Path, edit: Edit) -> None:
    edit(globe, "thickness: 68 mm", "thickness: 40 mm")
    episode = open_episode(globe)
    assert "stock.board_blanks" not in episode.table
    assert any(note.startswith("stock:") and "40 mm thick" in note for note in episode.notes)


def test_moisture_by_meter_stands_above_the_workshops_air(globe: Path, edit: Edit) -> None:
    edit(globe, "  blank: square\n", "  blank: square\n  moisture: 9 %\n")
    table = open_episode(globe).table
    assert table["wood.moisture_shop"].value == 9
    assert table["wood.moisture_shop"].source == "typed in the design"


IMPOSSIBLE = [
    ("lobed-globe", "  width: 6 mm", "  width: 26 mm", "wide at most here"),
    ("lobed-globe", "  marks: 8\n  plate: 24", "  marks: 8\n  plate: 36", "does not divide"),
    ("lobed-globe", "  depth: 2 mm", "  depth: 2 mm\n  shape: flared", "width of its flare"),
    ("lobed-globe", "  depth: 2 mm", "  depth: 2 mm\n  flare: 1 mm", "no flared edges"),
    ("lobed-globe", "  depth: 2 mm", "  depth: 2 mm\n  order: [1, 2, 3]", "write each number"),
    ("crowned-globe", "diameter: 7.8 mm}", "diameter: 12.8 mm}", "no drill owned lets in a tenon"),
    ("crowned-globe", "    place: bottom\n", "    place: bottom\n    hole: 7.5 mm\n",
     "a tenon of 7.8 mm does not go into a hole of 7.5 mm"),
    ("crowned-globe", "    place: bottom\n", "    place: bottom\n    hole: 7.95 mm\n",
     "no drill of 7.95 mm is owned"),
    ("crowned-globe", "  wall: 8 mm", "  wall: 2 mm", "goes through a wall"),
    ("crowned-globe", "  wall: 8 mm", "  wall: 5 mm", "the wall comes down to"),
    ("crowned-globe", "  wall: 8 mm", "  wall: 40 mm", "leaves no hollow"),
    ("crowned-globe", "start: 0 mm, end: 3.4 mm", "start: 0 mm, end: 2.4 mm",
     "thinner than finial's least neck"),
    ("crowned-globe", "    place: bottom\n", "    place: beside\n", "nothing called 'beside'"),
    ("crowned-globe", "    place: bottom\n", "    place: top\n", "stands there already"),
    ("crowned-globe", "crown: 14 mm", "throat: 14 mm", "a bead has no throat"),
    ("crowned-globe", "{shape: tenon, length: 7 mm, diameter: 7.8 mm}",
     "{shape: taper, length: 7 mm}", "whose last diameter nothing tells"),
    ("crowned-globe", "start: 0 mm, end: 3.4 mm", "end: 3.4 mm",
     "whose first diameter nothing tells"),
    ("crowned-globe", "crown: 14 mm", "crown: 7 mm", "must be its thickest"),
    ("crowned-globe", "{shape: fillet, length: 2 mm, diameter: 20 mm}",
     "{shape: fillet, length: 2 mm, diameter: 8 mm}", "does not rest round a hole"),
    ("crowned-globe", "    part: finial\n", "    part: spire\n", "there is no part 'spire'"),
    ("globe", "  hole_depth: 12 mm", "  hole_depth: 61 mm", "goes through the ball"),
    ("globe", "  coats: 3\n  recoat: 4 h", "  coats: 3", "without the time between them"),
    ("globe", "coverage: 12 m²/l", "coverage: 12 l", "does not say how far a finish goes"),
    ("globe", "  recoat: 4 h", "  recoat: 4", "a time with its unit"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "old", "new", "said"), IMPOSSIBLE)
def test_impossible_designs_each_get_one_sentence(
    name: str, old: str, new: str, said: str, folder: Path, edit: Edit, faults_of: FaultsOf
) -> None:
    path = edit(folder / f"{name}.yaml", old, new)
    told = faults_of(path)
    matching = [fault for fault in told if said in fault]
    assert len(matching) == 1, told
    assert len(told) <= 2, told
    assert cli.main(["measure", str(path)]) == 2


def test_a_part_does_not_take_a_subjects_name(
    crowned: Path, edit: Edit, faults_of: FaultsOf
) -> None:
    edit(crowned, "  finial:\n", "  grooves:\n")
    assert any("the name of something else" in fault for fault in faults_of(crowned))


def test_a_hanger_under_an_opening_is_told(crowned: Path, edit: Edit, faults_of: FaultsOf) -> None:
    """Without the cap the hanger's place is the opening."""
    text = crowned.read_text(encoding="utf-8")
    start, end = text.index("  cap:\n"), text.index("\nsteps:\n")
    text = text[:start] + text[end:]
    start, end = text.index("  - id: turn-cap"), text.index("  - id: assemble")
    text = text[:start] + text[end:]
    text = text.replace("    turn-cap: 1:54\n", "").replace("finial below and\n  a cap above", "x")
    crowned.write_text(text, encoding="utf-8")
    assert any("opening lies where the hanger" in fault for fault in faults_of(crowned))


def test_a_speed_over_the_rule_of_the_part_is_a_caution(crowned: Path, edit: Edit) -> None:
    edit(crowned, "    part: finial\n", "    part: finial\n    speed: 2600 rpm\n")
    steps = {step.id: step for step in open_episode(crowned).steps}
    assert "speed-over" in [caution.code for caution in steps["turn-finial"].cautions]


def test_scaling_names_what_gets_too_thin_and_the_size_that_does_not(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    argv = ["new", "tiny", "--from", str(folder / "crowned-globe.yaml"), "--scale-to", "40 mm"]
    assert cli.main(argv) == 2
    said = capsys.readouterr().err
    assert "thinner than finial's least neck" in said
    # the neck of 3.4 mm becomes 1.89 mm, and its least is 3 mm: 40 × 3 / 1.89
    assert "scale the whole design to 63.5 mm or more" in said
    assert not (folder / "tiny.yaml").exists()


def test_tenons_stay_and_the_rest_of_a_profile_scales(folder: Path) -> None:
    path = folder / "larger.yaml"
    path.write_text(
        "title: Larger\nbased_on: crowned-globe.yaml\nscale_to: 90 mm\n"
        "grooves: {width: 8 mm, depth: 4 mm}\n",
        encoding="utf-8",
    )
    small, large = open_episode(folder / "crowned-globe.yaml").table, open_episode(path).table
    assert large["finial.tenon"].value == small["finial.tenon"].value
    assert large["finial.neck"].value == pytest.approx(
        small["finial.neck"].value * 1.25, abs=0.0501
    )
    # eight lengths, each written to the nearest tenth of a millimetre
    assert large["finial.length"].value == pytest.approx(55 * 1.25 + 7, abs=8 * 0.05)
    assert large["hollow.opening"].value == pytest.approx(20)
    assert large["cap.tenon"].value == pytest.approx(19.8)


def ringed(folder: Path, text: str, name: str = "ringed", base: str = "globe.yaml") -> Path:
    path = folder / f"{name}.yaml"
    path.write_text(f"title: Tried\nbased_on: {base}\n{text}", encoding="utf-8")
    return path


CAP = (
    "parts:\n  cap:\n    place: top\n    profile:\n"
    "      - {shape: fillet, length: 14 mm, diameter: 12 mm}\n"
    "      - {shape: fillet, length: 2 mm, diameter: 22 mm}\n"
    "      - {shape: tenon, length: 8 mm, diameter: 7.8 mm}\n"
)


def test_reach_is_from_the_rim_that_the_grooves_leave(folder: Path) -> None:
    """Worked by many places of the real rim: 72 mm, six grooves, opening 16 mm."""
    episode = open_episode(folder / "crowned-globe.yaml")
    assert episode.piece is not None
    globe = episode.piece.globe
    assert globe is not None
    assert globe.section is not None
    highest = 0.0
    for step in range(20_000):
        polar = step / 20_000 * 0.5
        off = math.asin(math.sin(polar) * math.sin(math.pi / 12))
        far = surface_radius_mm(globe.section, off)
        if far * math.sin(polar) >= 8:
            highest = far * math.cos(polar)
            break
    reach = episode.table["hollow.reach"]
    assert reach.value == pytest.approx(highest + 28, abs=0.01)
    # followed to the letter it leaves the wall at the far pole
    assert highest - reach.metric.value >= -28 - 1e-6


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("hollow: {wall: 4 mm, opening: 16 mm, pole: bottom}\ngrooves: {number: 4, width: 6 mm, "
         "depth: 2 mm}\nindexing: {marks: 8}\n", "the wall comes down to"),
        ("grooves: {number: 48, width: 6 mm, depth: 2 mm}\nindexing: {marks: 96}\n",
         "no width is left for 48 here"),
        (CAP + "rings:\n  - {place: 28 mm, width: 3 mm, depth: 1.2 mm, side: top}\n",
         "a ring's inner edge is"),
        ("rings:\n  - {place: 29.9 mm, width: 3.4 mm, depth: 0.6 mm, side: top, "
         "least_land: 0 mm}\n", "the hanger's hole is"),
        ("rings:\n  - {place: 10 mm, width: 4 mm, depth: 1 mm}\n"
         "  - {place: 14 mm, width: 4 mm, depth: 1 mm}\n", "of land is left beside a ring"),
        (CAP + "hanger: {hole_depth: 90 mm}\n", "goes through the ball"),
        (CAP.replace("  cap:", "  top:"), "the name of something else"),
        (CAP.replace("  cap:", "  stock:"), "the name of something else"),
        (CAP.replace("  cap:", "  globe:"), "the name of something else"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_said_and_never_a_fault_of_ours(
    text: str, said: str, folder: Path, faults_of: FaultsOf
) -> None:
    path = ringed(folder, text)
    assert any(said in fault for fault in faults_of(path)), faults_of(path)
    assert cli.main(["measure", str(path)]) == 2


@pytest.mark.parametrize(
    ("text", "typed", "advice"),
    [
        ("hollow: {wall: 4 mm, opening: 16 mm, pole: bottom}\ngrooves: {number: 4, width: 6 mm, "
         "depth: 2 mm, keep: depth}\nindexing: {marks: 8}\n", "depth: 2 mm",
         r"or cut no deeper than (\S+ mm)"),
        (CAP + "rings:\n  - {place: 28 mm, width: 3 mm, depth: 1.2 mm, side: top}\n",
         "place: 28 mm", r"place the ring (\S+ mm) from the equator at most"),
        ("hanger: {wire: 22 AWG, strands: 4, pitch: 2 mm}\n", "pitch: 2 mm",
         r"write (\S+ mm) or more"),
    ],
)  # fmt: skip
def test_a_refusal_names_the_figure_that_works(
    text: str, typed: str, advice: str, folder: Path, faults_of: FaultsOf
) -> None:
    told = "\n".join(faults_of(ringed(folder, text)))
    found = re.search(advice, told)
    assert found is not None, told
    mended = ringed(folder, text.replace(typed, f"{typed.partition(':')[0]}: {found[1]}"), "mended")
    left = ""
    try:
        open_episode(mended)
    except BadInput as error:
        left = str(error)
    assert not re.search(advice, left), left


@pytest.mark.parametrize(
    ("marks", "grooves"),
    [
        (2, "number: 1, width: 6 mm, depth: 3.14 mm, shape: vee"),
        (4, "number: 2, width: 6 mm, depth: 5.3 mm, shape: vee"),
        (4, "number: 2, width: 6 mm, depth: 3.14 mm, shape: vee"),
    ],
)
def test_few_vees_may_be_as_wide_as_the_ball_and_no_deeper_than_its_core(
    marks: int, grooves: str, folder: Path
) -> None:
    """With one or two V grooves the widest that the lands allow would reach the ball's middle."""
    text = f"indexing: {{marks: {marks}, plate: 24}}\ngrooves: {{{grooves}}}\n"
    table = open_episode(ringed(folder, text)).table
    # a quarter of 60 mm
    assert table["grooves.deepest"].text == "15 mm"
    depth = table["grooves.depth"].metric.value
    assert table["grooves.core"].metric.value == pytest.approx(60 - 2 * depth)


def test_a_groove_that_leaves_little_core_is_told(folder: Path) -> None:
    text = (
        "indexing: {marks: 4, plate: 24}\nworkshop: {vee_cutters: [40°]}\n"
        "grooves: {number: 2, width: 14 mm, depth: 18 mm, shape: vee, keep: depth}\n"
    )
    (note,) = (one for one in open_episode(ringed(folder, text)).notes if "core" in one)
    assert "a core of 24 mm" in note
    assert "write depth: 15 mm or less" in note


def test_the_width_that_is_advised_keeps_a_seat(folder: Path, faults_of: FaultsOf) -> None:
    """10 grooves of 9 mm on 50 mm: 5.8 mm would leave the land, and no rim would hold the ball."""
    text = (
        "stock: {diameter: 50 mm}\nindexing: {marks: 20, plate: 60}\n"
        "grooves: {number: 10, width: %s, depth: %s}\n"
    )
    told = "\n".join(faults_of(ringed(folder, text % ("9 mm", "1.2 mm"))))
    found = re.search(r"may be (\S+ mm) wide at most here, .*, (\S+ mm) deep", told)
    assert found is not None, told
    assert 0 < float(found[1].split()[0]) < 5
    table = open_episode(ringed(folder, text % found.groups(), "mended")).table
    assert table["grooves.width"].text == found[1]
    assert table["grooves.depth"].metric.value == pytest.approx(
        float(found[2].split()[0]), abs=0.06
    )


def test_turns_make_no_thicker_bundle_than_the_drill_is_for(folder: Path) -> None:
    """10.9 mm of cable at one turn in 5.4: two turns and no half one more."""
    text = "hanger: {strands: 4, pitch: 5.4 mm, hole_depth: 7 mm, reach: 3.9 mm}\n"
    table = open_episode(ringed(folder, text)).table
    assert table["hanger.turns"].text == "2"
    assert table["hanger.cable"].value / table["hanger.turns"].value >= 5.4


def test_no_more_is_left_proud_than_is_told(folder: Path) -> None:
    """60 mm on a rule of tenths and sixty-fourths: 17.5, 6.4, 3 mm leave 0.2; 11/16, 1/4, 7/64 in
    0.25 (figures cut by hand, corner by corner)."""
    table = open_episode(folder / "globe.yaml").table
    assert [table[f"sphere.{one}"].both for one in ("set_in", "second_mark", "third_mark")] == [
        "17.5 mm (11/16 in)", "6.4 mm (1/4 in)", "3 mm (7/64 in)",
    ]  # fmt: skip
    assert table["sphere.proud_as_marked"].text == "0.26 mm"
    assert table["sphere.proud_third"].text == "0.15 mm"


def told_of(folder: Path, text: str, about: str, name: str) -> str:
    return "\n".join(
        one for one in open_episode(ringed(folder, text, name)).notes if one.startswith(f"{about}:")
    )


@pytest.mark.parametrize(
    ("text", "typed", "mended", "about", "said"),
    [
        ("hanger: {wire: 22 AWG, strands: 4, pitch: 6 mm, hole_depth: 21 mm}\n", "21 mm", "20 mm",
         "hanger", "over 12 times as deep as its drill of 1.7 mm"),
        ("stock: {diameter: 150 mm}\nhanger: {wire: 32 AWG, strands: 2}\n", "32 AWG", "22 AWG",
         "hanger", "is much for so thin a wire"),
        ("hollow: {wall: 5 mm, opening: 9 mm, pole: bottom}\nhanger: {hole_depth: 3 mm}\n",
         "9 mm", "10 mm", "hollow", "hardly passes an opening of 9 mm"),
    ],
)  # fmt: skip
def test_what_bench_sense_would_say(
    text: str, typed: str, mended: str, about: str, said: str, folder: Path
) -> None:
    """By hand: 12 × 1.7 = 20.4 mm. 150 mm of sycamore weighs about 1.1 kg, ten times that is 108 N;
    two strands of 32 gauge (0.032 mm² each) bear 19 N, of 22 gauge (0.326 mm²) 196 N. A hollow of
    50 mm behind 10 mm is reached 20 mm sideways."""
    assert said in told_of(folder, text, about, "as-typed")
    assert said not in told_of(folder, text.replace(typed, mended), about, "mended")


def test_the_rim_that_misses_least_is_named_where_none_holds() -> None:
    """A gap of 105° of a third is nearer to lost than one of 37° of nearly half."""
    poor = [
        seat.Seat(48, 5, 5, 0.33, 105.5, 5.0, 10.0, narrow=False),
        seat.Seat(34, 5, 5, 0.45, 36.9, 5.0, 10.0, narrow=False),
    ]
    assert max(poor, key=seat.goodness).rim_mm == 34
    good = [
        seat.Seat(48, 5, 5, 0.8, 20, 5.0, 10.0, narrow=False),
        seat.Seat(34, 5, 5, 0.9, 20, 5.0, 10.0, narrow=False),
    ]
    assert max(good, key=seat.goodness).rim_mm == 48
    assert max([*poor, *good], key=seat.goodness) in good


def test_a_shallow_groove_does_not_take_a_points_mark_away(folder: Path) -> None:
    text = "indexing: {marks: 12, plate: 24}\ngrooves: {number: 6, width: %s, depth: %s}\n"
    for width, depth, said in (("6 mm", "2 mm", "nothing:"), ("3 mm", "0.5 mm", "too shallow")):
        found = open_episode(ringed(folder, text % (width, depth), f"d{depth[0]}")).table
        assert said in found["axis.protect_1"].text


THIN_END = (
    "parts:\n  finial:\n    place: bottom\n    profile:\n"
    "      - {shape: straight, length: %s, diameter: 1 mm}\n"
    "      - {shape: taper, length: 20 mm, start: 1 mm, end: 5 mm}\n"
    "      - {shape: fillet, length: 4 mm, diameter: 16 mm}\n"
    "      - {shape: tenon, length: 7 mm, diameter: 7.8 mm}\n"
)


def test_an_even_free_end_that_is_longer_than_thick_is_a_neck(
    folder: Path, faults_of: FaultsOf
) -> None:
    assert any(
        "the neck of 1 mm is thinner" in one
        for one in faults_of(ringed(folder, THIN_END % "30 mm"))
    )
    # a tip is none: it carries nothing but itself
    table = open_episode(ringed(folder, THIN_END % "0.8 mm", "tip")).table
    assert table["finial.neck"].text == "7.8 mm"


def test_a_hanger_goes_on_into_the_ball_under_a_short_cap(folder: Path) -> None:
    table = open_episode(ringed(folder, CAP + "hanger: {hole_depth: 26 mm}\n")).table
    # 16 mm of cap above its shoulder, 10 in the ball
    assert table["hanger.beyond"].value == pytest.approx(60 - 10, abs=0.3)


def test_printed_wires_add_up(folder: Path) -> None:
    for strands in range(2, 8):
        path = ringed(folder, f"hanger: {{strands: {strands}, pitch: 12 mm}}\n", f"wire-{strands}")
        table = open_episode(path).table
        single = table.get("hanger.cut_single")
        for system in System:
            whole = table["hanger.wires"].value * table["hanger.cut"].reading(system).value
            whole += single.reading(system).value if single is not None else 0
            assert table["hanger.wire_total"].reading(system).value == pytest.approx(whole)
            cable = [table[f"hanger.{key}"].reading(system).value for key in ("reach", "depth")]
            assert table["hanger.cable"].reading(system).value == pytest.approx(sum(cable))


def test_a_parts_own_wood_brings_its_own_caution(folder: Path) -> None:
    text = CAP.replace("    place: top", "    species: cocobolo\n    place: top")
    steps = open_episode(ringed(folder, text)).steps
    for step in steps:
        codes = [caution.code for caution in step.cautions]
        assert ("species-dust" in codes) is ("spindle-running" in codes or "sanding" in codes)


def test_hollowing_and_drilling_run(folder: Path) -> None:
    text = "steps:\n  - {id: bore, title: Bore, does: [DO], do: Bore.}\n"
    for does in ("hollowing", "drilling"):
        path = ringed(folder, text.replace("DO", does), does)
        step = open_episode(path).steps[-1]
        codes = [caution.code for caution in step.cautions]
        assert {"spindle-running", "speed", does} <= set(codes)


def test_slender_work_has_its_caution(folder: Path) -> None:
    text = CAP.replace("length: 14 mm, diameter: 12 mm", "length: 60 mm, diameter: 4.8 mm")
    text += (
        "steps:\n  - {id: cap, title: Cap, part: cap, stage: finish, does: [nothing], do: Turn.}\n"
    )
    step = open_episode(ringed(folder, text)).steps[-1]
    assert "slender" in [caution.code for caution in step.cautions]


def test_the_widest_place_swings(folder: Path) -> None:
    """The rule for sanding, 4,500 over the diameter in inches (ours): 100 mm gives 1,143 rpm."""
    path = folder / "wide.yaml"
    path.write_text(
        "title: Wide\nform: turned\nstock: {species: cherry, diameter: 100 mm}\n"
        "parts:\n  dish:\n    profile:\n"
        "      - {shape: fillet, length: 8 mm, diameter: 100 mm}\n"
        "steps:\n  - {id: t, title: T, does: [spindle-running], do: Turn.}\n",
        encoding="utf-8",
    )
    assert open_episode(path).table["speed.sanding"].value == pytest.approx(4500 * 25.4 / 100)


def test_errors_speak_the_turners_own_units(folder: Path, edit: Edit, faults_of: FaultsOf) -> None:
    edit(folder / "workshop.yaml", "first: metric", "first: imperial")
    path = ringed(
        folder, "grooves: {number: 8, width: 1 in, depth: 1/8 in}\nindexing: {marks: 16}\n"
    )
    told = "\n".join(faults_of(path))
    assert "mm" not in told
    assert " in" in told


def test_the_height_is_the_meshes_own(folder: Path) -> None:
    """Ridges between grooves stand above the pole: read back from the solid itself (manifold3d)."""
    text = (
        CAP + "grooves: {number: 5, width: 6 mm, depth: 2 mm}\nindexing: {marks: 10, plate: 60}\n"
    )
    for path in (folder / "crowned-globe.yaml", ringed(folder, text)):
        episode = open_episode(path)
        assert episode.piece is not None
        heights = mesh_of(episode.piece).vertices[:, 2]
        whole = float(heights.max() - heights.min())
        assert episode.table["assembly.height"].value == pytest.approx(whole, abs=0.03)


def test_a_holes_depth_has_the_tenon_and_the_room_under_it(folder: Path) -> None:
    knob = (
        "  knob:\n    place: cap\n    room: 2 mm\n    profile:\n"
        "      - {shape: fillet, length: 14 mm, diameter: 8 mm}\n"
        "      - {shape: tenon, length: 5 mm, diameter: 4 mm}\n"
    )
    table = open_episode(ringed(folder, CAP + knob)).table
    assert table["knob.hole_depth"].value == pytest.approx(5 + 2)
    # on the ball the shoulder rests on the hole's rim, below the pole where the drill enters
    drop = 30 - math.sqrt(30**2 - (table["cap.hole"].value / 2) ** 2)
    assert table["cap.hole_depth"].value == pytest.approx(8 + 1 + drop)
    seat = math.sqrt(30**2 - (table["cap.hole"].value / 2) ** 2)
    assert table["cap.daylight"].value == pytest.approx(seat - math.sqrt(30**2 - 11**2))


def test_a_joints_fit_moves_with_both_woods(folder: Path) -> None:
    """Wood Handbook, Eq. 13-2, one direction at a time, cherry in cherry (Table 13-5)."""
    path = ringed(folder, CAP + "stock: {species: black cherry}\n")
    table = open_episode(path).table
    change = table["wood.moisture_home"].value - table["wood.moisture_shop"].value
    tenon, hole = 7.8, table["cap.hole"].value
    thickest = tenon * (1 + 0.00126 * change)
    narrowest = hole * (1 + 0.00248 * change)
    assert table["cap.fit_later"].value == pytest.approx(narrowest - thickest, abs=1e-6)


def test_tolerances_come_from_the_workshops_own_accuracy(globe: Path, edit: Edit) -> None:
    """A mark by the plate is off by the mark itself and half the run-out (elementary geometry)."""
    before = open_episode(globe).table
    assert before["tolerance.index"].value == pytest.approx(0.25 + 0.05 / 2)
    edit(globe.parent / "workshop.yaml", "\nlinks:", "\naccuracy: {run_out: 0.4 mm}\nlinks:")
    after = open_episode(globe).table
    assert after["tolerance.index"].value == pytest.approx(0.25 + 0.4 / 2)
    assert after["tolerance.sphere"].value > before["tolerance.sphere"].value


def test_a_part_that_no_step_turns_is_told(folder: Path) -> None:
    text = CAP + "  foot:\n    place: bottom\n    profile:\n"
    text += "      - {shape: fillet, length: 6 mm, diameter: 14 mm}\n"
    text += "      - {shape: tenon, length: 6 mm, diameter: 5.8 mm}\n"
    notes = open_episode(ringed(folder, text)).notes
    assert any(note.startswith("foot: no step turns it") for note in notes)


@pytest.mark.parametrize("size", ["66 mm", "2 3/8 in", "53 mm", "90 mm"])
def test_a_scaled_length_is_one_that_can_be_set_and_said(folder: Path, size: str) -> None:
    path = folder / "again.yaml"
    path.write_text(
        f"title: Again\nbased_on: crowned-globe.yaml\nscale_to: {size}\n"
        "grooves: {width: 6 mm, depth: 2 mm}\nhanger: {hole_depth: 6 mm}\n"
        "parts: {finial: {least_neck: 1 mm}, cap: {least_neck: 1 mm}}\n",
        encoding="utf-8",
    )
    table = open_episode(path).table
    scale = table["sphere.diameter"].value / 72
    for name, typed in (("hollow.opening", 16), ("hollow.wall", 8)):
        found = table[name]
        assert re.fullmatch(r"\d+(\.\d)? mm", found.metric.text)
        assert found.value == pytest.approx(typed * scale, abs=0.1)
    # a wall is never made thinner than its share
    assert table["hollow.wall"].value >= 8 * scale - 1e-9
