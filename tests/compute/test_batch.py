"""A batch's figures, counted anew by other ways: a saw that saws, a coil that is cut from."""

from __future__ import annotations

import itertools
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.compute.batch import Batch
from studio.episode.assemble import open_episode
from studio.turning import batch

Edit = Callable[[Path, str, str], Path]


def made(path: Path, pieces: int = 24) -> Batch:
    found = open_episode(path, pieces=pieces).batch
    assert found is not None
    return found


def value(of: Batch, name: str) -> float:
    return of.table[name].value


def sawn(board: float, blank: float, kerf: float) -> int:
    """Blanks one after another from a board, a cut between neighbours, sawn one by one."""
    count = 0
    while board >= blank - 1e-9:
        count += 1
        board -= blank + kerf
    return count


def test_the_board_plan_is_what_a_saw_gives(globe: Path) -> None:
    plan = made(globe)
    section, length = (
        plan.table[name].reading(plan.table[name].first).value
        for name in ("stock.section", "stock.length")
    )
    gives = sawn(600, length, 2.5) * sawn(140, section, 2.5) * sawn(68, section, 2.5)
    assert value(plan, "batch.blanks") == 27
    assert value(plan, "batch.gives_1") == gives == 12
    boards = next(n for n in itertools.count(1) if n * gives >= 27)
    assert value(plan, "batch.needed_1") == boards
    assert value(plan, "batch.buy_1") == boards - 1  # one is at hand
    assert value(plan, "batch.over_1") == boards * gives - 27
    used = 27 * section * section * length / (boards * 600 * 140 * 68)
    assert value(plan, "batch.waste_1") == pytest.approx(100 * (1 - used))


def test_boards_of_the_workshop_are_planned_for_their_own_wood(folder: Path, edit: Edit) -> None:
    workshop = folder / "workshop.yaml"
    text = workshop.read_text("utf-8") + (
        "\nboards:\n"
        "  - {wood: Black Walnut, length: 500 mm, width: 60 mm, thickness: 30 mm, at_hand: 2}\n"
        "  - {length: 30 in, width: 6 in, thickness: 4 in}\n"
    )
    workshop.write_text(text, "utf-8")
    plan = made(folder / "crowned-globe.yaml")
    rows = next(one for one in plan.schedules if one.name == "batch.boards").rows
    told = [(plan.table[row[0]].text, plan.table[row[2]].metric.text) for row in rows]
    assert told == [
        ("Globe", "700 × 170 × 80 mm"),
        ("Globe", "762 × 152.4 × 101.6 mm"),
        ("Finial", "500 × 60 × 30 mm"),
        ("Finial", "762 × 152.4 × 101.6 mm"),
        ("Cap", "500 × 60 × 30 mm"),
        ("Cap", "762 × 152.4 × 101.6 mm"),
    ]
    assert plan.table["batch.board_2"].imperial.text == "30 × 6 × 4 in"
    assert plan.unplanned == ()
    assert value(plan, "batch.buy_3") == max(0, value(plan, "batch.needed_3") - 2)


def test_boards_at_hand_are_given_out_once(folder: Path) -> None:
    """Two kinds of one wood share two boards: what is bought is what is missing of them."""
    workshop = folder / "workshop.yaml"
    board = "{wood: black walnut, length: 500 mm, width: 60 mm, thickness: 30 mm, at_hand: 2}"
    workshop.write_text(f"{workshop.read_text('utf-8')}\nboards: [{board}]\n", "utf-8")
    plan = made(folder / "crowned-globe.yaml", 100)
    rows = next(one for one in plan.schedules if one.name == "batch.boards").rows
    shared = [row for row in rows if plan.table[row[0]].text in ("Finial", "Cap")]
    assert len(shared) == 2
    needed, buy = (sum(plan.table[row[at]].value for row in shared) for at in (5, 6))
    assert buy == needed - 2
    # the first kind takes what it needs, the next what is left
    few = made(folder / "crowned-globe.yaml", 2)
    rows = next(one for one in few.schedules if one.name == "batch.boards").rows
    shared = [row for row in rows if few.table[row[0]].text in ("Finial", "Cap")]
    assert [few.table[row[5]].value for row in shared] == [1, 1]
    assert [few.table[row[6]].value for row in shared] == [0, 0]


