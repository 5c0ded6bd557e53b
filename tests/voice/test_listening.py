"""Slips of the tongue by ear: a few sentences here; rates are measured by tests/bench/listening.py.

The voice is eSpeak NG's, the ear PocketSphinx's. Number words are checked against num2words.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from num2words import num2words

from studio.episode.assemble import open_episode
from studio.episode.times import as_text, said_words, times_file
from studio.voice.espeak import BRITISH
from studio.voice.grammar import Chooser
from studio.voice.listening import figures_of, listen
from studio.voice.recognise import Setting, dictionary
from studio.voice.script import script_of
from studio.voice.slips import right_ways, slips
from studio.voice.sound import prepared, read_sound
from studio.voice.timing import time_voice


def words_of(number: float) -> tuple[str, ...]:
    return said_words(num2words(number, lang="en_GB"))


@pytest.mark.parametrize(
    ("printed", "others"),
    [
        ("13", (30, 12, 14)),
        ("19 mm", (90, 91, 18)),
        ("2,800 rpm", (2_700, 2_900, 8_200)),
        ("17.5 mm", (18.5, 17.4, 71.5, 70.5, 175)),
        ("1.62 mm", (1.26, 1.61, 2.62)),
        ("22 AWG", (21, 23, 24)),
    ],
)
def test_other_numbers_are_listened_for(printed: str, others: tuple[float, ...]) -> None:
    (*_, unit) = said_words(right_text(printed).replace(" a minute", ""))
    tail = {"millimetres": (unit,), "revolutions": (unit, "a", "minute"), "gauge": (unit,)}
    found = slips(printed)
    for other in others:
        assert (*words_of(other), *tail.get(unit, ())) in found


def right_text(printed: str) -> str:
    return " ".join(right_ways(printed)[0])


def test_other_fractions_units_papers_and_figures_are_listened_for() -> None:
    said = {" ".join(way) for way in slips("5/8 in")}
    assert {"three eighths of an inch", "seven eighths of an inch"} <= said
    assert {"five sixteenths of an inch", "five eighths of a millimetre"} <= said
    assert "two inches" in {" ".join(way) for way in slips("2 1/4 in")}
    assert "seventeen point five inches" in {" ".join(way) for way in slips("17.5 mm")}
    assert "p two twenty" in {" ".join(way) for way in slips("P180")}
    assert {("hexagon",), ("hexadecagon",)} <= set(slips("octagon"))
    assert slips("sycamore") == ()


def test_no_right_way_counts_as_a_slip(folder: Path) -> None:
    for path in sorted(folder.glob("*-globe.yaml")):
        for measurement in open_episode(path).table.values():
            both = set(slips(measurement.text)) & set(right_ways(measurement.text))
            assert not both, measurement.name


def test_each_marked_figure_stands_where_its_words_do(folder: Path) -> None:
    episode = open_episode(folder / "crowned-globe.yaml")
    script = script_of(episode.steps)
    found = figures_of(episode, script)
    named = [one for figures in found for one in figures if one.name]
    assert len(named) == sum(step.aloud.count("\ue000") for step in episode.steps)
    for sentence, figures in zip(script.sentences, found, strict=True):
        for figure in figures:
            assert sentence.words[figure.first : figure.stop] == figure.right[0]
    octagon = next(one for figures in found for one in figures if one.right[0] == ("octagon's",))
    assert ("hexagon's",) in octagon.wrong


def test_the_second_system_is_listened_for_too(folder: Path) -> None:
    design = folder / "globe.yaml"
    text = design.read_text(encoding="utf-8")
    asked = text.replace("{{ sphere.set_in }}", "{{ sphere.set_in.both }}")
    assert asked != text
    design.write_text(asked, encoding="utf-8")
    episode = open_episode(design)
    script = script_of(episode.steps)
    table = episode.table["sphere.set_in"]
    found = [
        (sentence.words[one.first : one.stop], one)
        for sentence, figures in zip(script.sentences, figures_of(episode, script), strict=True)
        for one in figures
        if one.name == table.name
    ]
    for printed in (table.text, table.other):
        heard = [one for said, one in found if said == right_ways(printed)[0]]
        assert heard
        assert set(heard[0].wrong) == set(slips(printed))


def test_a_grammar_hears_one_of_its_ways(globe: Path, say: Callable) -> None:
    spoken = say(open_episode(globe), ["Drill twelve millimetres deep."])
    words = {"drill", "twelve", "seven", "eleven", "millimetres", "deep"}
    shipped = dictionary()
    listed = {"millimetres": ("M IH L AH M IY T ER Z",)}
    chooser = Chooser(
        Setting(tuple((word, listed.get(word) or shipped[word]) for word in sorted(words)))
    )
    samples = prepared(read_sound(spoken.file).samples)
    ways = [("seven",), ("eleven",), ("twelve",)]
    found = chooser.choose(samples, [[("drill",)], ways, [("millimetres", "deep")]])
    assert found is not None
    assert found.ways[1] == ("twelve",)
    # scores of two grammars are of one kind: what was said beats each other way
    for way in ways[:2]:
        other = chooser.choose(samples, [[("drill",)], [way], [("millimetres", "deep")]])
        assert other is None or other.score < found.score


@pytest.mark.parametrize("noise", ["", "lathe"])
def test_a_slip_is_heard_and_right_figures_are_not(globe: Path, say: Callable, noise: str) -> None:
    episode = open_episode(globe)
    script = script_of(episode.steps)
    right = script.sentences[2].text
    assert "seventeen point five millimetres" in right
    order: list[int | str] = [0, 1, right.replace("seventeen", "nineteen"), 3, 4]
    spoken = say(episode, order, voice=BRITISH, noise=noise)
    found = listen(episode, spoken.file)
    (one,) = found.otherwise
    assert one.heard == "nineteen point five millimetres"
    assert one.figure == "seventeen point five millimetres"
    assert one.line == right
    assert (one.step, one.measurement) == ("mark-octagon", "sphere.set_in")
    assert 0.5 <= one.confidence <= 1
    # the patch holds the sentence and none of its neighbours
    assert spoken.sentences[1] * 1000 < one.start_ms < one.end_ms
    assert one.end_ms < spoken.sentences[3] * 1000 + 100
    # a times file was missing, and what was not said could not be listened to
    assert any("there is no globe.times.yaml" in note for note in found.notes)
    assert found.figures == 6
    assert {step for step, _ in found.missed} == {"second-round", "index", "sand", "hang"}


def test_the_times_file_is_used_while_it_holds(
    globe: Path, say: Callable, edit: Callable[[Path, str, str], Path]
) -> None:
    episode = open_episode(globe)
    spoken = say(episode, [0, 1, 2])
    timing = time_voice(episode, spoken.file)
    file = times_file(globe)
    file.write_text(as_text(timing.times), encoding="utf-8")
    found = listen(episode, spoken.file)
    assert found.notes == ()
    assert found.otherwise == ()
    assert found.figures == 3
    edit(globe, "Turn a cylinder of", "First turn a cylinder of")
    changed = listen(open_episode(globe), spoken.file)
    assert "the narration has changed since globe.times.yaml was written" in changed.notes[0]
