"""Tables that follow a part's axis: a row is the same one wherever its number has gone."""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from studio.check.comparing import compare
from studio.commands.correct import correct
from studio.episode.assemble import open_episode
from studio.episode.published import Record, as_text, publication, read_record, record_file
from studio.episode.records import Change, Told
from studio.episode.told_rows import GONE, Family, names_of_today
from studio.measure.trace import plain
from studio.paper import correction
from studio.paper.description import without_corrections
from studio.paper.papers import PAPERS
from studio.paper.views import Righted, corrections
from studio.resources import shipped

FIRST, LATER = date(2026, 3, 2), date(2026, 3, 9)

FILLET = "      - {shape: fillet, length: 2 mm, diameter: 20 mm}\n"
TAPER = "      - {shape: taper, length: 24 mm, end: 5 mm}\n"


@pytest.fixture
def crowned(tmp_path: Path) -> Path:
    """A published design with turned parts."""
    shutil.copytree(shipped("designs"), tmp_path / "designs")
    design = tmp_path / "designs" / "crowned-globe.yaml"
    episode = open_episode(design)
    told = publication(episode, without_corrections(episode), None, FIRST)
    record_file(design).write_text(as_text(Record((told,))), "utf-8")
    return design


def faults(design: Path) -> list[str]:
    """What the check finds in the texts as they are made."""
    episode = open_episode(design)
    made = {
        name: PAPERS[name](episode) for name in ("script.md", "newsletter.md", "newsletter.txt")
    }
    return [
        f"{name}: {one.code} {one.said}"
        for name, text in made.items()
        for one in compare(episode, name, text, plain(text)).findings
    ]


def test_a_part_may_have_a_number_in_its_title(crowned: Path) -> None:
    """In every text, and among corrections and in the note of one that the script has."""
    change(crowned, "  finial:\n", "  finial:\n    title: Tier 2\n")
    record_file(crowned).unlink()
    publish(crowned)
    assert not faults(crowned)
    change(crowned, "diameter: 7.8 mm", "diameter: 8.8 mm")
    assert correct(crowned, "Wider.", as_json=False, today=LATER) == 0
    assert "tier 2, not 8 mm" in plain(PAPERS["script.md"](open_episode(crowned)))
    assert not faults(crowned)


def change(design: Path, old: str, new: str) -> None:
    text = design.read_text("utf-8")
    assert text.count(old) == 1
    design.write_text(text.replace(old, new), "utf-8")


def silent(design: Path) -> tuple[Change, ...]:
    episode = open_episode(design)
    return read_record(design).changed(episode, without_corrections(episode))


def rows(changes: tuple[Change, ...]) -> list[Change]:
    return [one for one in changes if one.name.startswith("finial.") and "_" in one.name]


def test_a_station_put_in_before_others_changes_none_of_them(crowned: Path) -> None:
    # the same taper in two lengths: its middle, 3.4 + (5 - 3.4) * 9 / 24, gets a station of its own
    change(crowned, TAPER, TAPER.replace("24 mm, end: 5 mm", "9 mm, end: 4 mm")
           + TAPER.replace("24 mm", "15 mm"))  # fmt: skip
    changed = silent(crowned)
    assert {one.name for one in changed} >= {"finial.stations", "profile.stations"}
    told = rows(changed)
    # parting cuts stand just inside the ends of each element, so there are new ones alone
    assert [one for one in told if "at_" in one.name or "diameter_" in one.name] == []
    assert len(told) <= 1


