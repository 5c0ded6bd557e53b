"""A month's ornament from last month's: new, scale_to, compare, list."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path

import pytest

from studio import cli
from studio.commands.compare import compare
from studio.episode.assemble import open_episode
from studio.episode.comparison import compared, sentences

Edit = Callable[[Path, str, str], Path]
Capture = pytest.CaptureFixture[str]


def cousin(folder: Path, text: str, name: str = "cousin") -> Path:
    path = folder / f"{name}.yaml"
    path.write_text(f"title: Cousin\nbased_on: globe.yaml\n{text}", encoding="utf-8")
    return path


def test_a_scaled_cousin_scales_its_form_and_keeps_what_is_bought(folder: Path) -> None:
    base = open_episode(folder / "globe.yaml").table
    small = open_episode(cousin(folder, "scale_to: 45 mm\n")).table
    for name in ("sphere.diameter", "sphere.octagon_side", "sphere.set_in", "index.chord"):
        assert small[name].value == pytest.approx(base[name].value * 0.75)
    assert small["sphere.volume"].value == pytest.approx(base["sphere.volume"].value * 0.75**3)
    for name in ("hanger.wire", "hanger.bundle", "hanger.drill", "index.angle", "stock.parting"):
        assert small[name].value == base[name].value


def test_scaling_says_what_scales_and_what_stays(folder: Path, edit: Edit) -> None:
    edit(folder / "globe.yaml", "  plate: 24\n", "  plate: 24\n  offset: 4 mm\n")
    edit(folder / "globe.yaml", "  blank: square\n", "  blank: square\n  section: 70 mm\n")
    notes = open_episode(cousin(folder, "scale_to: 45 mm\n")).notes
    assert notes[0] == "scaled from 60 mm to 45 mm"
    assert "indexing.offset: 4 mm becomes 3 mm" in notes
    assert "stock.section is computed again" in notes
    assert any(note.startswith("stays as it is:") and "hanger wire" in note for note in notes)


def test_what_a_cousin_types_itself_is_not_scaled(folder: Path, edit: Edit) -> None:
    edit(folder / "globe.yaml", "  plate: 24\n", "  plate: 24\n  offset: 4 mm\n")
    path = cousin(folder, "scale_to: 45 mm\nindexing:\n  offset: 1 mm\n")
    assert float(open_episode(path).table["speed.off_centre"].value) == pytest.approx(
        3000 * 25.4 / 47
    )


def test_a_chain_scales_from_the_size_below_it(folder: Path) -> None:
    cousin(folder, "scale_to: 30 mm\n")
    grand = folder / "grand.yaml"
    grand.write_text("title: G\nbased_on: cousin.yaml\nscale_to: 90 mm\n", encoding="utf-8")
    assert open_episode(grand).table["sphere.diameter"].text == "90 mm"
    same = folder / "same.yaml"
    same.write_text("title: S\nbased_on: cousin.yaml\n", encoding="utf-8")
    assert open_episode(same).table["sphere.diameter"].text == "30 mm"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("scale_to: 45\n", "no unit"),
        ("scale_to: 45 mm\nstock:\n  diameter: 50 mm\n", "stock.diameter is written too"),
        ("scale_to: 3 mm\n", "too small"),
        ("scale_to: 550 mm\n", "too large for this lathe"),
    ],
)
def test_faults_of_scaling(
    folder: Path, faults_of: Callable[[Path], list[str]], text: str, said: str
) -> None:
    assert said in "\n".join(faults_of(cousin(folder, text)))


def test_nothing_to_scale(globe: Path, edit: Edit, faults_of: Callable[[Path], list[str]]) -> None:
    edit(globe, "title: A plain globe in sycamore\n", "title: x\nscale_to: 40 mm\n")
    assert "no design to scale" in faults_of(globe)[0]


def test_new_from_another_at_another_size(folder: Path, capsys: Capture) -> None:
    source = folder / "lobed-globe.yaml"
    assert cli.main(["new", "drop", "--from", str(source), "--scale-to", "1 3/4 in"]) == 0
    captured = capsys.readouterr()
    assert captured.out.splitlines() == [str(folder / "drop.yaml")]
    assert "scaled from 60 mm to 1 3/4 in" in captured.err
    table = open_episode(folder / "drop.yaml").table
    assert table["sphere.diameter"].imperial.text == "1 3/4 in"
    assert table["index.marks"].text == "8"


def test_new_on_a_bare_folder_gives_a_design_that_builds(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert cli.main(["new", "first-ball"]) == 0
    assert cli.main(["build", "first-ball.yaml"]) == 0
    assert cli.main(["check", "first-ball.yaml"]) == 0


def test_new_never_overwrites(folder: Path, capsys: Capture) -> None:
    before = (folder / "globe.yaml").read_bytes()
    arguments = ["new", "globe", "--from", str(folder / "lobed-globe.yaml")]
    assert cli.main(arguments) == 2
    assert "such a file already" in capsys.readouterr().err
    assert (folder / "globe.yaml").read_bytes() == before


@pytest.mark.parametrize("name", ["../x", "a b", "", "X", "x.yaml", "-x", "a" * 80])
def test_names_that_do_not_serve(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    monkeypatch.chdir(tmp_path)
    assert cli.main(["new", "--", name]) == 2
    assert list(tmp_path.iterdir()) == []


def test_an_impossible_size_leaves_no_file(folder: Path, capsys: Capture) -> None:
    arguments = ["new", "vast", "--from", str(folder / "globe.yaml"), "--scale-to", "550 mm"]
    assert cli.main(arguments) == 2
    assert "too large for this lathe" in capsys.readouterr().err
    assert not (folder / "vast.yaml").exists()


def test_compare_names_sentences_and_footage(folder: Path, capsys: Capture) -> None:
    small = cousin(folder, "scale_to: 45 mm\n")
    assert cli.main(["compare", str(folder / "globe.yaml"), str(small), "--json"]) == 0
    report = json.loads(capsys.readouterr().out)
    changed = {one["name"]: one for one in report["measurements"]}
    assert changed["sphere.set_in"]["before"] == "17.5 mm (11/16 in)"
    assert changed["sphere.set_in"]["after"] == "13.1 mm (33/64 in)"
    assert "hanger.drill" not in changed
    assert {"step_id": "rough", "text": "Turn a cylinder of 45 mm."} in report["sentences"]
    lost = {one["step_id"]: one["why"] for one in report["footage"]}
    assert "sphere.set_in is 13.1 mm, was 17.5 mm" in lost["mark-octagon"]
    assert lost["hang"] == "sphere.diameter is 45 mm, was 60 mm", "wire and drill stay"
    assert not any(one["step_id"] == "hang" for one in report["sentences"])


@pytest.mark.parametrize(("size", "seen"), [("70 mm", False), ("67 mm", True), ("76 mm", True)])
def test_a_ball_of_another_size_is_seen_in_every_step_of_it(
    size: str, seen: bool, folder: Path
) -> None:
    path = folder / "sized.yaml"
    path.write_text(f"title: Sized\nbased_on: crowned-globe.yaml\nscale_to: {size}\n", "utf-8")
    base = folder / "base.yaml"
    base.write_text("title: Base\nbased_on: crowned-globe.yaml\nscale_to: 72 mm\n", "utf-8")
    found = compared(open_episode(base), open_episode(path))
    why = {one.step_id: one.why for one in found.footage}
    told = {step for step, said in why.items() if "sphere.diameter is" in said}
    assert "rough" in told, "it works to the diameter, however little that differs"
    assert ({"hollow", "sand", "hang"} <= told) is seen
    # a part on the lathe shows nothing of the ball; and nothing is said twice
    assert not {"turn-finial", "turn-cap"} & told
    assert all(said.count("sphere.diameter") <= 1 for said in why.values())


def test_a_design_and_itself_do_not_differ(globe: Path, capsys: Capture) -> None:
    assert cli.main(["compare", str(globe), str(globe)]) == 0
    assert capsys.readouterr().out == "nothing differs\n"


def test_another_wood_loses_every_step(folder: Path) -> None:
    other = open_episode(cousin(folder, "stock:\n  species: cherry\n"))
    comparison = compared(open_episode(folder / "globe.yaml"), other)
    assert [one.step_id for one in comparison.footage] == [step.id for step in other.steps]
    assert all("the wood is cherry, was European sycamore" in one.why for one in comparison.footage)


def test_dropped_steps_are_told(folder: Path) -> None:
    other = open_episode(cousin(folder, "steps:\n  - id: sand\n    drop: yes\n"))
    assert compared(open_episode(folder / "globe.yaml"), other).dropped == ("sand",)


def test_decimals_do_not_end_a_sentence() -> None:
    assert sentences("Mark 17.5 mm in.  Cut! Why?") == ("Mark 17.5 mm in.", "Cut!", "Why?")


def test_list(folder: Path, capsys: Capture) -> None:
    assert cli.main(["list", str(folder)]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert any(line.split()[0] == "globe.yaml" and "sycamore" in line for line in lines)
    assert cli.main(["list", str(folder), "--json"]) == 0
    assert len(json.loads(capsys.readouterr().out)["designs"]) == 4


def test_list_tells_a_faulty_design_and_goes_on(folder: Path, capsys: Capture) -> None:
    (folder / "bad.yaml").write_text("title: x\n", encoding="utf-8")
    assert cli.main(["list", str(folder)]) == 1
    captured = capsys.readouterr()
    assert "globe.yaml" in captured.out
    assert "bad.yaml: 2 to mend" in captured.err


@pytest.mark.parametrize("name", ["nowhere", "empty"])
def test_list_of_nothing(tmp_path: Path, name: str) -> None:
    (tmp_path / "empty").mkdir()
    assert cli.main(["list", str(tmp_path / name)]) == 2


SHAPES = [
    ("lobed-globe", "grooves: {shape: flared, flare: 0.5 mm}\n", {"cut-grooves": "another shape"}),
    ("lobed-globe", "rings:\n  - {place: 12 mm, width: 4 mm, depth: 1 mm}\n",
     {"cut-grooves": "rings: new here", "hang": "rings: new here"}),
    ("crowned-globe", "parts: {finial: {profile: [{shape: bead, length: 30 mm, crown: 14 mm, "
     "start: 0 mm, end: 12 mm}, {shape: tenon, length: 7 mm, diameter: 7.8 mm}]}}\n",
     {"turn-finial": "finial: another shape", "assemble": "finial: another shape",
      "hang": "finial: another shape"}),
    ("globe", "steps:\n  - {id: mark-octagon, do: \"Mark it standing up, {{ sphere.set_in }} in, "
     "{{ sphere.octagon_side }} left.\"}\n", {"mark-octagon": "told otherwise"}),
]  # fmt: skip


@pytest.mark.parametrize(("base", "text", "lost"), SHAPES)
def test_footage_of_another_shape_does_not_hold(
    base: str, text: str, lost: dict[str, str], folder: Path
) -> None:
    path = folder / "other.yaml"
    path.write_text(f"title: Other\nbased_on: {base}.yaml\n{text}", encoding="utf-8")
    found = compared(open_episode(folder / f"{base}.yaml"), open_episode(path))
    why = {one.step_id: one.why for one in found.footage}
    for step, said in lost.items():
        assert said in why[step]


HELD = [
    # a part of another wood is seen in its own step and wherever the whole is
    ("parts: {cap: {species: black cherry}}\n", "cap: the wood is black cherry, was black walnut",
     {"turn-cap", "assemble", "hang"}, {"rough", "turn-finial", "hollow"}),
    # in which order grooves are cut is seen while they are cut, and never again
    ("grooves: {order: [1, 4, 2, 5, 3, 6]}\n", "in another order", {"mount-axis", "cut-grooves"},
     {"hollow", "sand", "assemble", "hang"}),
    # once the cap is glued in nobody sees how wide the hollow is
    ("hollow: {wall: 9 mm}\n", "hollow: another shape", {"hollow"}, {"hang", "turn-cap"}),
]  # fmt: skip


@pytest.mark.parametrize(("text", "why", "lost", "held"), HELD)
def test_footage_is_lost_where_a_change_is_seen_and_nowhere_else(
    text: str, why: str, lost: set[str], held: set[str], folder: Path
) -> None:
    path = folder / "other.yaml"
    path.write_text(f"title: Other\nbased_on: crowned-globe.yaml\n{text}", encoding="utf-8")
    found = compared(open_episode(folder / "crowned-globe.yaml"), open_episode(path))
    told = {one.step_id: one.why for one in found.footage}
    assert lost <= told.keys()
    assert not held & told.keys()
    assert all(why in told[step] for step in lost)


@pytest.mark.parametrize(
    ("base", "steps", "lost"),
    [
        # no step says when they are cut: before sanding, and before any groove
        ("globe", "", {"sand", "hang"}),
        ("lobed-globe", "", {"mount-axis", "cut-grooves", "sand", "hang"}),
        (
            "globe",
            "steps:\n  - {id: ring, after: sand, title: Cut a ring, stage: finish,\n"
            "     does: [spindle-running], do: 'Cut {{ rings.depth_1 }} deep.'}\n",
            {"ring", "hang"},
        ),
    ],
)
def test_a_ring_leaves_the_steps_before_it_alone(
    base: str, steps: str, lost: set[str], folder: Path
) -> None:
    path = folder / "ringed.yaml"
    path.write_text(
        f"title: Ringed\nbased_on: {base}.yaml\ncredit: Derived from another.\n"
        f"rings:\n  - {{place: 15 mm, width: 4 mm, depth: 1.2 mm}}\n{steps}",
        encoding="utf-8",
    )
    found = compared(open_episode(folder / f"{base}.yaml"), open_episode(path))
    assert {one.step_id for one in found.footage} == lost


def ringed(folder: Path, name: str, rings: str) -> Path:
    path = folder / f"{name}.yaml"
    path.write_text(
        f"title: {name}\nstock: {{species: cherry, diameter: 60 mm}}\nrings:\n{rings}"
        "steps:\n  - {id: a, title: A, does: [mounting], stage: general, do: Do it.}\n",
        encoding="utf-8",
    )
    return path


def test_a_ring_is_compared_with_its_like_and_called_by_its_side(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    ring = "  - {{place: {}, side: {}, width: 3 mm, depth: 0.9 mm, keep: depth}}\n"
    before = ringed(folder, "before", ring.format("8 mm", "both"))
    lost = ringed(folder, "lost", ring.format("8 mm", "bottom"))
    found = compared(open_episode(before), open_episode(lost))
    gone = [one for one in found.measurements if one.name.startswith("rings.latitude")]
    # the ring at the headstock is the same, though it has another number
    assert [(one.label, one.after) for one in gone] == [
        ("Latitude of the ring, tailstock side", "")
    ]
    more = ringed(folder, "more", ring.format("8 mm", "both") + ring.format("18 mm", "bottom"))
    found = compared(open_episode(before), open_episode(more))
    new = [one for one in found.measurements if one.name.startswith("rings.latitude")]
    assert [(one.label, one.before) for one in new] == [
        ("Latitude of the ring, headstock side, ring 2 from the equator", "")
    ]
    compare(before, more, as_json=False)
    said = capsys.readouterr().out
    assert "36.9°" in said
    assert not re.search(r"\b(top|bottom)\b", said)


def test_a_hanger_in_another_place_is_filmed_again(folder: Path) -> None:
    found = compared(
        open_episode(folder / "globe.yaml"), open_episode(folder / "crowned-globe.yaml")
    )
    why = {one.step_id: one.why for one in found.footage}
    assert "hanger: another shape" in why["hang"]


def test_a_part_alone_does_not_touch_the_globes_footage(folder: Path) -> None:
    path = folder / "other.yaml"
    path.write_text(f"title: Other\nbased_on: crowned-globe.yaml\n{SHAPES[2][1]}", encoding="utf-8")
    found = compared(open_episode(folder / "crowned-globe.yaml"), open_episode(path))
    assert "index" not in {one.step_id for one in found.footage}


def test_another_order_of_grooves_is_other_footage(folder: Path) -> None:
    path = folder / "order.yaml"
    path.write_text(
        "title: Order\nbased_on: lobed-globe.yaml\ncredit: Derived from the lobed globe.\n"
        "grooves: {order: [1, 3, 2, 4]}\n",
        encoding="utf-8",
    )
    before, after = open_episode(folder / "lobed-globe.yaml"), open_episode(path)
    lost = {one.step_id: one.why for one in compared(before, after).footage}
    assert "another order" in lost["cut-grooves"]
    assert "rough" not in lost


def test_an_axis_off_the_centre_is_in_the_table(folder: Path) -> None:
    path = folder / "off.yaml"
    path.write_text(
        "title: Off\nbased_on: globe.yaml\nindexing: {offset: 1 mm}\n", encoding="utf-8"
    )
    before, after = open_episode(folder / "globe.yaml"), open_episode(path)
    assert after.table["index.offset"].text == "1 mm"
    assert not compared(before, after).is_same


def test_a_part_on_the_lathe_shows_nothing_of_the_globe(folder: Path) -> None:
    path = folder / "wider.yaml"
    path.write_text(
        "title: Wider\nbased_on: crowned-globe.yaml\ngrooves: {width: 6 mm, depth: 2 mm}\n",
        encoding="utf-8",
    )
    before, after = open_episode(folder / "crowned-globe.yaml"), open_episode(path)
    lost = {one.step_id: one.why for one in compared(before, after).footage}
    assert "grooves" in lost["cut-grooves"]
    assert not {"turn-finial", "turn-cap"} & set(lost)


def test_a_table_with_more_rows_is_not_a_new_one(folder: Path, capsys: Capture) -> None:
    for name, number in (("one", 1), ("two", 2)):
        (folder / f"{name}.yaml").write_text(
            "title: Few\nstock: {species: European sycamore, diameter: 60 mm}\n"
            f"grooves: {{number: {number}, width: 6 mm, depth: 2 mm}}\n"
            "steps:\n  - {id: cut, title: Cut, does: [nothing], do: Cut.}\n",
            encoding="utf-8",
        )
    assert cli.main(["compare", str(folder / "one.yaml"), str(folder / "two.yaml")]) == 0
    told = capsys.readouterr().out
    assert "What is left of the seat in each rim, best rim first: 6 figures differ" in told
    assert "has this table" not in told
