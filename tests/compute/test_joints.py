"""Joints as printed: in either system, at any step of the rule, the tenon goes into its hole."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest

from studio.episode.assemble import open_episode
from studio.measure.measurement import MeasurementTable, System
from studio.measure.units import mm_from
from studio.turning.wood import Grain, equilibrium_moisture_percent, find_species

STEPS = (
    "steps:\n  - id: turn\n    title: Turn\n    does: [spindle-running]\n    stage: rough\n"
    "    do: Do it.\n"
)
CAP = (
    "parts:\n  cap:\n    place: {place}\n    profile:\n"
    "      - {{shape: fillet, length: 3 mm, diameter: 30 mm}}\n"
    "      - {{shape: tenon, length: 8 mm{tenon}}}\n"
)


def joined(
    folder: Path, text: str, metric: str = "0.1 mm", fraction: str = "1/64 in"
) -> MeasurementTable:
    workshop = folder / "workshop.yaml"
    said = workshop.read_text("utf-8")
    for old, new in (("metric_step: 0.1 mm", metric), ("fraction_step: 1/64 in", fraction)):
        assert old in said
        said = said.replace(old, f"{old.partition(':')[0]}: {new}")
    workshop.write_text(said, "utf-8")
    path = folder / "joined.yaml"
    start = "title: Joined\nstock: {species: sycamore, diameter: 60 mm}\n"
    path.write_text(start + text + STEPS, "utf-8")
    return open_episode(path).table


def goes_in(table: MeasurementTable, gap: float) -> None:
    tenon, hole = table["cap.tenon"], table["cap.hole"]
    for system in System:
        thick, wide = (
            mm_from(System.METRIC if one.unit == "mm" else System.IMPERIAL, one.value)
            for one in (tenon.reading(system), hole.reading(system))
        )
        assert thick + 2 * gap <= wide + 1e-6, (tenon.both, hole.both)
        # and no looser than half a step of the coarsest rule, by which the hole was rounded
        assert thick > tenon.value - 0.9
    seen = [
        one
        for name, one in table.items()
        if name.startswith("cap.diameter_") and abs(one.value - tenon.value) < 1e-6
    ]
    assert seen
    assert {one.both for one in seen} == {tenon.both}


@pytest.mark.parametrize("opening", ["15 mm", "16 mm", "17 mm", "18 mm", "3/4 in", "14.667 mm"])
@pytest.mark.parametrize(("metric", "fraction"), [
    ("0.1 mm", "1/64 in"), ("0.5 mm", "1/32 in"), ("1 mm", "1/16 in"),
])  # fmt: skip
def test_a_tenon_made_for_an_opening_goes_into_it(
    folder: Path, opening: str, metric: str, fraction: str
) -> None:
    text = f"hollow: {{wall: 8 mm, opening: {opening}}}\n" + CAP.format(place="top", tenon="")
    goes_in(joined(folder, text, metric, fraction), 0.1)


@pytest.mark.parametrize("tenon", ["7.8 mm", "8 mm", "5/16 in", "0.3 in"])
@pytest.mark.parametrize(("metric", "fraction"), [("0.1 mm", "1/64 in"), ("1 mm", "1/16 in")])
def test_a_typed_tenon_goes_into_its_drilled_hole(
    folder: Path, tenon: str, metric: str, fraction: str
) -> None:
    text = CAP.format(place="top", tenon=f", diameter: {tenon}")
    table = joined(folder, text, metric, fraction)
    goes_in(table, 0.1)
    own = table["cap.tenon"].metric if "mm" in tenon else table["cap.tenon"].imperial
    assert own.text == tenon


def test_tenons_that_meet_inside_a_hollow_globe_are_told(
    folder: Path, faults_of: Callable[[Path], list[str]]
) -> None:
    """60 mm across: shoulders rest 29 to 30 mm from its middle, so 48 + 20 mm are too long."""

    def design(long: str) -> Path:
        path = folder / "meeting.yaml"
        path.write_text(
            "title: Meeting\nstock: {species: sycamore, diameter: 60 mm}\n"
            "hollow: {wall: 5 mm, opening: 16 mm}\nparts:\n"
            "  finial:\n    place: bottom\n    profile:\n"
            "      - {shape: fillet, length: 3 mm, diameter: 20 mm}\n"
            f"      - {{shape: tenon, length: {long}, diameter: 7.8 mm}}\n"
            "  cap:\n    place: top\n    profile:\n"
            "      - {shape: fillet, length: 3 mm, diameter: 24 mm}\n"
            f"      - {{shape: tenon, length: 20 mm}}\n{STEPS}",
            "utf-8",
        )
        return path

    (fault,) = [one for one in faults_of(design("48 mm")) if "meet inside" in one]
    assert "cap and finial" in fault or "finial and cap" in fault
    assert open_episode(design("30 mm")).table["finial.tenon_length"].text == "30 mm"


def test_turned_on_leads_from_mark_to_mark(folder: Path) -> None:
    """Whoever turns the ball by what the card says finds the mark that it says in the cup."""
    for number, order in ((6, ""), (4, ", order: [1, 3, 2, 4]"), (3, ""), (7, "")):
        path = folder / "turned-on.yaml"
        path.write_text(
            "title: Turned\nstock: {species: sycamore, diameter: 60 mm}\n"
            f"grooves: {{number: {number}, width: 4 mm, depth: 1 mm{order}}}\n{STEPS}",
            "utf-8",
        )
        table = open_episode(path).table
        marks = table["axis.marks"].value
        for cut in range(1, number + 1):
            head, tail = table[f"axis.head_{cut}"].value, table[f"axis.tail_{cut}"].value
            line = table[f"axis.marks_{cut}"].value
            assert (head - tail) % marks == pytest.approx(marks / 2)
            assert (head - line) % (marks / 2) == pytest.approx(marks / 4)
            if cut > 1:
                turned = table[f"axis.turn_{cut}"].value / 360 * marks
                was = table[f"axis.head_{cut - 1}"].value
                assert (was + turned - head) % marks == pytest.approx(0, abs=1e-9)


def test_a_joint_moves_from_each_woods_own_moisture(folder: Path) -> None:
    """By hand, Wood Handbook Eq. 13-2: D·C·ΔM for walnut's tenon, sycamore's hole along the grain.

    The globe is metered at 11 %; the walnut rests in the shop's air, or is metered too.
    """
    text = "title: Metered\nbased_on: crowned-globe.yaml\nstock: {moisture: 11 %}\n"

    def table(more: str = "") -> MeasurementTable:
        path = folder / "metered.yaml"
        path.write_text(text + more, encoding="utf-8")
        return open_episode(path).table

    walnut, sycamore = find_species("black walnut"), find_species("European sycamore")

    def least(measured: MeasurementTable, moisture: float) -> float:
        home = measured["wood.moisture_home"].value
        tenon, hole = measured["cap.tenon"].value, measured["cap.hole"].value
        grains = (Grain.RADIAL, Grain.TANGENTIAL)
        thickest = max(tenon * (1 + walnut.coefficient(g) * (home - moisture)) for g in grains)
        narrowest = min(hole * (1 + sycamore.coefficient(g) * (home - 11)) for g in grains)
        return narrowest - thickest

    rested = table()
    assert rested["wood.moisture_shop"].value == 11
    assert rested["cap.moisture"].value == pytest.approx(
        equilibrium_moisture_percent(16, 65), abs=1e-9
    )
    assert "its own moisture" in rested["cap.fit_later"].formula
    dry = table("parts: {cap: {moisture: 8 %}}\n")
    assert dry["cap.moisture"].formula == "moisture meter"
    for one, moisture in ((rested, rested["cap.moisture"].value), (dry, 8)):
        assert one["cap.fit_later"].value == pytest.approx(max(0.0, least(one, moisture)), abs=1e-6)
    assert dry["cap.fit_later"].value < rested["cap.fit_later"].value


def test_a_tenon_that_binds_is_told_the_gap_that_does(folder: Path) -> None:
    """Walnut metered dry in a damp home swells more than its hole."""
    text = (
        "title: Binding\nbased_on: crowned-globe.yaml\n"
        "workshop: {climate: {home: {temperature: 21 °C, humidity: 80 %}}}\n"
        "parts:\n  cap: {moisture: 6 %, gap: GAP}\n"
    )

    def notes(gap: str) -> list[str]:
        path = folder / "binding.yaml"
        path.write_text(text.replace("GAP", gap), encoding="utf-8")
        return [note for note in open_episode(path).notes if "cap: its tenon binds" in note]

    (told,) = notes("0.02 mm")
    found = re.search(r"write gap: (\d[\d.]*) mm or more", told)
    assert found is not None, told
    assert not notes(f"{found[1]} mm")
    assert notes(f"{float(found[1]) - 0.02:.2f} mm")


def test_a_typed_tenons_gap_counts_from_the_hole_that_a_drill_made(folder: Path) -> None:
    """No drill is owned between 8 mm and 8.1 mm: the gap that is there is wider than the typed."""
    text = (
        "title: Drilled\nbased_on: crowned-globe.yaml\nstock: {moisture: 16 %}\n"
        "parts:\n  finial: {moisture: 6 %, gap: GAP}\n"
    )

    def notes(gap: str) -> list[str]:
        path = folder / "drilled.yaml"
        path.write_text(text.replace("GAP", gap), encoding="utf-8")
        return [note for note in open_episode(path).notes if "finial: its tenon binds" in note]

    (told,) = notes("0.06 mm")
    found = re.search(r"write gap: (\d[\d.]*) mm or more", told)
    assert found is not None, told
    assert not notes(f"{found[1]} mm")


@pytest.mark.parametrize("moisture", ["30 %", "60 %"])
def test_a_joint_in_wet_wood_is_told_to_wait_for_it_not_to_take_a_gap_that_nothing_fills(
    folder: Path, moisture: str
) -> None:
    """An opening of 16 mm in wet sycamore closes by more than the 0.25 mm that glue fills."""
    path = folder / "wet.yaml"
    path.write_text(
        f"title: Wet\nbased_on: crowned-globe.yaml\nstock: {{moisture: {moisture}}}\n",
        encoding="utf-8",
    )
    (told,) = (note for note in open_episode(path).notes if "cap: its tenon binds" in note)
    assert "write gap" not in told
    assert "come to rest" in told


@pytest.mark.parametrize("across", ["8 mm", "7.8 mm", "0.31 in", "11.9 mm"])
def test_the_room_for_glue_is_that_of_the_hole_and_tenon_printed_beside_it(
    folder: Path, across: str
) -> None:
    """Each system has a drill of its own, and so another gap: 8.1 mm and a letter P."""
    table = joined(folder, CAP.format(place="top", tenon=f", diameter: {across}"))
    for system in System:
        thick, wide, gap = (
            mm_from(System.METRIC if one.unit == "mm" else System.IMPERIAL, one.value)
            for one in (table[f"cap.{key}"].reading(system) for key in ("tenon", "hole", "gap"))
        )
        step = 0.01 if system is System.METRIC else 0.0254
        assert gap == pytest.approx((wide - thick) / 2, abs=step / 2 + 1e-6), system


@pytest.mark.parametrize("part", ["cap", "finial"])
def test_the_fit_at_home_differs_between_the_systems_as_their_gaps_do(
    folder: Path, part: str
) -> None:
    """The woods move alike, whichever drill made the hole."""
    table = open_episode(folder / "crowned-globe.yaml").table
    later, gap = table[f"{part}.fit_later"], table[f"{part}.gap"]
    metric, imperial = later.metric.value, mm_from(System.IMPERIAL, later.imperial.value)
    apart = 2 * (gap.metric.value - mm_from(System.IMPERIAL, gap.imperial.value))
    assert metric - imperial == pytest.approx(apart, abs=0.06)