def test_a_station_told_otherwise_says_which_and_no_other_is_told(crowned: Path) -> None:
    change(crowned, TAPER, TAPER.replace("24 mm, end: 5 mm", "9 mm, end: 4 mm")
           + TAPER.replace("24 mm", "15 mm"))  # fmt: skip
    change(crowned, FILLET, FILLET.replace("20 mm", "21 mm"))
    diameters = [one for one in rows(silent(crowned)) if ".diameter_" in one.name]
    assert {(one.label, one.old.split(" (")[0], one.new.split(" (")[0]) for one in diameters} == {
        ("Finished diameter there (fillet begins at 53 mm (2 3/32 in))", "20 mm", "21 mm"),
        ("Finished diameter there (fillet at 55 mm (2 11/64 in))", "20 mm", "21 mm"),
    }
    assert correct(crowned, "Thicker.", as_json=False, today=LATER) == 0
    assert silent(crowned) == ()
    # one more before the others, once all rows have new numbers in the record
    change(crowned, "crown: 14 mm, start: 8 mm", "crown: 15 mm, start: 8 mm")
    (crown,) = (one for one in rows(silent(crowned))
                if ".diameter_" in one.name and "crown" in one.label)  # fmt: skip
    assert "crown of the bead at 34 mm" in crown.label
    assert (crown.old.split(" (")[0], crown.new.split(" (")[0]) == ("14 mm", "15 mm")


def test_a_station_that_moves_is_the_same_one_elsewhere(crowned: Path) -> None:
    change(
        crowned, "throat: 6 mm, start: 8 mm, end: 11 mm", "throat: 6 mm, start: 7 mm, end: 11 mm"
    )
    moved = [one for one in rows(silent(crowned)) if ".at_" in one.name and "throat" in one.label]
    assert len(moved) == 1
    assert moved[0].new
    # the station in between that stood at 40 mm is no longer there: the throat is too near to it
    gone = [one.label for one in silent(crowned) if not one.new]
    assert len(gone) == 4
    assert all("(cove at 40 mm (1 37/64 in))" in one for one in gone)


def test_a_cut_is_known_by_what_it_stands_between_wherever_all_have_moved(crowned: Path) -> None:
    """The first element is longer by 2 mm, and the taper behind it is two tapers: two cuts more."""
    change(crowned, "length: 5 mm, crown: 5 mm", "length: 7 mm, crown: 5 mm")
    change(crowned, TAPER, HALVES)
    cuts = [one for one in rows(silent(crowned)) if ".cut_" in one.name]
    at = [(one.old.split(" (")[0], one.new.split(" (")[0]) for one in cuts if ".cut_at" in one.name]
    assert at == [
        ("3 mm", "4.3 mm"), ("6.5 mm", "8.5 mm"), ("27.5 mm", ""), ("29.75 mm", "31.75 mm"),
        ("34 mm", "36 mm"), ("40.7 mm", "42.7 mm"), ("46.25 mm", "48.25 mm"), ("50 mm", "52 mm"),
        ("56.5 mm", "58.5 mm"), ("60.5 mm", "62.5 mm"),
    ]  # fmt: skip
    # which of the tapers' four was the one before the fillet nothing tells: it is no longer given
    (setting,) = (one for one in cuts if ".cut_setting" in one.name)
    assert setting.label.startswith("Callipers for that cut (at 27.5 mm")
    assert setting.new == ""


def told_cuts(*places: str) -> dict[str, Told]:
    """A table of cuts alone, in which nothing is written of what is there."""
    return {
        f"{stem}_{number}": Told(stem, text, text, text)
        for number, place in enumerate(places, 1)
        for stem, text in (("part.cut_at", f"{place} mm"), ("part.cut_setting", f"{number} mm"))
    }


@pytest.mark.parametrize("today", [("11", "22", "33"), ("11", "22")])
def test_of_rows_that_nothing_tells_apart_none_is_taken_for_one_of_today(
    today: tuple[str, ...],
) -> None:
    told = told_cuts("10", "20")
    table = Family(("part.cut_at", "part.cut_setting"))
    names = names_of_today(told, told_cuts(*today), [table])
    assert names == {name: name + GONE for name in told}
    assert names_of_today(told, told_cuts("5", "10", "20"), [table]) == {
        "part.cut_at_1": "part.cut_at_2", "part.cut_setting_1": "part.cut_setting_2",
        "part.cut_at_2": "part.cut_at_3", "part.cut_setting_2": "part.cut_setting_3",
    }  # fmt: skip


