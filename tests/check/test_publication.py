"""What was published stays true, or is put right in the open."""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise
from pathlib import Path

import pytest
import yaml

from studio import cli
from studio.check.context import Context
from studio.check.findings import Finding, Severity
from studio.check.publication import check as publication_check
from studio.commands.build import build, build_files
from studio.commands.burn import burn
from studio.commands.correct import correct
from studio.commands.publish import publish
from studio.episode.assemble import open_episode
from studio.episode.made_of import FILE_NAME, read_made_of, take_over, write_made_of
from studio.episode.phrases import sentences_in
from studio.episode.published import Record, as_text, publication, read_record, record_file
from studio.episode.records import Change, Correction, Episode, FrameSize
from studio.episode.short import short_of
from studio.episode.stamps import stamp
from studio.episode.times import SaidSentence, StepTimes, Times, times_file
from studio.episode.times import as_text as times_text
from studio.episode.told_texts import changed_sentences, named_in
from studio.errors import BadInput
from studio.files import write_outputs
from studio.measure.trace import plain, spans
from studio.paper import PAPERS, description, newsletter
from studio.paper.description import without_corrections
from studio.paper.sight import seen_text
from studio.paper.unbroken import parted
from studio.paper.views import MOST_CHANGES, MOST_ON_TOP, Righted, corrections, righted, shown
from tests.check.conftest import Built

Capture = pytest.CaptureFixture[str]

FIRST, LATER = date(2026, 3, 2), date(2026, 3, 9)
DEEPER = ("hole_depth: 12 mm", "hole_depth: 14 mm")