@pytest.mark.parametrize("typed", ["Walnut, black", "Amerikanischer Nussbaum", "Juglans nigra"])
def test_a_board_is_found_by_any_name_of_its_wood(typed: str, folder: Path) -> None:
    workshop = folder / "workshop.yaml"
    board = f'{{wood: "{typed}", length: 500 mm, width: 60 mm, thickness: 30 mm}}'
    workshop.write_text(f"{workshop.read_text('utf-8')}\nboards: [{board}]\n", "utf-8")
    assert made(folder / "crowned-globe.yaml").unplanned == ()


@pytest.mark.parametrize(
    ("typed", "metric", "imperial"),
    [
        ("30 ft", "9.1 m", "30 ft"),
        ("5 m", "5 m", "16 ft"),
        # no whole number of the steps: as it was typed
        ("5.25 m", "5,250 mm", "206 11/16 in"),
    ],
)
def test_a_coil_is_told_as_wire_is_bought(
    typed: str, metric: str, imperial: str, globe: Path, edit: Edit
) -> None:
    """1 ft = 0.3048 m exactly (NIST SP 811, appendix B.8); what there is is rounded down."""
    edit(globe, "coil: 5 m", f"coil: {typed}")
    coil = made(globe).table["batch.coil"]
    assert (coil.metric.text, coil.imperial.text) == (metric, imperial)


def test_what_only_has_boards_too_small_for_it_is_named(globe: Path, edit: Edit) -> None:
    edit(globe, "thickness: 68 mm", "thickness: 40 mm")
    plan = made(globe)
    assert [plan.table[name].text for name in plan.unplanned] == ["Globe"]
    assert not [one for one in plan.schedules if one.name == "batch.boards"]


def test_what_has_no_board_is_named(folder: Path) -> None:
    plan = made(folder / "crowned-globe.yaml")
    assert [plan.table[name].text for name in plan.unplanned] == ["Finial", "Cap"]


@given(
    st.integers(1, 40),
    st.integers(0, 40),
    st.integers(20, 200),
    st.integers(20, 200),
    st.integers(200, 900),
)
def test_coils_hold_the_wires(many: int, few: int, long: int, short: int, coil: int) -> None:
    """Cut one by one: from the first coil that still holds the wire, the longest first."""
    wires = sorted([long] * many + [short] * few, reverse=True)
    left: list[int] = []
    for wire in wires:
        place = next((k for k, rest in enumerate(left) if rest >= wire), None)
        if place is None:
            left.append(coil - wire)
        else:
            left[place] -= wire
    assert batch.coils_for([(many, long), (few, short)], coil) == len(left)


def test_wire_is_for_all_with_its_waste(globe: Path) -> None:
    plan = made(globe)
    one = plan.table["hanger.wire_total"].metric.value
    assert plan.table["batch.wire"].metric.value == pytest.approx(27 * one / 1000, abs=0.1)
    assert plan.table["batch.wire"].metric.value >= 27 * one / 1000 - 1e-9
    # 54 wires of 111.5 mm: 44 from the first coil of 5 m, the rest from a second one
    assert value(plan, "batch.wires") == 54
    assert value(plan, "batch.coils") == 2


def test_a_coil_that_is_too_short_is_told(globe: Path, edit: Edit) -> None:
    edit(globe, "coil: 5 m", "coil: 110 mm")
    found = open_episode(globe, pieces=24)
    assert any("longer than a coil" in note and "coil:" in note for note in found.notes)
    assert found.batch is not None
    assert "batch.coils" not in found.batch.table


def test_an_amount_of_finish_only_by_the_label(globe: Path, edit: Edit) -> None:
    plan = made(globe)
    area = value(plan, "piece.area")
    assert value(plan, "batch.coated") == pytest.approx(area * 27 * 3)
    # 12 m² a litre are 12 mm² a mm³
    assert value(plan, "batch.finish") == pytest.approx(area * 27 * 3 / 12)
    edit(globe, "  coverage: 12 m²/l\n", "")
    plan = made(globe)
    assert "batch.coated" in plan.table
    assert "batch.finish" not in plan.table