def test_a_station_that_is_gone_is_told_once_by_its_place(crowned: Path) -> None:
    change(crowned, TAPER, TAPER.replace("24 mm, end: 5 mm", "9 mm, end: 4 mm")
           + TAPER.replace("24 mm", "15 mm"))  # fmt: skip
    episode = open_episode(crowned)
    told = publication(episode, without_corrections(episode), None, FIRST)
    record_file(crowned).write_text(as_text(Record((told,))), "utf-8")
    change(crowned, TAPER.replace("24 mm, end: 5 mm", "9 mm, end: 4 mm"), "")
    change(crowned, TAPER.replace("24 mm", "15 mm"), TAPER)
    gone = [one for one in rows(silent(crowned)) if not one.new]
    assert [one.label for one in gone if ".at_" in one.name and "cut" not in one.name] == [
        "Station, from the free end (taper at 14 mm (35/64 in))"
    ]
    assert correct(crowned, "Coarser.", as_json=False, today=LATER) == 0
    assert silent(crowned) == ()
    assert not [name for name in read_record(crowned).told() if name.startswith("finial.at_27")]


THICKER = FILLET.replace("20 mm", "20.4 mm")
HALVES = TAPER.replace("24 mm, end: 5 mm", "9 mm, end: 4 mm") + TAPER.replace("24 mm", "15 mm")
THIRDS = HALVES.replace("15 mm", "6 mm").replace(
    "4 mm}\n", "4 mm}\n" + TAPER.replace("24 mm, end: 5 mm", "9 mm, end: 4.6 mm"), 1
)


def told_of_fillet(design: Path) -> Righted:
    """What is told today of the fillet's middle in the correction that made it thicker."""
    first = corrections(open_episode(design))[-1]
    (found,) = (
        one for one in first.changes
        if "fillet at" in one.change.label and ".diameter_" in one.change.name
    )  # fmt: skip
    assert found.change.new.startswith("20.4 mm")
    return found


@pytest.fixture
def thicker(crowned: Path) -> Path:
    """With its fillet put right."""
    change(crowned, FILLET, THICKER)
    assert correct(crowned, "Thicker.", as_json=False, today=LATER) == 0
    return crowned


def test_another_row_that_has_its_number_by_now_is_none_of_an_older_correction(
    thicker: Path,
) -> None:
    # two rows more before it: what was the fillet's number is that of the ogee's end now
    change(thicker, TAPER, THIRDS)
    change(thicker, "start: 13 mm, end: 18 mm", "start: 13 mm, end: 17 mm")
    assert correct(thicker, "Longer.", as_json=False, today=LATER) == 0
    second = open_episode(thicker).corrections[-1]
    found = told_of_fillet(thicker)
    (ogee,) = (one for one in second.changes if one.name == found.change.name)
    assert "ogee" in ogee.label
    assert found == Righted(found.change)


def test_a_cut_that_may_be_any_of_todays_is_not_told_to_be_put_right_again(thicker: Path) -> None:
    """All of them moved, and of the one before the fillet nothing tells which one it is now."""
    change(thicker, "length: 5 mm, crown: 5 mm", "length: 7 mm, crown: 5 mm")
    change(thicker, TAPER, HALVES)
    assert correct(thicker, "Longer.", as_json=False, today=LATER) == 0
    _, first = corrections(open_episode(thicker))
    cuts = [one for one in first.changes if ".cut_depth_" in one.change.name]
    assert len(cuts) > 1
    assert [one for one in cuts if one.since] == []
    (gone,) = (one for one in cuts if one.withdrawn)
    assert "(at 27.5 mm" in gone.change.label


def test_a_row_put_right_again_under_another_number_is_told_to_be(thicker: Path) -> None:
    change(thicker, TAPER, THIRDS)
    change(thicker, THICKER, FILLET.replace("20 mm", "21 mm"))
    assert correct(thicker, "Thicker still.", as_json=False, today=LATER) == 0
    assert told_of_fillet(thicker).since.startswith("21 mm")


