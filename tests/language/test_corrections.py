"""Corrections speak the language of the papers that they stand on."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from studio.commands.correct import correct
from studio.episode.assemble import open_episode
from studio.episode.published import Record, as_text, publication, read_record, record_file
from studio.episode.records import Change, Episode
from studio.episode.reprint import Reprint
from studio.episode.told_rows import families, in_its_row, todays
from studio.language import ENGLISH, language_of, speaking
from studio.measure.measurement import MeasurementTable
from studio.measure.trace import plain
from studio.paper.description import without_corrections
from studio.paper.papers import PAPERS

DAY = date(2026, 3, 2)


def publish(design: Path) -> None:
    episode = open_episode(design)
    told = publication(episode, without_corrections(episode), None, DAY)
    record_file(design).write_text(as_text(Record((told,))), "utf-8")


def silent(design: Path) -> tuple[Change, ...]:
    episode = open_episode(design)
    return read_record(design).changed(episode, without_corrections(episode))


def test_a_rows_place_and_a_step_are_called_in_the_designs_language(
    in_german: Callable[[str], Path],
) -> None:
    design = in_german("crowned-globe")
    publish(design)
    text = design.read_text("utf-8")
    taper = "{shape: taper, length: 24 mm, end: 5 mm}"
    assert taper in text
    design.write_text(text.replace(taper, taper.replace("5 mm", "5.5 mm")), "utf-8")
    rows = [one.label for one in silent(design) if re.fullmatch(r"finial\.\w+_\d+", one.name)]
    assert any(" bei " in label for label in rows)
    assert not any(re.search(r"\bat\b", label) for label in rows)
    changed = text.replace("{{ finial.tenon }}, {{", "{{ finial.hole }}, {{")
    assert changed != text
    design.write_text(changed, "utf-8")
    (step,) = [one.label for one in silent(design) if one.name.endswith("turn-finial:do")]
    assert step.startswith("Schritt")


def pairs(told: MeasurementTable, ours: MeasurementTable) -> list[tuple[str, str]]:
    return [(one.text, ours[name].text) for name, one in told.items()]


@pytest.mark.parametrize("name", ["globe", "lobed-globe", "crowned-globe", "twelve-lobe-drop"])
def test_a_figure_on_record_is_the_one_that_the_other_language_prints(
    folder: Path, name: str
) -> None:
    """Every measurement of a design: what German makes of it is what stands on record there."""
    own = open_episode(folder / f"{name}.yaml")
    english, german = own.table, language_of("de")
    other = open_episode(folder / f"{name}.yaml", language="de", first=own).table
    with speaking(german):
        to_german = Reprint(ENGLISH)
    to_english = Reprint(german)
    kept, doubtful = set(), set()
    for one in other.values():
        for said in ("text", "other", "both"):
            here, there = getattr(english[one.name], said), getattr(one, said)
            with speaking(german):
                told = to_german.text(here)
            if told is None:
                kept.add(here)
                continue
            assert told == there, one.name
            # of two English words for one thing nobody knows which it was
            assert to_english.text(there) in (here, None), one.name
            if to_english.text(there) is None:
                doubtful.add(there)
    # names of figures, and what the turner called parts, wood and finish
    assert len(kept) <= 10, kept
    assert doubtful <= {
        "Teilscheibe", "Zapfen", "Zapfen beginnt", "Zapfen, Verbindungsende", "Kugel", "Eckabstand",
    }  # fmt: skip
    # those are told by what the same measurement says in both today
    with speaking(german):
        to_german = Reprint(ENGLISH, pairs(own.table, other))
        assert all(to_german.text(english[name].both) == one.both for name, one in other.items())
    to_english = Reprint(german, pairs(other, own.table))
    assert all(to_english.text(one.both) == english[name].both for name, one in other.items())
    assert all(re.search(r"[a-z]{2}", one) for one in kept)


def test_corrections_on_papers_of_a_second_language_speak_it(folder: Path) -> None:
    design = folder / "globe.yaml"
    publish(design)
    text = design.read_text("utf-8")
    changed = text.replace("diameter: 60 mm", "diameter: 61.5 mm")
    assert changed != text
    design.write_text(changed, "utf-8")
    assert correct(design, "measured anew", as_json=False, today=DAY) == 0
    own, other = open_episode(design), open_episode(design, language="de")
    assert not own.as_recorded
    (recorded,), (told,) = own.corrections, other.corrections
    by_name = {one.name: one for one in told.changes}
    assert len(by_name) == len(recorded.changes)
    sphere = by_name["sphere.diameter"]
    assert (sphere.label, sphere.new, sphere.old) == (
        "Durchmesser", "61,5 mm (2 27/64 Zoll)", "60 mm (2 23/64 Zoll)",
    )  # fmt: skip
    assert "– Durchmesser: 61,5 mm (2 27/64 Zoll), nicht 60 mm" in plain(
        PAPERS["description.txt"](other)
    )


def test_words_of_the_tool_beside_a_corrected_figure_are_the_papers_own(folder: Path) -> None:
    """Of a grooved ball: seats, and how a round of marks closes."""
    design, base = folder / "lobed-globe.yaml", folder / "globe.yaml"
    text = base.read_text("utf-8")
    base.write_text(text.replace("hedge oil (invented, like its label)", "nut oil"), "utf-8")
    publish(design)
    base.write_text(text.replace("diameter: 60 mm", "diameter: 58.5 mm"), "utf-8")
    assert correct(design, "measured anew", as_json=False, today=DAY) == 0
    other = open_episode(design, language="de")
    (told,) = other.corrections
    by_name = {one.name: one for one in told.changes}
    seats = [one for name, one in by_name.items() if name.startswith("grooves.seat_48mm")]
    assert seats
    for one in seats:
        for said in (one.old, one.new):
            assert re.fullmatch(r"\d+ %, Lücke [\d,]+°: (?:hält|schwach)", said), one
    closing = by_name["index.closing"].old
    assert closing == "0,34 mm zu weit (0,02 Zoll zu weit)"
    # what the turner has no German for stays, and those words alone are told to be no German
    product = by_name["finish.product"]
    assert other.as_recorded == {product.old}
    assert product.label == "Oberfläche"
    assert product.new == "Heckenöl (erfunden, wie sein Etikett)"
    page = plain(PAPERS["handout.html"](other))
    assert f'nicht <s class="figure"><span lang="en-GB">{product.old}</span></s>' in page


def labels(episode: Episode) -> dict[str, str]:
    """What each figure of a design is called when it stands among corrections."""
    now, tables = todays(episode.table), families(episode.schedules, episode.table)
    with speaking(episode.language):
        return {
            name: in_its_row(name, one.label, now, tables, episode.schedules)
            for name, one in now.items()
        }


@pytest.mark.parametrize("name", ["lobed-globe", "crowned-globe"])
def test_what_a_withdrawn_figure_was_called_is_found_in_the_other_language(
    folder: Path, name: str
) -> None:
    """Of a figure that is there no more nothing of today tells it: every label, both ways."""
    own = open_episode(folder / f"{name}.yaml")
    other = open_episode(folder / f"{name}.yaml", language="de", first=own)
    english, german = labels(own), labels(other)
    assert any("(" in one for one in english.values())
    with speaking("de"):
        to_german = Reprint(ENGLISH)
        found = {one: to_german.label(english[one]) for one in english}
    lacking = {one for one in found if found[one] is None}
    # named by the turner, or after a part that the turner named
    assert lacking <= {"value.glue_time", "finial.hole", "cap.hole", "stock.wood_2", "stock.wood_3"}
    assert {one: found[one] for one in found if one not in lacking} == {
        one: label for one, label in german.items() if one not in lacking
    }
    to_english = Reprint(language_of("de"))
    for one, label in german.items():
        told = to_english.label(label)
        # what names a row may begin with a capital
        assert told is None or told.casefold() == english[one].casefold(), one
        if any(table.holds(one) for table in families(own.schedules, own.table)):
            assert told == english[one]


TAPER = "{shape: taper, length: 24 mm, end: 5 mm}"
FILLET = "{shape: fillet, length: 2 mm, diameter: 20 mm}"


def corrected(design: Path, *changes: tuple[str, str]) -> None:
    text = design.read_text("utf-8")
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    design.write_text(text, "utf-8")
    assert correct(design, "measured anew", as_json=False, today=DAY) == 0


def test_an_older_corrections_row_is_called_as_it_was_told(folder: Path) -> None:
    design = folder / "crowned-globe.yaml"
    publish(design)
    corrected(design, (FILLET, FILLET.replace("20 mm", "20.4 mm")))
    longer = TAPER.replace("24 mm, end: 5 mm", "12 mm, end: 4.2 mm")
    corrected(design, (TAPER, f"{longer}\n      - {TAPER.replace('24 mm', '14 mm')}"))
    own, other = open_episode(design), open_episode(design, language="de")
    (english,), (german,) = (
        [
            one
            for one in episode.corrections[0].changes
            if ".diameter_" in one.name and (" at 55 mm" in one.label or "bei 55 mm" in one.label)
        ]
        for episode in (own, other)
    )
    assert "(fillet at 55 mm" in english.label
    assert german.label == "Fertiger Durchmesser dort (Plättchen bei 55 mm (2 11/64 Zoll))"
    assert german.new.startswith("20,4 mm")


def test_a_withdrawn_row_and_a_step_are_called_in_the_papers_own_language(folder: Path) -> None:
    design = folder / "crowned-globe.yaml"
    publish(design)
    bead = "      - {shape: bead, length: 7 mm, crown: 14 mm, start: 8 mm, end: 8 mm}\n"
    corrected(design, (bead, ""), ("{{ finial.tenon }}, {{", "{{ finial.hole }}, {{"))
    other = open_episode(design, language="de")
    (told,) = other.corrections
    labels = [one.label for one in told.changes if not one.new]
    assert any("Messstelle, vom freien Ende (Scheitel des Rundstabs bei 34 mm" in one
               for one in labels)  # fmt: skip
    (step,) = [one.label for one in told.changes if one.name == "step:turn-finial:do"]
    title = next(plain(one.title) for one in other.steps if one.id == "turn-finial")
    assert step == f"Schritt „{title}“, Anleitung"
    assert not [one.label for one in told.changes if one.label in other.as_recorded]


def test_what_a_part_was_called_is_never_guessed(folder: Path) -> None:
    """The catalogue has a ring cut into a ball; a part of that name is none."""
    design = folder / "crowned-globe.yaml"
    text = design.read_text("utf-8")
    assert text.count("\n  finial:\n") == 1
    design.write_text(text.replace("\n  finial:\n", "\n  finial:\n    title: Ring\n"), "utf-8")
    with speaking("de"):
        assert Reprint(ENGLISH).text("Ring") == "Rille"
    publish(design)
    corrected(design, ("title: Ring", "title: Collar"), (FILLET, FILLET.replace("20 mm", "21 mm")))
    (told,) = open_episode(design, language="de").corrections
    (title,) = [one for one in told.changes if one.name == "finial.title"]
    assert (title.old, title.new) == ("Ring", "Collar")


def test_a_part_is_called_as_it_was_in_labels_too() -> None:
    """A hole for a part called Ring is none for a ring of a ball."""
    with speaking("de"):
        reprint = Reprint(ENGLISH, [("Cap", "Kappe"), ("Drop", "Tropfen")])
        assert reprint.text("ring") is not None
        assert reprint.label("Hole for ring") is None
        assert reprint.label("Hole for cap") == "Bohrung für Kappe"
        assert reprint.text("the free end of ring") is None
        assert reprint.text("the free end of drop") == "das freie Ende von Tropfen"
    with speaking("en"):
        reprint = Reprint(language_of("de"), [("Kappe", "Cap")])
        assert reprint.label("Bohrung für Kappe") == "Hole for cap"