def test_time_is_the_turners_own_or_none(globe: Path) -> None:
    plan = made(globe)
    minutes = 42 + 27 * 39
    assert value(plan, "batch.time") == minutes
    assert value(plan, "batch.time_each") == pytest.approx(minutes / 24)
    assert plan.untimed == ()
    text = "\n".join(
        line
        for line in globe.read_text("utf-8").splitlines()
        if not line.strip().startswith(("set_up:", "each:"))
    )
    globe.write_text(text, "utf-8")
    plan = made(globe)
    assert not [name for name in plan.table if "time" in name and name.startswith("batch.")]
    assert plan.untimed == (1, 2, 3, 4, 5, 6, 7)


def test_spares_are_the_workshops_own_rate_or_marked_as_without_source(globe: Path) -> None:
    assert made(globe).table["batch.share"].source == "common practice, no source"
    workshop = globe.parent / "workshop.yaml"
    workshop.write_text(workshop.read_text("utf-8") + "\nbatch: {spares: 25 %}\n", "utf-8")
    plan = made(globe)
    assert value(plan, "batch.spares") == 6
    assert plan.table["batch.share"].source == "the workshop file"


def rows_of(plan: Batch, name: str) -> tuple[tuple[str, ...], ...]:
    return next((one.rows for one in plan.schedules if one.name == name), ())


def test_each_kind_of_blank_comes_with_its_size(folder: Path) -> None:
    plan = made(folder / "crowned-globe.yaml")
    told = [tuple(plan.table[name].text for name in row) for row in rows_of(plan, "batch.sawn")]
    names = [("stock.section", "stock.length"), ("finial.section", "finial.blank"),
             ("cap.section", "cap.blank")]  # fmt: skip
    assert [row[0] for row in told] == ["Globe", "Finial", "Cap"]
    assert [row[1] for row in told] == ["European sycamore", "black walnut", "black walnut"]
    assert [row[2:4] for row in told] == [
        tuple(plan.table[name].text for name in pair) for pair in names
    ]
    assert {row[4] for row in told} == {"27"}


def test_fits_are_tried_the_closest_first(folder: Path) -> None:
    plan = made(folder / "crowned-globe.yaml")
    rows = rows_of(plan, "batch.fits")
    room = [plan.table[row[2]].value for row in rows]
    assert room == sorted(room)
    assert [row[1] for row in rows] == ["hanger.drill", "cap.tenon", "finial.tenon"]


def test_errors_have_a_table_of_their_own_the_largest_first(folder: Path) -> None:
    plan = made(folder / "crowned-globe.yaml")
    rows = rows_of(plan, "batch.errors")
    errors = [plan.table[row[3]].value for row in rows]
    assert errors == sorted(errors, reverse=True)
    names = [row[1] for row in rows]
    assert len(names) == len(set(names))
    assert not {"hanger.drill", "finial.tenon"} & set(names)
    # what drives the sphere's error, by the tolerance itself
    assert plan.table["tolerance.sphere_driver"].text == "set-in"
    assert next(row[3] for row in rows if row[1] == "sphere.set_in") == "tolerance.sphere"
    # the cutter drives two errors: it is tried for the larger one
    cutter = {name for name in ("tolerance.groove", "tolerance.land")
              if plan.table[f"{name}_driver"].text == "setting the cutter on its line"}  # fmt: skip
    told = next(row[3] for row in rows if row[1] == "grooves.width")
    assert told == max(cutter, key=lambda name: plan.table[name].value)


def test_tools_in_hand_are_not_set_up_again(globe: Path) -> None:
    fourth = made(globe).operations[3]
    assert (fourth.number, fourth.tools, fourth.kept) == (4, (1,), (0,))
    assert not fourth.mounts


@pytest.mark.parametrize("pieces", [1, 10_000])
def test_the_least_and_the_most(globe: Path, pieces: int) -> None:
    plan = made(globe, pieces)
    assert value(plan, "batch.blanks") == pieces + -(-pieces // 10)


def test_one_table_is_not_changed_by_a_batch(globe: Path) -> None:
    assert dict(open_episode(globe, pieces=3).table) == dict(open_episode(globe).table)