def test_a_row_withdrawn_under_another_number_is_told_to_be(thicker: Path) -> None:
    change(thicker, TAPER, HALVES)
    assert silent(thicker)
    assert correct(thicker, "One more.", as_json=False, today=LATER) == 0
    change(thicker, THICKER, "")
    assert correct(thicker, "Without it.", as_json=False, today=LATER) == 0
    assert told_of_fillet(thicker).withdrawn


def notes(design: Path) -> list[tuple[str, str]]:
    """What stands on screen of corrected figures of rows: the words, and what holds today."""
    return [
        (plain(row.label), plain(row.value))
        for card in open_episode(design).cards
        if card.heading == "Corrected"
        for row in card.rows
        if "there" in plain(row.label)
    ]


def test_a_note_on_screen_is_of_the_row_that_the_voice_names_wherever_it_has_gone(
    crowned: Path,
) -> None:
    saying = "neck. The fillet is {{ finial.diameter_23 }} thick.\n    show: [finial.length"
    change(crowned, "neck.\n    show: [finial.length", saying)
    record_file(crowned).unlink()
    publish(crowned)
    change(crowned, FILLET, THICKER)
    assert correct(crowned, "Thicker.", as_json=False, today=LATER) == 0
    note = ("Finished diameter there, not 20 mm (25/32 in)", "20.4 mm")
    assert notes(crowned) == [note]
    # its number is that of the ogee's end now, which is corrected too
    change(crowned, TAPER, THIRDS)
    change(crowned, "start: 13 mm, end: 18 mm", "start: 13 mm, end: 17 mm")
    change(crowned, "finial.diameter_23", "finial.diameter_25")
    assert correct(crowned, "Longer.", as_json=False, today=LATER) == 0
    assert plain(open_episode(crowned).table["finial.diameter_23"].metric.text) == "17 mm"
    assert notes(crowned) == [note]
    # another has its number by now, and it is withdrawn itself
    change(crowned, THICKER, "")
    change(crowned, " The fillet is {{ finial.diameter_25 }} thick.", "")
    assert correct(crowned, "Without it.", as_json=False, today=LATER) == 0
    ((gone, _),) = notes(crowned)
    assert gone.startswith("Finished diameter there (fillet at 55 mm")
    assert gone.endswith(": no longer 20 mm (25/32 in)")


RIMS = "rims: [20 mm, 26 mm, 30 mm, 34 mm, 48 mm]"


@pytest.fixture
def lobed(tmp_path: Path) -> Path:
    """A published design whose ball is held in the rim of a cup chuck."""
    shutil.copytree(shipped("designs"), tmp_path / "designs")
    design = tmp_path / "designs" / "lobed-globe.yaml"
    publish(design)
    return design


def publish(design: Path, told: Callable[[str], str] = lambda name: name) -> None:
    """Write a record of the design, its measurements' names changed."""
    episode = open_episode(design)
    made = publication(episode, without_corrections(episode), None, FIRST)
    named = {told(name): one for name, one in made.measurements.items()}
    record = Record((replace(made, measurements=named),))
    record_file(design).write_text(as_text(record), "utf-8")


def rims(design: Path) -> list[str]:
    """Sizes of the rims in the table of seats, as they are named, best first."""
    names = open_episode(design).table
    return [name.removeprefix("grooves.rim_") for name in names if name.startswith("grooves.rim_")]


def test_a_rim_put_in_before_others_corrects_nothing(lobed: Path) -> None:
    assert "34mm" in rims(lobed)
    before = len(rims(lobed))
    change(lobed.with_name("workshop.yaml"), RIMS, RIMS.replace("20 mm,", "19 mm, 20 mm, 22 mm,"))
    assert len(rims(lobed)) == before + 2
    assert silent(lobed) == ()


