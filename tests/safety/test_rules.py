"""Cautions follow from what a step does, and nothing switches them off."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from studio.compute.speed import stage_measurement
from studio.design.schema import ACTIONS, STAGES
from studio.episode.assemble import open_episode
from studio.episode.records import Episode
from studio.measure.numbers import find_numbers
from studio.measure.trace import plain, spans
from studio.measure.units import QuantityError
from studio.safety.rules import DEFERENCE, RULES, SENSITISERS, cautions_for
from studio.safety.rules import STAGES as STAGE_WORDS

Edit = Callable[[Path, str, str], Path]


def codes(episode: Episode, step_id: str) -> list[str]:
    (step,) = (step for step in episode.steps if step.id == step_id)
    return [caution.code for caution in step.cautions]


def test_every_action_of_a_design_has_its_rule() -> None:
    assert set(ACTIONS) == set(RULES)


@pytest.mark.parametrize("action", ACTIONS)
def test_every_action_brings_its_caution(action: str, episode: Episode) -> None:
    found = cautions_for(
        [action],
        species=["sycamore"],
        runs=False,
        ceilings=[episode.table["speed.general"]],
        asked=None,
        print_speed=str,
    )
    assert action in [caution.code for caution in found]
    assert all(caution.text and caution.short and caution.source for caution in found)


def test_an_action_without_a_rule_is_never_passed_over() -> None:
    with pytest.raises(QuantityError, match="juggling"):
        cautions_for(["juggling"], species=[], runs=False, ceilings=[], asked=None, print_speed=str)


def test_sanding_means_that_the_lathe_runs(globe: Path, edit: Edit) -> None:
    edit(globe, "    does: [spindle-running, sanding]", "    does: [sanding]")
    assert codes(open_episode(globe), "sand") == ["spindle-running", "speed", "sanding"]


def test_the_speed_caution_carries_the_stage_ceiling(episode: Episode) -> None:
    ceilings = {"rough": "800 rpm", "cut-octagon": "2,500 rpm", "sand": "1,900 rpm"}
    for step_id, ceiling in ceilings.items():
        (step,) = (step for step in episode.steps if step.id == step_id)
        (speed,) = (caution for caution in step.cautions if caution.code == "speed")
        assert ceiling in plain(speed.short)
        assert ceiling in plain(speed.text)


def test_a_speed_over_the_rule_cannot_be_silenced(globe: Path, edit: Edit) -> None:
    edit(globe, "    stage: rough\n", "    stage: rough\n    speed: 1500 rpm\n")
    assert "speed-over" in codes(open_episode(globe), "rough")
    over = next(c for c in open_episode(globe).steps[0].cautions if c.code == "speed-over")
    assert "1,500 rpm" in plain(over.text)
    assert "800 rpm" in plain(over.text)


def test_a_speed_within_the_rule_brings_the_usual_caution(globe: Path, edit: Edit) -> None:
    edit(globe, "    stage: rough\n", "    stage: rough\n    speed: 700 rpm\n")
    assert "speed" in codes(open_episode(globe), "rough")


@pytest.mark.parametrize("key", ["cautions", "safety", "no_cautions"])
def test_there_is_no_key_to_leave_cautions_out(
    globe: Path, edit: Edit, faults_of: Callable[[Path], list[str]], key: str
) -> None:
    edit(globe, "indexing:\n", f"{key}: off\nindexing:\n")
    assert f"unknown key '{key}'" in "\n".join(faults_of(globe))


@pytest.mark.parametrize(
    "wood",
    [
        "yew",
        "European Yew",
        "western red cedar",
        "western redcedar",
        "Cocobolo",
        "oak",
        "Oaks",
        "Oak, quarter-sawn",
        "oak/ash",
        "(oak)",
        "beechwood",
        "yew.",
    ],
)
def test_woods_of_the_published_lists_bring_their_caution(
    globe: Path, edit: Edit, wood: str
) -> None:
    """List: UK House of Commons, Hansard, 2 August 1978 (read as a stored text)."""
    edit(globe, "  species: European sycamore", f"  species: {wood}")
    assert "species-dust" in codes(open_episode(globe), "sand")


@pytest.mark.parametrize(
    ("wood", "english"),
    [
        ("Eibe", "yew"),
        ("Eibenholz", "yew"),
        ("Taxus baccata", "yew"),
        ("Eiche", "oak"),
        ("Mooreiche", "oak"),
        ("Rotbuche", "beech"),
        ("gestockte Buche", "beech"),
        ("Rio-Palisander", "rosewood"),
        ("Makoré", "makore"),
        ("Ölbaum", "olivewood"),
    ],
)
def test_a_listed_wood_is_known_by_its_german_and_botanical_name(
    globe: Path, edit: Edit, wood: str, english: str
) -> None:
    """German names: DIN EN 13556 as read in a secondary stored text, the others from memory."""
    assert english in SENSITISERS
    edit(globe, "  species: European sycamore", f"  species: {wood}")
    edit(globe, "title: A plain", "language: de\ntitle: A plain")
    step = next(step for step in open_episode(globe).steps if step.id == "sand")
    told = [one.text for one in step.cautions if one.code == "species-dust"]
    assert len(told) == 1
    assert told[0].casefold().startswith(wood.casefold())


def test_a_wood_by_no_name_known_is_told(globe: Path, edit: Edit) -> None:
    told = "'Gelbholzbaum' is no name of a wood known here"
    assert not any("no name of a wood" in note for note in open_episode(globe).notes)
    edit(globe, "  species: European sycamore", "  species: Gelbholzbaum")
    assert sum(told in note for note in open_episode(globe).notes) == 1


@pytest.mark.parametrize("wood", ["sycamore", "cherry", "soaked maple", "Hainbuche", "Bergahorn"])
def test_other_woods_do_not(globe: Path, edit: Edit, wood: str) -> None:
    edit(globe, "  species: European sycamore", f"  species: {wood}")
    assert "species-dust" not in codes(open_episode(globe), "sand")
    assert wood not in SENSITISERS


def test_every_number_in_a_caution_is_traced(episode: Episode) -> None:
    seen = 0
    for step in episode.steps:
        for caution in step.cautions:
            for text in (caution.short, caution.text):
                words, marks = spans(text)
                for number in find_numbers(words):
                    seen += 1
                    assert any(m.start <= number.start and number.stop <= m.stop for m in marks)
    assert seen > 4


def test_short_forms_are_short() -> None:
    assert all(len(rule.short.split()) <= 10 for rule in RULES.values())


def test_the_deference_names_manuals_codes_and_licensed_practice() -> None:
    for words in ("manuals of your lathe and chuck", "local codes", "licensed practice"):
        assert words in DEFERENCE


@pytest.mark.parametrize("stage", STAGES)
def test_every_stage_has_its_ceiling_and_its_word(stage: str, episode: Episode) -> None:
    assert stage_measurement(stage) in episode.table
    assert stage_measurement(stage).partition(".")[2] in STAGE_WORDS


def test_a_stage_or_a_speed_means_that_the_lathe_runs(globe: Path, edit: Edit) -> None:
    times = "    set_up: 2 min\n    each: 5 min\n"
    said = "    {}\n    stage: general\n{}" + times + "    do: >\n      Thin both"
    before = said.format("does: [spindle-running]", "")
    edit(globe, before, said.format("does: [nothing]", "    speed: 9000 rpm\n"))
    assert codes(open_episode(globe), "cut-octagon") == ["spindle-running", "speed-over"]


def test_what_a_step_does_has_to_be_said(
    globe: Path, edit: Edit, faults_of: Callable[[Path], list[str]]
) -> None:
    edit(globe, "    does: [spindle-running, sanding]\n", "")
    assert "steps[6].does" in "\n".join(faults_of(globe))
    edit(globe, "    tools: [sandpaper, dust extraction]\n",
         "    tools: [sandpaper, dust extraction]\n    does: []\n")  # fmt: skip
    assert "steps[6].does" in "\n".join(faults_of(globe))


def test_a_cousin_can_add_a_hazard_but_take_none_away(folder: Path) -> None:
    cousin = folder / "cousin.yaml"
    cousin.write_text(
        "title: x\nbased_on: globe.yaml\nsteps:\n  - id: sand\n    does: [nothing]\n"
        "  - id: index\n    does: [sawing]\n",
        encoding="utf-8",
    )
    episode = open_episode(cousin)
    assert codes(episode, "sand") == ["spindle-running", "speed", "sanding"]
    assert set(codes(episode, "index")) == {"hand-rotating", "sawing"}


def test_without_a_stage_the_least_ceiling_holds(globe: Path, edit: Edit) -> None:
    edit(globe, "    stage: rough\n", "    speed: 900 rpm\n")
    over = next(c for c in open_episode(globe).steps[0].cautions if c.code == "speed-over")
    assert "800 rpm" in plain(over.short)


def test_sanding_takes_its_own_ceiling_whatever_the_stage(globe: Path, edit: Edit) -> None:
    edit(globe, "    stage: sanding\n", "    stage: finish\n    speed: 1950 rpm\n")
    (step,) = (step for step in open_episode(globe).steps if step.id == "sand")
    assert "speed-over" in [caution.code for caution in step.cautions]


@pytest.mark.parametrize(("asked", "code"), [("800 rpm", "speed"), ("801 rpm", "speed-over")])
def test_the_printed_ceiling_is_the_ceiling(globe: Path, edit: Edit, asked: str, code: str) -> None:
    edit(globe, "    stage: rough\n", f"    stage: rough\n    speed: {asked}\n")
    assert code in codes(open_episode(globe), "rough")


@pytest.mark.parametrize("action", ["sawing", "sanding", "spindle-running"])
def test_dust_of_a_listed_wood_is_told_wherever_it_flies(action: str) -> None:
    found = cautions_for(
        [action], species=["oak"], runs=False, ceilings=[], asked=None, print_speed=str
    )
    assert "species-dust" in [caution.code for caution in found]


@pytest.mark.parametrize("plates", ["[]", "[24, 48]"])
def test_an_index_pin_is_named_where_a_plate_is_owned(folder: Path, plates: str) -> None:
    path = folder / "by-hand.yaml"
    path.write_text(
        "title: By hand\nstock: {species: cherry, diameter: 60 mm}\nindexing: {marks: 8}\n"
        f"workshop: {{index_plates: {plates}}}\n"
        "steps:\n  - {id: a, title: A, does: [hand-rotating], do: Turn it on by hand.}\n",
        encoding="utf-8",
    )
    (step,) = open_episode(path).steps
    (told,) = (one.text for one in step.cautions if one.code == "hand-rotating")
    assert ("index pin" in told) is (plates != "[]")
    assert "chuck key off" in told