@pytest.fixture(scope="module")
def published_once(built_once: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    place = tmp_path_factory.mktemp("published") / "once"
    shutil.copytree(built_once, place)
    design = place / "designs" / "globe.yaml"
    assert publish([design], place / "out", as_json=False, today=FIRST) == 0
    return place


@pytest.fixture
def published(published_once: Path, tmp_path: Path) -> Built:
    place = tmp_path / "copy"
    shutil.copytree(published_once, place)
    return Built(place / "designs" / "globe.yaml", place / "out")


def change(built, old: str, new: str) -> None:
    text = built.design.read_text("utf-8")
    assert text.count(old) == 1
    built.design.write_text(text.replace(old, new), "utf-8")


def of_record(built) -> tuple[Finding, ...]:
    """What a check of the record alone finds, which is quicker than all of it."""
    return publication_check(Context.of(built.design, built.out)).findings


def rebuild(built) -> None:
    write_outputs(built.out, build_files(open_episode(built.design)))


def test_the_record_holds_what_viewers_were_told(published) -> None:
    (told,) = read_record(published.design).publications
    episode = open_episode(published.design)
    assert told.on == "2026-03-02"
    assert {name: one.text for name, one in told.measurements.items()} == {
        name: one.both for name, one in episode.table.items()
    }
    assert told.description == (published.out / "description.txt").read_text("utf-8")
    assert told.chapters[0] == "0:00 Cylinder and octagon"
    assert told.steps["hang"]["say"] == plain(episode.steps[-1].say)
    assert told.steps["hang"]["starts"] == "1:19"
    assert published.check().findings == ()


def test_publishing_the_same_twice_adds_nothing(published, capsys: Capture) -> None:
    before = record_file(published.design).read_bytes()
    assert publish([published.design], published.out, as_json=False, today=LATER) == 0
    assert record_file(published.design).read_bytes() == before
    assert "told all of this on 2026-03-02" in capsys.readouterr().out


def test_a_description_tells_as_many_corrections_as_there_is_room_for(published) -> None:
    text = published.design.read_text("utf-8")
    assert text.count("diameter: 60 mm") == 1
    sizes = ("59 mm", "60 mm", "58 mm", "57.5 mm", "60 mm", "59 mm")
    for size in sizes:
        published.design.write_text(text.replace("diameter: 60 mm", f"diameter: {size}"), "utf-8")
        correct(published.design, "Measured anew on the finished piece.", as_json=False,
                today=LATER)  # fmt: skip
    rebuild(published)
    told = read(published, "description.txt")
    assert len(told.encode("utf-8")) <= description.LONGEST
    (further,) = re.findall(r"Further corrections, in the handout: (\d+)\n", told)
    assert told.count("Measured anew") + int(further) == len(sizes)
    assert 0 < int(further) < len(sizes)
    assert read(published, "handout.html").count("Measured anew") == len(sizes)
    assert published.check().findings == ()


def test_a_silent_change_is_refused(published, capsys: Capture) -> None:
    change(published, *DEEPER)
    rebuild(published)
    found = [one for one in of_record(published) if one.code == "silent-change"]
    assert {one.measurement for one in found} == {
        "hanger.depth", "hanger.cable", "hanger.turns", "hanger.cut", "hanger.wire_total",
        "hanger.beyond",
    }  # fmt: skip
    (depth,) = [one for one in found if one.measurement == "hanger.depth"]
    assert depth.severity is Severity.ERROR
    assert "14 mm" in depth.said
    assert depth.expected.startswith("12 mm (15/32 in), as viewers were told")
    before = record_file(published.design).read_bytes()
    assert publish([published.design], published.out, as_json=False, today=LATER) == 1
    assert record_file(published.design).read_bytes() == before
    assert "not published" in capsys.readouterr().err


def test_a_new_figure_is_no_change_of_an_old_one(published) -> None:
    change(published, "values:\n", "values:\n  rest: 20 min\n")
    rebuild(published)
    assert "silent-change" not in {one.code for one in of_record(published)}
    assert publish([published.design], published.out, as_json=False, today=LATER) == 0
    first, second = read_record(published.design).publications
    assert "value.rest" not in first.measurements
    assert second.measurements["value.rest"].text == "20 min"


def test_a_figure_that_is_gone_is_a_change(published) -> None:
    text = re.sub(r"sanding:\n.*\n\n", "", published.design.read_text("utf-8"))
    text = text.replace("{{ sanding.first }} to {{ sanding.last }}", "fine to finer")
    published.design.write_text(text.replace("[sanding.papers, ", "["), "utf-8")
    rebuild(published)
    gone = {one.measurement for one in of_record(published) if one.code == "silent-change"}
    assert gone == {"sanding.first", "sanding.last", "sanding.papers"}
    assert correct(published.design, "No paper is prescribed.", as_json=False, today=LATER) == 0
    rebuild(published)
    assert published.check().findings == ()
    assert "First paper: no longer given, not P180" in read(published, "description.txt")


SIDE, LIMIT = "{{ sphere.octagon_side }}", "{{ sphere.end_limit_first }}"


def silent(built) -> dict[str, tuple[str, str]]:
    """By name, what viewers were told and what is told now."""
    episode = open_episode(built.design)
    changes = read_record(built.design).changed(episode, without_corrections(episode))
    return {one.name: (one.old, one.new) for one in changes}


def test_another_measurement_named_in_a_text_is_a_change(published) -> None:
    said = f"The octagon's side is {SIDE}"
    change(published, said, said.replace(SIDE, LIMIT))
    ((name, (old, new)),) = silent(published).items()
    assert name == "step:mark-octagon:say"
    assert old.startswith("“")
    assert "25 mm" in old
    assert new == old.replace("25 mm", "24.8 mm")
    rebuild(published)
    (found,) = [one for one in of_record(published) if one.code == "silent-change"]
    assert found.severity is Severity.ERROR
    assert "24.8 mm" in found.said
    assert correct(published.design, "The wrong figure was named.", as_json=False,
                   today=LATER) == 0  # fmt: skip
    assert silent(published) == {}
    rebuild(published)
    assert published.check().errors == 0
    assert f"narration: {new}, not {old}" in read(published, "correction.txt")
    # and back again is a change too
    change(published, said.replace(SIDE, LIMIT), said)
    assert silent(published) == {"step:mark-octagon:say": (new, old)}


def test_a_figures_name_is_a_published_number_too(published) -> None:
    change(published, f"The octagon's side is {SIDE}", f"The hexagon's side is {SIDE}")
    ((name, (old, new)),) = silent(published).items()
    assert name == "step:mark-octagon:say"
    assert ("octagon" in old, "hexagon" in new) == (True, True)
    assert correct(published.design, "Six sides.", as_json=False, today=LATER) == 0
    assert silent(published) == {}
    rebuild(published)
    assert f"narration: {new}, not {old}" in read(published, "correction.txt")


def test_figures_names_stand_for_numbers_and_other_words_do_not() -> None:
    assert list(changed_sentences("Turn the octagons.", "Turn the hexagons.")) == [
        ("Turn the octagons.", "Turn the hexagons.")
    ]
    assert list(changed_sentences("An octagonal blank.", "A blank with an octagonal face.")) == []
    assert list(changed_sentences("The wagon stood.", "The dragon stood.")) == []


def line_of(file: Path, text: str) -> int:
    (line,) = (n for n, one in enumerate(file.read_text("utf-8").split("\n"), 1) if text in one)
    return line


def test_a_silent_change_tells_file_and_line(published) -> None:
    change(published, *DEEPER)
    (depth,) = (one for one in of_record(published)
                if (one.code, one.measurement) == ("silent-change", "hanger.depth"))  # fmt: skip
    assert depth.where == str(published.design)
    line = line_of(published.design, "hole_depth: 14 mm")
    assert depth.at == f"line {line} (hanger.hole_depth), published 2 March 2026"


def test_a_silent_change_of_a_text_tells_its_line_wherever_it_stands(published) -> None:
    change(published, f"The octagon's side is {SIDE}", f"The hexagon's side is {SIDE}")
    workshop = published.design.with_name("workshop.yaml")
    workshop.write_text(workshop.read_text("utf-8").replace("CC BY 4.0", "CC BY 3.0"), "utf-8")
    found = {one.measurement: one for one in of_record(published)
             if one.code == "silent-change"}  # fmt: skip
    said = found["step:mark-octagon:say"]
    assert said.where == str(published.design)
    line = line_of(published.design, "hexagon")
    assert said.at == f"line {line} (steps[2].say), published 2 March 2026"
    licence = found["description"]
    assert licence.where == str(workshop)
    assert licence.at.startswith(f"line {line_of(workshop, 'CC BY 3.0')} (workshop.licence)")


def test_a_mark_moved_is_a_change_of_the_chapters(published) -> None:
    stamp = read_record(published.design).publications[0].chapters[1].split()[0]
    later = stamp[:-1] + str((int(stamp[-1]) + 1) % 10)
    text = published.design.read_text("utf-8")
    assert text.count(f": {stamp}\n") == 1
    published.design.write_text(text.replace(f": {stamp}\n", f": {later}\n"), "utf-8")
    ((name, (old, new)),) = silent(published).items()
    assert name == "chapters"
    assert (old.split()[0], new.split()[0]) == (f"“{stamp}", f"“{later}")


def test_a_licence_of_another_number_is_a_change(published) -> None:
    file = published.design.with_name("workshop.yaml")
    text = file.read_text("utf-8")
    assert "CC BY 4.0" in text
    file.write_text(text.replace("CC BY 4.0", "CC BY 3.0"), "utf-8")
    assert silent(published) == {"description": ("“Licence: CC BY 4.0”", "“Licence: CC BY 3.0”")}


def test_a_step_that_is_gone_is_a_change(published) -> None:
    tree = published.design.read_text("utf-8")
    steps = re.split(r"(?m)^(?=  - id: )", tree)
    (sand,) = [one for one in steps if one.startswith("  - id: sand\n")]
    tree = re.sub(r"(?m)^ +sand: .*\n", "", tree.replace(sand, ""))
    published.design.write_text(tree, "utf-8")
    gone = silent(published)
    assert gone["step:sand"][1] == ""
    assert "“" in gone["step:sand"][0]
    assert not [name for name in gone if name.startswith("step:sand:")]
    assert correct(published.design, "No sanding.", as_json=False, today=LATER) == 0
    assert silent(published) == {}


def test_words_alone_and_a_steps_name_may_change(published) -> None:
    said = f"The octagon's side is {SIDE}"
    change(published, said, f"Each side of the octagon is {SIDE}")
    text = published.design.read_text("utf-8")
    published.design.write_text(re.sub(r"\bmark-octagon\b", "draw-octagon", text), "utf-8")
    assert silent(published) == {}


def test_a_figure_named_in_words_is_a_number_of_sides(published) -> None:
    assert list(changed_sentences("Turn the Octagon.", "Turn the hexagon.")) == [
        ("Turn the Octagon.", "Turn the hexagon.")
    ]
    assert list(changed_sentences("Two octagons.", "Here are two octagons.")) == []
    change(published, f"The octagon's side is {SIDE}", f"The hexadecagon's side is {SIDE}")
    ((name, (old, new)),) = silent(published).items()
    assert name == "step:mark-octagon:say"
    assert new == old.replace("octagon", "hexadecagon")
    assert correct(published.design, "The wrong figure.", as_json=False, today=LATER) == 0
    rebuild(published)
    assert silent(published) == {}
    assert f"narration: {new}, not {old}" in read(published, "correction.txt")


def test_two_figures_exchanged_between_sentences_are_changes() -> None:
    assert list(changed_sentences("A is 2 mm. B is 3 mm.", "A is 3 mm. B is 2 mm.")) == [
        ("A is 2 mm.", "A is 3 mm."),
        ("B is 3 mm.", "B is 2 mm."),
    ]
    assert list(changed_sentences("A is 2 mm. B is 3 mm.", "B is 3 mm, and A is 2 mm.")) == []
    assert list(changed_sentences("Turn to 2 mm.", "Turn to 2 in.")) == [
        ("Turn to 2 mm.", "Turn to 2 in.")
    ]
    assert list(changed_sentences("Turn to 2 mm.", "")) == [("Turn to 2 mm.", "")]


DRILLED = "drill {{ hanger.drill }},\n      {{ hanger.depth }} deep, and glue it in"
SWAPPED = "drill {{ hanger.depth }},\n      {{ hanger.drill }} deep, and glue it in"


@pytest.mark.parametrize(("told", "now"), [(DRILLED, SWAPPED), (SWAPPED, DRILLED)])
def test_two_figures_exchanged_in_a_sentence_are_a_change_and_so_is_mending_it(
    built, told: str, now: str, capsys: Capture
) -> None:
    change(built, f"so {DRILLED}", f"so {told}")
    rebuild(built)
    episode = open_episode(built.design)
    record = Record((publication(episode, without_corrections(episode), None, FIRST),))
    record_file(built.design).write_text(as_text(record), "utf-8")
    assert silent(built) == {}
    change(built, f"so {told}", f"so {now}")
    ((name, (old, new)),) = silent(built).items()
    assert name == "step:hang:say"
    first, second = ("1.7 mm, 12 mm deep", "12 mm, 1.7 mm deep")[:: 1 if told is DRILLED else -1]
    assert first in old
    assert new == old.replace(first, second)
    (found,) = (one for one in of_record(built) if one.code == "silent-change")
    assert found.severity is Severity.ERROR
    assert second in found.said
    line = line_of(built.design, "so drill")
    assert abs(int(re.findall(r"line (\d+)", found.at)[0]) - line) <= 1
    assert correct(built.design, "Two figures had changed places.", as_json=False,
                   today=LATER) == 0  # fmt: skip
    assert new in capsys.readouterr().out
    assert silent(built) == {}
    rebuild(built)
    assert f"narration: {new}, not {old}" in read(built, "correction.txt")
    assert "silent-change" not in {one.code for one in of_record(built)}


def test_figures_exchanged_between_sentences_are_a_change_and_other_words_are_none(
    published,
) -> None:
    said = (
        "mark {{ sphere.second_mark }} both ways. Cut. Then do it again\n      with "
        "{{ sphere.third_mark }}."
    )
    text = published.design.read_text("utf-8")
    other = (
        "mark {{ sphere.third_mark }} both ways, and cut. Do that\n      once more with "
        "{{ sphere.second_mark }}."
    )
    change(published, said, other)
    assert set(silent(published)) == {"step:second-round:say"}
    published.design.write_text(text, "utf-8")
    kept = other.replace("third", "?").replace("second", "third").replace("?", "second")
    change(published, said, kept)
    assert silent(published) == {}


@pytest.mark.parametrize("design", ["globe", "lobed-globe", "twelve-lobe-drop"])
def test_the_order_of_the_systems_changes_no_figure(published, design: str) -> None:
    episode = open_episode(published.design.with_name(f"{design}.yaml"))
    told = publication(episode, without_corrections(episode), None, FIRST)
    file = published.design.with_name("workshop.yaml")
    text = file.read_text("utf-8")
    assert text.count("first: metric") == 1
    file.write_text(text.replace("first: metric", "first: imperial"), "utf-8")
    now = open_episode(episode.design_file)
    assert now.table["sphere.octagon_side"].both != told.measurements["sphere.octagon_side"].text
    assert Record((told,)).changed(now, without_corrections(now)) == ()


def test_a_correction_in_another_order_of_systems_is_told_once(published) -> None:
    file = published.design.with_name("workshop.yaml")
    text = file.read_text("utf-8")
    file.write_text(text.replace("first: metric", "first: imperial"), "utf-8")
    change(published, *DEEPER)
    assert silent(published)["hanger.depth"] == ("12 mm (15/32 in)", "35/64 in (14 mm)")
    assert correct(published.design, "Drilled deeper.", as_json=False, today=LATER) == 0
    assert silent(published) == {}
    file.write_text(text, "utf-8")
    assert silent(published) == {}


@pytest.mark.parametrize("alike", [False, True])
def test_a_record_changed_by_hand_is_refused(published, alike: bool) -> None:
    file = record_file(published.design)
    text = file.read_text("utf-8")
    file.write_text(text.replace("25 mm", "26 mm"), "utf-8")
    if alike:
        change(published, f"The octagon's side is {SIDE}", "The octagon's side is 26 mm")
    with pytest.raises(BadInput, match="2 March 2026 is not as studio wrote it") as caught:
        open_episode(published.design)
    assert caught.value.faults[0].file == file


def test_a_correction_changed_by_hand_is_refused(published) -> None:
    change(published, *DEEPER)
    correct(published.design, "Drilled deeper.", as_json=False, today=LATER)
    file = record_file(published.design)
    text = file.read_text("utf-8")
    file.write_text(text.replace("Drilled deeper.", "Drilled less deep."), "utf-8")
    with pytest.raises(BadInput, match="correction on 9 March 2026 is not as studio wrote it"):
        open_episode(published.design)


def test_a_record_that_is_gone_is_missed(published, capsys: Capture) -> None:
    record_file(published.design).unlink()
    lost = published.only()
    assert (lost.code, lost.severity) == ("lost-record", Severity.ERROR)
    assert "was published on 2 March 2026" in lost.said
    assert publish([published.design], published.out, as_json=False, today=LATER) == 1
    assert not record_file(published.design).exists()
    assert "lost-record" in capsys.readouterr().err


def test_what_was_published_is_not_written_over_once_its_record_is_gone(
    published, capsys: Capture
) -> None:
    change(published, *DEEPER)
    file, handout = record_file(published.design), published.out / "handout.html"
    record, before = file.read_bytes(), handout.read_bytes()
    file.unlink()
    assert cli.main(["build", str(published.design), "--out", str(published.out)]) == 2
    told = " ".join(capsys.readouterr().err.split())
    assert f"published on 2 March 2026, and {file.name}, its published record, is not there" in told
    assert handout.read_bytes() == before
    file.write_bytes(record)
    assert cli.main(["build", str(published.design), "--out", str(published.out)]) == 0
    assert handout.read_bytes() != before


def cut(built: Built, kind: str) -> None:
    """Take the last of the publications or corrections out of the record's file."""
    file = record_file(built.design)
    tree = yaml.safe_load(file.read_text("utf-8"))
    tree[kind].pop()
    file.write_text(yaml.safe_dump(tree, sort_keys=False), "utf-8")


@pytest.mark.parametrize("kind", ["publications", "corrections"])
def test_a_record_cut_short_is_refused(published, kind: str) -> None:
    change(published, *DEEPER)
    correct(published.design, "Drilled deeper.", as_json=False, today=LATER)
    cut(published, kind)
    left = "0 and 1" if kind == "publications" else "1 and 0"
    said = f"held 1 publications and 1 corrections, and now {left} are there"
    with pytest.raises(BadInput, match=said) as caught:
        open_episode(published.design)
    assert caught.value.faults[0].file == record_file(published.design)


def test_a_record_from_before_it_said_what_it_holds_is_read_and_added_to(published) -> None:
    file = record_file(published.design)
    tree = yaml.safe_load(file.read_text("utf-8"))
    del tree["holds"]
    file.write_text(yaml.safe_dump(tree, sort_keys=False), "utf-8")
    change(published, *DEEPER)
    correct(published.design, "Drilled deeper.", as_json=False, today=LATER)
    assert yaml.safe_load(file.read_text("utf-8"))["holds"]["corrections"] == "1"
    rebuild(published)
    assert published.check().findings == ()


def test_an_older_copy_of_a_record_is_missed(published) -> None:
    file = record_file(published.design)
    older = file.read_bytes()
    change(published, *DEEPER)
    rebuild(published)
    correct(published.design, "Drilled deeper.", as_json=False, today=LATER)
    rebuild(published)
    assert publish([published.design], published.out, as_json=False, today=LATER) == 0
    assert published.check().findings == ()
    file.write_bytes(older)
    (found,) = (one for one in of_record(published) if one.code == "cut-record")
    assert found.severity is Severity.ERROR
    assert found.where == str(file)
    assert "9 March 2026" in found.said
    assert publish([published.design], published.out, as_json=False, today=LATER) == 1
    design, out = published.design, published.out
    before = read(published, "handout.html")
    for command in (
        lambda: build(design, out, as_json=False),
        lambda: correct(design, "Drilled deeper.", as_json=False, out=out, today=LATER),
        lambda: burn(design, design.with_name("master.mp4"), out, as_json=False),
    ):
        with pytest.raises(BadInput, match="or is an older copy: it holds nothing of 9 March 2026"):
            command()
    assert file.read_bytes() == older
    assert read(published, "handout.html") == before


def test_the_command_corrects_by_the_folder_that_is_named(
    published, capsys: Capture, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """Without its folder nobody would miss what an older copy of the record lacks."""
    file = record_file(published.design)
    older = file.read_bytes()
    change(published, *DEEPER)
    rebuild(published)
    named = ["correct", str(published.design), "--out", str(published.out)]
    assert cli.main([*named, "--reason", "Drilled deeper."]) == 0
    assert "recorded; now" in capsys.readouterr().err
    rebuild(published)
    assert publish([published.design], published.out, as_json=False, today=LATER) == 0
    change(published, *DEEPER[::-1])
    file.write_bytes(older)
    capsys.readouterr()
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    monkeypatch.chdir(elsewhere)
    assert cli.main([*named, "--reason", "Drilled less deep."]) == 2
    assert "or is an older copy" in capsys.readouterr().err
    assert file.read_bytes() == older
    # build/NAME, where this folder holds nothing, tells of nothing: only the one named knew
    assert cli.main([*named[:2], "--reason", "Drilled less deep."]) == 0


def test_an_older_copy_of_the_same_day_is_missed(published) -> None:
    file = record_file(published.design)
    older = file.read_bytes()
    change(published, "values:\n", "values:\n  rest: 20 min\n")
    rebuild(published)
    assert publish([published.design], published.out, as_json=False, today=FIRST) == 0
    assert published.check().findings == ()
    file.write_bytes(older)
    (found,) = (one for one in of_record(published) if one.code == "cut-record")
    assert found.said.startswith("(1 of the 2 times")


def test_a_correction_that_is_gone_is_missed_though_nothing_else_tells_of_it(published) -> None:
    file = record_file(published.design)
    older = file.read_bytes()
    for old, new in (DEEPER, DEEPER[::-1]):
        change(published, old, new)
        correct(published.design, "Changed.", as_json=False, today=LATER)
    assert build(published.design, published.out, as_json=False) == 0
    assert published.check().findings == ()
    file.write_bytes(older)
    codes = {one.code: one.said for one in of_record(published)}
    assert "silent-change" not in codes
    assert codes["cut-record"].startswith("(0 of the 2 corrections")


def test_an_entry_taken_out_of_the_middle_is_missed_whatever_the_head_says(published) -> None:
    for depth in ("14", "13", "12"):
        text = published.design.read_text("utf-8")
        published.design.write_text(
            re.sub(r"hole_depth: \d+ mm", f"hole_depth: {depth} mm", text), "utf-8"
        )
        correct(published.design, f"It is {depth}.", as_json=False, today=LATER)
    file = record_file(published.design)
    whole = yaml.safe_load(file.read_text("utf-8"))
    for head in ({"holds": whole["holds"] | {"corrections": "2"}}, {}):
        rest = {key: value for key, value in whole.items() if key != "holds"}
        cut_out = head | rest | {"corrections": whole["corrections"][::2]}
        file.write_text(yaml.safe_dump(cut_out, sort_keys=False), "utf-8")
        with pytest.raises(BadInput, match="is not as studio wrote it"):
            open_episode(published.design)
    # the last one away, and the head told so: the head has a seal of its own
    cut_short = whole | {
        "holds": whole["holds"] | {"corrections": "2"},
        "corrections": whole["corrections"][:2],
    }
    file.write_text(yaml.safe_dump(cut_short, sort_keys=False), "utf-8")
    with pytest.raises(BadInput, match="at its head"):
        open_episode(published.design)


def test_a_record_left_behind_by_a_renamed_design_is_told(published) -> None:
    ball = Built(published.design.rename(published.design.with_name("ball.yaml")), published.out)
    (published.out / FILE_NAME).unlink()
    (lost,) = (one for one in of_record(ball) if one.code == "lost-record")
    assert lost.severity is Severity.ERROR
    assert "call the record ball.published.yaml" in lost.expected
    record_file(published.design).rename(record_file(ball.design))
    found = of_record(ball)
    assert [one.severity for one in found if one.code == "moved-record"] == [Severity.NOTE]
    assert "lost-record" not in {one.code for one in found}
    # of another title it may be another design's
    record_file(ball.design).rename(record_file(published.design))
    change(ball, "title: A plain", "title: Another plain")
    (other,) = (one for one in of_record(ball)
                if one.code == "lost-record")  # fmt: skip
    assert other.severity is Severity.NOTE


def test_a_build_says_that_what_was_published_differs(published, capsys: Capture) -> None:
    assert build(published.design, published.out, as_json=False) == 0
    assert "published" not in capsys.readouterr().err
    change(published, *DEEPER)
    assert build(published.design, published.out, as_json=False) == 0
    told = capsys.readouterr().err
    assert "what was published on 2 March 2026 differs now in 6 places" in told
    assert read_made_of(published.out).published == "2026-03-02"


def test_another_designs_folder_is_not_filled_without_a_word(built, tmp_path: Path) -> None:
    other = tmp_path / "other" / "globe.yaml"
    shutil.copytree(built.design.parent, other.parent)
    assert take_over(built.out, built.design) == ()
    write_made_of(built.out, built.design)
    assert take_over(built.out, built.design) == ()
    (said,) = take_over(built.out, other)
    assert "held the outputs of another design (../designs/globe.yaml from there)" in said
    assert publish([built.design], built.out, as_json=False, today=FIRST) == 0
    before = read(built, "handout.html")
    with pytest.raises(BadInput, match="holds what was published of another design"):
        build(other, built.out, as_json=False)
    assert read(built, "handout.html") == before


def read(built, name: str) -> str:
    return (built.out / name).read_text("utf-8")


def test_a_correction_is_told_everywhere_and_the_check_is_content(published) -> None:
    change(published, *DEEPER)
    assert correct(published.design, "I said twelve, and drilled 14 mm.", as_json=False,
                   today=LATER) == 0  # fmt: skip
    rebuild(published)
    assert published.check().findings == ()
    for name in ("handout.html", "description.txt", "correction.txt"):
        # on pages a number and its unit are parted by a space at which no line breaks
        text = re.sub(r"<[^>]*>", "", read(published, name)).replace("\u00a0", " ")
        assert "9 March 2026" in text
        assert "I said twelve, and drilled 14 mm." in text
        assert "Depth of the hole: 14 mm (35/64 in), not 12 mm (15/32 in)" in text
    notes = [card for card in open_episode(published.design).cards if card.heading == "Corrected"]
    (note,) = notes
    assert note.step_id == "hang"
    assert [plain(row.label) for row in note.rows] == ["Depth of the hole, not 12 mm (15/32 in)"]
    assert plain(note.rows[0].value) == "14 mm"
    assert publish([published.design], published.out, as_json=False, today=LATER) == 0


def test_a_wrong_old_figure_in_a_correction_is_found(published) -> None:
    change(published, *DEEPER)
    assert correct(published.design, "Drilled deeper.", as_json=False, today=LATER) == 0
    rebuild(published)
    published.replace("correction.txt", "not 12 mm", "not 13 mm")
    assert published.only().code == "wrong-number"


def test_corrections_follow_one_another_and_each_stays(published) -> None:
    change(published, *DEEPER)
    correct(published.design, "Drilled deeper.", as_json=False, today=LATER)
    change(published, "hole_depth: 14 mm", "hole_depth: 13 mm")
    correct(published.design, "It was 13 after all.", as_json=False, today=LATER)
    record = read_record(published.design)
    assert [one.reason for one in record.corrections] == ["Drilled deeper.", "It was 13 after all."]
    second = {one.name: (one.old, one.new) for one in record.corrections[1].changes}
    assert second["hanger.depth"] == ("14 mm (35/64 in)", "13 mm (33/64 in)")
    assert record.told()["hanger.depth"].text == "13 mm (33/64 in)"
    rebuild(published)
    text = read(published, "correction.txt")
    # newest first; the voice still says what it said at first
    assert text.index("It was 13") < text.index("Drilled deeper")
    (note,) = [c for c in open_episode(published.design).cards if c.heading == "Corrected"]
    assert "not 12 mm" in plain(note.rows[0].label)
    assert published.check().findings == ()


def test_an_older_correction_tells_what_its_figure_was_put_right_to_since(published) -> None:
    change(published, *DEEPER)
    correct(published.design, "Drilled deeper.", as_json=False, today=LATER)
    change(published, *DEEPER[::-1])
    # so much changes besides that the depth has no place among the six of the newer correction
    change(published, "diameter: 60 mm", "diameter: 66 mm")
    correct(published.design, "Larger, and 12 after all.", as_json=False, today=LATER)
    rebuild(published)
    for name in ("handout.html", "description.txt", "correction.txt", "newsletter.md"):
        text = re.sub(r"<[^>]*>", "", read(published, name)).replace("\u00a0", " ")
        older = text[text.index("Drilled deeper.") :]
        told = "Depth of the hole: 14 mm (35/64 in), not 12 mm (15/32 in)"
        assert f"{told}; corrected again since: 12 mm (15/32 in)" in older, name
    assert published.check().findings == ()


def test_the_last_correction_of_a_figure_is_the_one_that_holds() -> None:
    def moves(*figures: str) -> list[Change]:
        return [Change(name="a.b", label="", old=a, new=b) for a, b in pairwise(figures)]

    first, *later = moves("1 mm", "2 mm", "3 mm", "4 mm")
    assert righted(first, later) == Righted(first, since="4 mm")
    first, *later = moves("1 mm", "2 mm", "1 mm", "2 mm")
    assert righted(first, later) == Righted(first)
    first, *later = moves("1 mm", "2 mm", "")
    assert righted(first, later) == Righted(first, withdrawn=True)


@pytest.mark.parametrize("name", ["step:a:say", "description", "chapters"])
def test_of_two_sentences_of_a_text_each_has_its_own_last_word(name: str) -> None:
    def sentence(old: str, new: str) -> Change:
        return Change(name=name, label="", old=old, new=new)

    first, second = sentence("“1.”", "“2.”"), sentence("“5.”", "“6.”")
    later = [sentence("“6.”", "“7.”")]
    assert righted(first, later) == Righted(first)
    assert righted(second, later) == Righted(second, since="“7.”")


def test_a_figure_that_changed_in_one_system_is_told_in_that_one(published) -> None:
    then = read_record(published.design).told()
    change(published, "diameter: 60 mm", "diameter: 60.5 mm")
    now = open_episode(published.design).table
    changed = {
        name: pair for name, pair in silent(published).items() if name in then and name in now
    }
    metric = {name for name in changed if then[name].imperial == now[name].imperial.text}
    imperial = {name for name in changed if then[name].metric == now[name].metric.text}
    assert metric
    assert imperial
    for name, (old, new) in changed.items():
        if name in metric:
            assert (old, new) == (then[name].metric, now[name].metric.text)
        elif name in imperial:
            assert (old, new) == (then[name].imperial, now[name].imperial.text)
        else:
            assert (old, new) == (then[name].text, now[name].both)


def test_back_to_the_first_figure_needs_no_note_on_screen(published) -> None:
    for old, new in (DEEPER, DEEPER[::-1]):
        change(published, old, new)
        correct(published.design, "Changed.", as_json=False, today=LATER)
    assert not [c for c in open_episode(published.design).cards if c.heading == "Corrected"]


def noted(built: Built) -> list[str]:
    cards = open_episode(built.design).cards
    return [plain(c.rows[0].label) for c in cards if c.heading == "Corrected"]


def test_a_voice_recorded_anew_needs_no_note_on_screen_until_the_next_correction(
    published, faults_of
) -> None:
    change(published, *DEEPER)
    correct(published.design, "Drilled deeper.", as_json=False, today=LATER)
    for when, notes in (
        (LATER - timedelta(days=1), ["Depth of the hole, not 12 mm (15/32 in)"]),
        (LATER, []),
    ):
        anew = f"film:\n  recorded_anew: {{hang: {when.isoformat()}}}\n"
        change(published, "film:\n", anew)
        assert noted(published) == notes
        change(published, anew, "film:\n")
    change(published, "film:\n", anew)
    change(published, "hole_depth: 14 mm", "hole_depth: 13 mm")
    after = LATER + timedelta(days=1)
    correct(published.design, "It was 13 after all.", as_json=False, today=after)
    # the new voice says 14
    assert noted(published) == ["Depth of the hole, not 14 mm (35/64 in)"]
    for typed, said in (("{hung: 2026-11-27}", "no step 'hung'"), ("{hang: yes}", "not a day")):
        change(published, f"{{hang: {LATER.isoformat()}}}", typed)
        assert any(said in fault for fault in faults_of(published.design))
        change(published, typed, f"{{hang: {LATER.isoformat()}}}")


def notes_of(built: Built) -> dict[str, tuple[int, int]]:
    """When each note on screen stands, by the step."""
    return {
        one.step_id: (one.start_ms or 0, one.end_ms or 0)
        for one in open_episode(built.design).cards
        if one.heading == "Corrected"
    }


def test_a_note_on_screen_stands_beside_the_steps_own_card(published) -> None:
    change(published, *DEEPER)
    correct(published.design, "Drilled deeper.", as_json=False, today=LATER)
    episode = open_episode(published.design)
    cards = [c for c in episode.cards if c.step_id == "hang"]
    note, own = (one for one in cards if one.kind == "measurement")
    assert note.heading == "Corrected"
    # its sentence is the step's first, so the own card waits
    assert note.start_ms == episode.said_at["hang"][0][0] == 79_000
    assert note.end_ms is not None
    assert note.end_ms - note.start_ms >= 3000
    assert own.start_ms == note.end_ms
    assert "14 mm" in {plain(row.value) for row in own.rows}


def test_a_note_stands_at_the_time_of_its_own_sentence_once_the_step_has_none(published) -> None:
    # a step that shows nothing at all; the figure is said at its end
    file, design = record_file(published.design), published.design
    file.unlink()
    text = design.read_text("utf-8")
    shows = "    show: [hanger.wire, hanger.bundle, hanger.drill, hanger.depth]\n"
    assert text.count(shows) == 1
    said = re.findall(r"(?ms)^    say: >.*?\n(?=    show: )", text)[-1]
    later = said.replace("say: >\n", "say: >\n      Lathe off, and look at both poles first. "
                         "Take your time over it.\n")  # fmt: skip
    design.write_text(text.replace(said, later).replace(shows, ""), "utf-8")
    (published.out / FILE_NAME).unlink()
    rebuild(published)
    assert publish([design], published.out, as_json=False, today=FIRST) == 0
    change(published, *DEEPER)
    correct(design, "Drilled deeper.", as_json=False, today=LATER)
    times = open_episode(design).said_at["hang"]
    assert len(times) == 3
    assert notes_of(published)["hang"][0] == times[2][0] > times[0][0]
    rebuild(published)
    assert published.check().findings == ()
    # where the recording was listened to, its own time counts
    listened = Times(
        source="voice.wav", length_ms=104_000,
        steps={"hang": StepTimes(
            id="hang", digest="of the voice before", start_ms=79_000, end_ms=99_000, confidence=1.0,
            sentences=tuple(SaidSentence(text="", start_ms=at, end_ms=at + 3_000, confidence=1.0)
                            for at in (80_000, 86_000, 91_500)),
        )},
    )  # fmt: skip
    times_file(design).write_text(times_text(listened), "utf-8")
    assert notes_of(published)["hang"][0] == 91_500


def test_a_corrected_sentence_is_noted_on_screen_and_traced(published) -> None:
    change(published, f"The octagon's side is {SIDE}", f"The octagon's side is {LIMIT}")
    correct(published.design, "The wrong figure.", as_json=False, today=LATER)
    (label,) = noted(published)
    assert label == "“The octagon's side is 24.8 mm.”, not 25 mm"
    episode = open_episode(published.design)
    (step,) = (one for one in episode.steps if one.id == "mark-octagon")
    (slip,) = episode.slips[step.id]
    assert "octagon's side" in sentences_in(step.say)[slip.sentence or 0]
    # at its sentence it would leave the step's own card no time to be read, so it goes first
    assert notes_of(published)[step.id][0] == step.start_ms
    rebuild(published)
    assert published.check().errors == 0
    # a note that says another number is found
    published.replace("script.md", "not 25 mm", "not 26 mm")
    assert [one.code for one in published.check().findings if one.where == "script.md"] == [
        "wrong-number"
    ]


def test_a_short_carries_the_note_of_its_step(published) -> None:
    change(published, *DEEPER)
    correct(published.design, "Drilled deeper.", as_json=False, today=LATER)
    short = short_of(open_episode(published.design), "hang", FrameSize(360, 640))
    note, *others = (one for one in short.cards if one.kind == "measurement")
    assert (note.heading, note.start_ms) == ("Corrected", 0)
    assert all((one.start_ms or 0) >= (note.end_ms or 0) for one in others)


def test_a_german_note_is_in_german(published) -> None:
    change(published, *DEEPER)
    text = published.design.read_text("utf-8")
    said = f"The octagon's side is {SIDE}"
    published.design.write_text(text.replace(said, f"The hexagon's side is {SIDE}"), "utf-8")
    correct(published.design, "Both.", as_json=False, today=LATER)
    german = open_episode(published.design, language="de")
    notes = [one for one in german.cards if one.heading == "Berichtigt"]
    labels = [plain(row.label) for one in notes for row in one.rows]
    assert any(label == "Tiefe der Bohrung, nicht 12 mm (15/32 Zoll)" for label in labels), labels
    assert any(", nicht octagon" in label for label in labels), labels


def test_without_a_reason_it_only_tells(published, capsys: Capture) -> None:
    assert cli.main(["correct", str(published.design)]) == 0
    assert "nothing that was published has changed" in capsys.readouterr().out
    change(published, *DEEPER)
    before = record_file(published.design).read_bytes()
    assert cli.main(["correct", str(published.design), "--json"]) == 1
    told = json.loads(capsys.readouterr().out)
    assert told["recorded"] is False
    assert told["changes"][0]["old"] == "12 mm (15/32 in)"
    assert record_file(published.design).read_bytes() == before


@pytest.mark.parametrize("reason", ["", "  ", "a" * 301, "two\x07bells"])
def test_a_reason_must_be_fit_to_print(published, reason: str) -> None:
    change(published, *DEEPER)
    with pytest.raises(BadInput, match="reason"):
        correct(published.design, reason, as_json=False)


def test_what_was_not_published_needs_no_correction(built) -> None:
    with pytest.raises(BadInput, match="has not been published"):
        correct(built.design, "why", as_json=False)


@pytest.mark.parametrize(
    "damage",
    [
        lambda text: text.replace("publications:", "publication:"),
        lambda text: text.replace("'2026-03-02'", "'yesterday'"),
        lambda text: text[: len(text) // 2],
        lambda text: text.replace("label: Diameter", "label: [Diameter]"),
        lambda text: "!!python/object/apply:os.system ['true']",
    ],
)
def test_a_broken_record_is_told(published, damage: Callable[[str], str]) -> None:
    file = record_file(published.design)
    file.write_text(damage(file.read_text("utf-8")), "utf-8")
    with pytest.raises(BadInput, match="published record") as caught:
        open_episode(published.design)
    assert caught.value.faults[0].file == file


def test_another_film_than_the_published_one_is_told(built) -> None:
    film = built.out / "film.mp4"
    film.write_bytes(b"one film")
    record = read_record(built.design)
    assert record.publications == ()
    # whatever the check says of such a film, it is what was published
    told = publication(open_episode(built.design), "", film, FIRST)
    record_file(built.design).write_text(as_text(Record((told,))), "utf-8")
    assert "other-film" not in {one.code for one in of_record(built)}
    film.write_bytes(b"another film")
    assert "other-film" in {one.code for one in of_record(built)}


def test_the_list_tells_when(published, capsys: Capture) -> None:
    assert cli.main(["list", str(published.design.parent)]) == 0
    out = capsys.readouterr().out
    assert re.search(r"globe\.yaml .*2026-03-02", out)
    assert "published.yaml" not in out


def test_nothing_built_is_nothing_to_publish(built, tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="nothing to publish"):
        publish([built.design], tmp_path / "none", as_json=False)


def test_what_the_voice_says_is_told_first_where_there_is_little_room(published) -> None:
    episode = open_episode(published.design)
    said = {name for step in episode.steps for name in named_in(step.say)}
    key = [one.name for one in shown(episode)]
    free = [name for name in episode.table if name not in warned_of(episode)]
    heard = [name for name in free if name in said]
    alone = [name for name in key if name in free and name not in said]
    others = [name for name in free if name not in key and name not in said]
    first = [*heard[: MOST_CHANGES - 1], *alone[:1]]
    assert len(first) == MOST_CHANGES
    names = [*others[:MOST_CHANGES], *reversed(first)]
    changes = tuple(Change(name=name, label=name, old="1 mm", new="2 mm") for name in names)
    corrected = replace(
        episode, corrections=(Correction(on="2026-03-09", reason="why", changes=changes),)
    )
    (told,) = corrections(corrected, MOST_CHANGES)
    assert [one.change.name for one in told.changes] == [*first[-2::-1], first[-1]]
    assert plain(told.more) == str(MOST_CHANGES)


def warned_of(episode: Episode) -> set[str]:
    """The measurements that cautions name."""
    cautions = [one for step in episode.steps for one in step.cautions]
    return {name for one in cautions for text in (one.short, one.text) for name in named_in(text)}


def test_what_a_caution_says_is_told_before_all_else_and_whole(published) -> None:
    episode = open_episode(published.design)
    warned = warned_of(episode)
    assert warned
    names = [*(name for name in episode.table if name not in warned), *sorted(warned)]
    changes = tuple(Change(name=name, label=name, old="1 mm", new="2 mm") for name in names)
    corrected = replace(
        episode, corrections=(Correction(on="2026-03-09", reason="why", changes=changes),)
    )
    for most in (1, len(warned) + 2):
        (told,) = corrections(corrected, most)
        assert {one.change.name for one in told.changes[: len(warned)]} == warned
        assert len(told.changes) == max(most, len(warned))
        assert {one.change for one in (*told.changes, *told.rest)} == set(changes)
        assert plain(told.more) == str(len(told.rest))


def test_a_page_begins_with_few_of_many_corrected_figures_and_tells_the_others_last(
    published,
) -> None:
    change(published, "diameter: 60 mm", "diameter: 66 mm")
    correct(published.design, "Larger.", as_json=False, today=LATER)
    episode = open_episode(published.design)
    (told,) = corrections(episode, MOST_ON_TOP)
    assert len(told.changes) == MOST_ON_TOP < len(told.rest)
    page = plain(parted(PAPERS["handout.html"](episode)))
    top, middle, end = re.split('<section id="(?:need|also-corrected)"', page)
    listed = re.findall(r'<ul class="corrected".*?</ul>', page, re.DOTALL)
    assert [one.count("<li>") for one in listed] == [len(told.changes), len(told.rest)]
    assert listed[0] in top
    assert f'<a href="#also-corrected">and {len(told.rest)} more, further down</a>' in top
    assert 'id="steps"' in middle
    assert listed[1] in end
    # both are words that are seen and printed
    seen = seen_text(page)
    for one in (*told.changes, *told.rest):
        assert f"{one.change.label}: {one.change.new or 'no longer given'}, not" in seen


TEXTS = {
    "description": description.render,
    "newsletter": newsletter.render,
    "markdown": newsletter.render_markdown,
}


@pytest.mark.parametrize("text", TEXTS)
def test_what_a_text_prints_anew_it_tells_among_its_corrections(published, text: str) -> None:
    change(published, "diameter: 60 mm", "diameter: 66 mm")
    correct(published.design, "Larger.", as_json=False, today=LATER)
    episode = open_episode(published.design)
    (corrected,) = episode.corrections
    changed = {one.name for one in corrected.changes}
    names = {span.name for span in spans(TEXTS[text](episode))[1]}
    told = {name.removeprefix("told:") for name in names if name.startswith("told:")}
    assert len(told) > MOST_CHANGES
    assert names & changed <= told < changed


def test_a_description_grown_too_long_by_its_corrections_tells_six(published) -> None:
    change(published, "diameter: 60 mm", "diameter: 66 mm")
    correct(published.design, "Larger.", as_json=False, today=LATER)
    episode = open_episode(published.design)
    room = description.LONGEST - len(plain(description.without_corrections(episode)).encode())
    filled = replace(episode, summary=episode.summary + "x " * (room // 2 - 300))
    made = description.render(filled)
    assert len(plain(made).encode()) <= description.LONGEST
    told = {span.name for span in spans(made)[1] if span.name.startswith("told:")}
    assert len(told) == MOST_CHANGES


def test_the_note_on_screen_is_about_the_voice_that_was_published(published) -> None:
    change(published, *DEEPER)
    correct(published.design, "Drilled deeper.", as_json=False, today=LATER)
    before = noted(published)
    assert before == ["Depth of the hole, not 12 mm (15/32 in)"]
    # the film is the old one, whatever the narration of a later one is to be
    text = published.design.read_text("utf-8")
    said = re.findall(r"(?ms)^    say: >.*?\{\{ hanger\.depth \}\}", text)[-1]
    published.design.write_text(
        text.replace(said, said.replace("{{ hanger.depth }}", "as deep as told")), "utf-8"
    )
    assert "hanger.depth" not in open_episode(published.design).steps[-1].say
    assert noted(published) == before


def test_a_card_that_the_note_leaves_no_time_for_is_told(published) -> None:
    change(published, *DEEPER)
    correct(published.design, "Drilled deeper.", as_json=False, today=LATER)
    assert not [one for one in open_episode(published.design).notes if "note of a corr" in one]
    text = published.design.read_text("utf-8")
    # the last step has two seconds
    length = open_episode(published.design).length_ms
    assert length is not None
    published.design.write_text(
        text.replace("    hang: 1:19\n", f"    hang: {stamp(length - 2000)}\n"), "utf-8"
    )
    episode = open_episode(published.design)
    cards = [c.heading for c in episode.cards if c.step_id == "hang" and c.kind == "measurement"]
    assert cards == ["Corrected"]
    assert [one for one in episode.notes if "step hang: the note of a correction takes" in one]


def test_what_lies_beside_designs_is_passed_over_and_told(built, capsys: Capture) -> None:
    """As ``studio publish designs/*.yaml`` gives them."""
    beside = [built.design.with_name(name) for name in ("globe.places.yaml", "workshop.yaml")]
    beside.append(built.design.with_name("globe.de.yaml"))
    assert all(one.is_file() for one in beside)
    assert publish([*beside, built.design], built.out, as_json=False) == 0
    err = capsys.readouterr().err
    assert "passed over" in err
    assert all(one.name in err for one in beside)
    assert len(read_record(built.design).publications) == 1


def test_no_design_among_the_files_is_refused(built, tmp_path: Path) -> None:
    with pytest.raises(BadInput, match=r"no design.*workshop\.yaml"):
        publish([built.design.with_name("workshop.yaml")], None, as_json=False, site=tmp_path / "s")
    assert not (tmp_path / "s").exists()


def test_a_path_with_spaces_is_told_as_it_is_typed(built, tmp_path: Path) -> None:
    place = tmp_path / "my designs"
    shutil.copytree(built.design.parent, place)
    with pytest.raises(BadInput) as caught:
        publish([place / "globe.yaml"], tmp_path / "none", as_json=False)
    (fault,) = caught.value.faults
    assert fault.write.endswith(f"studio build '{place}/globe.yaml'")