def test_rims_told_by_their_rank_are_the_same_rims(lobed: Path) -> None:
    ranks = {size: str(place) for place, size in enumerate(rims(lobed), 1)}
    seat = re.compile(r"(grooves\.(?:rim|seat)_)([0-9_]+mm)(.*)")

    def ranked(name: str) -> str:
        found = seat.fullmatch(name)
        return name if found is None else f"{found[1]}{ranks[found[2]]}{found[3]}"

    publish(lobed, ranked)
    assert "grooves.seat_1_1" in read_record(lobed).told()
    assert silent(lobed) == ()
    # nothing of it is lost when another figure is put right
    change(lobed.with_name("globe.yaml"), "hole_depth: 12 mm", "hole_depth: 13 mm")
    assert {one.name.partition(".")[0] for one in silent(lobed)} == {"hanger"}
    assert correct(lobed, "Deeper.", as_json=False, today=LATER) == 0
    assert silent(lobed) == ()
    told = read_record(lobed).told()
    assert {f"grooves.rim_{size}" for size in ranks} <= told.keys()
    assert "grooves.rim_1" not in told
    # a rim that is there no more is told, by its size
    change(lobed.with_name("workshop.yaml"), RIMS, RIMS.replace(", 48 mm", ""))
    gone = {one.old.split(" (")[0] for one in silent(lobed) if one.name == "grooves.rim_48mm"}
    assert gone == ({"48 mm"} if "48mm" in ranks else set())


def test_a_row_that_goes_by_its_number_says_which_it_is(lobed: Path) -> None:
    change(lobed.with_name("globe.yaml"), "diameter: 60 mm", "diameter: 66 mm")
    changes = [one for one in silent(lobed) if re.search(r"_[0-9]+$", one.name)]
    labels = {one.name: one.label for one in changes}
    assert len(labels) > 1
    assert len(set(labels.values())) == len(labels)
    seat = next(label for name, label in labels.items() if name.startswith("grooves.seat_34mm_3"))
    assert "groove 3" in seat
    assert "34 mm" in seat


def test_each_seat_of_a_rim_that_was_sold_names_its_groove_and_the_rim(lobed: Path) -> None:
    assert "34mm" in rims(lobed)
    change(lobed.with_name("workshop.yaml"), RIMS, RIMS.replace(" 34 mm,", ""))
    labels = [one.label for one in silent(lobed) if one.name.startswith("grooves.seat_34mm_")]
    rim = "Rim of a cup chuck owned 34 mm (1 11/32 in)"
    assert labels == [
        f"Seat: part touching, longest gap (groove {number}, {rim})" for number in (1, 2, 3, 4)
    ]
    assert correct(lobed, "Sold.", as_json=False, today=LATER) == 0
    german = open_episode(lobed, language="de").corrections[-1].changes
    told = [one.label for one in german if one.name.startswith("grooves.seat_34mm_")]
    assert len(set(told)) == len(told) == 4
    assert all("Nut" in one and "34 mm (1 11/32 Zoll)" in one for one in told)


def test_a_row_put_right_twice_with_its_number_moved_between_is_traced(crowned: Path) -> None:
    """What it was corrected to since stands under the number that it has by then."""
    bead = "      - {shape: bead, length: 5 mm, crown: 5 mm, start: 0 mm, end: 3.4 mm}\n"
    first = "      - {shape: fillet, length: 2 mm, diameter: 6 mm}\n"
    second = "      - {shape: fillet, length: 3 mm, diameter: 7 mm}\n"
    change(crowned, bead, bead + first)
    assert correct(crowned, "Stronger.", as_json=False, today=LATER) == 0
    assert not faults(crowned)
    change(crowned, first, first + second)
    assert correct(crowned, "Stronger still.", as_json=False, today=LATER) == 0
    episode = open_episode(crowned)
    pinned = correction.render(episode)
    assert "corrected again since: 7 mm" in plain(pinned)
    assert compare(episode, "correction.txt", pinned, plain(pinned)).findings == ()
