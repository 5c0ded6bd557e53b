"""Takes in the design give the film's times; what contradicts itself is told with its line."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from studio.episode.assemble import open_episode
from studio.episode.times import SaidSentence, StepTimes, Times, as_text, script_digest, times_file

Edit = Callable[[Path, str, str], Path]
FaultsOf = Callable[[Path], list[str]]

# (out - in) / speed of each take in tests/conftest.py, added up by hand
STARTS = {
    "rough": 0,
    "mark-octagon": 1500,
    "cut-octagon": 3520,
    "second-round": 4720,
    "index": 5720,
    "sand": 6720,
    "hang": 7577,
}
LENGTH = 8827


def test_steps_and_length_follow_from_the_takes(takes: Path) -> None:
    episode = open_episode(takes)
    assert {step.id: step.start_ms for step in episode.steps} == STARTS
    assert [step.end_ms for step in episode.steps] == [*list(STARTS.values())[1:], LENGTH]
    assert episode.length_ms == LENGTH
    assert episode.cut is not None
    joined = list(zip(episode.cut.takes, episode.cut.takes[1:], strict=False))
    assert all(before.end_ms == after.start_ms for before, after in joined)
    assert [take.step_id for take in episode.cut.takes][1:4] == [
        "mark-octagon", "mark-octagon", "cut-octagon",
    ]  # fmt: skip
    assert all(cue.end_ms <= LENGTH for cue in episode.cues)
    assert episode.cues


def test_chapters_captions_and_overlays_follow_a_changed_take(takes: Path, edit: Edit) -> None:
    """A take that is nine seconds longer moves everything behind it by as much."""
    before = open_episode(takes)
    after = open_episode(edit(takes, "out: 0:02.5}", "out: 0:11.5}"))
    assert [step.start_ms for step in after.steps][1:] == [
        step.start_ms + 9000 for step in before.steps[1:] if step.start_ms is not None
    ]
    assert after.length_ms == LENGTH + 9000
    index = {card.step_id: card.start_ms for card in after.cards}
    assert all(at is not None and at >= 9000 for step, at in index.items() if step != "rough")


def test_fractions_of_a_millisecond_do_not_add_up(takes: Path, edit: Edit) -> None:
    """Twelve takes of 1/7 s: 1.714 s, where rounded ones would make 1.716 s."""
    text = takes.read_text(encoding="utf-8")
    line = "    - {step: rough, in: 0:01, out: 0:02.5}\n"
    more = "    - {in: 0:01, out: 0:02, speed: 7}\n" * 12
    takes.write_text(text.replace(line, line + more), encoding="utf-8")
    episode = open_episode(takes)
    assert episode.cut is not None
    # 1500, 1642.857, 1785.714, 1928.571
    assert [take.end_ms for take in episode.cut.takes[:4]] == [1500, 1643, 1786, 1929]
    assert episode.steps[1].start_ms == 1500 + 1714


FAULTS = [
    # (what to replace, with what, what the fault must say)
    ("in: 0:01, out: 0:02.5", "in: 0:03, out: 0:02.5", ["film.takes[1].out", "ends at 0:02.5"]),
    ("in: 0:01, out: 0:02.5", "in: 0:01, out: 0:01.02", ["film.takes[1].out", "less than 0.1 s"]),
    ("in: 0:01, out: 0:02.5", "out: 0:02.5", ["film.takes[1].in", "missing", "in: 0:12"]),
    ("in: 0:01, out: 0:02.5", "in: 1, out: 0:02.5", ["film.takes[1].in", "not a time"]),
    ("speed: 7x", "spede: 7x", ["'spede'", "did you mean speed?", "step, camera, in, out, speed"]),
    ("camera: bench, in", "camera: bnech, in", ["film.takes[3].camera", "did you mean bench?"]),
    ("step: sand,", "step: sandd,", ["film.takes[7].step", "did you mean sand?"]),
    ("step: index, in", "step: rough, in", ["film.takes[6].step", "begins with take 1 already"]),
    ("step: index, in", "in", ["film.takes", "no take begins step 'index'"]),
    ("speed: 7x", "speed: 65", ["film.takes[7].speed", "from 0.25 to 64"]),
    ("speed: 7x", "speed: 0.2", ["film.takes[7].speed", "from 0.25 to 64"]),
    ("speed: 7x", "speed: fast", ["film.takes[7].speed", "'fast'"]),
    ("top: top.mp4", "top: ../top.mp4", ["film.cameras.top", "file's name alone"]),
    ("top: top.mp4", "top: sub/top.mp4", ["film.cameras.top", "--footage"]),
    ("top: top.mp4", "top: bench.mp4", ["film.cameras.top", "recording of bench already"]),
    ("apart: [detail]", "apart: [bench]", ["film.apart[1]", "clock counts"]),
    ("apart: [detail]", "apart: [detial]", ["film.apart[1]", "did you mean detail?"]),
    ("apart: [detail]", "sound: tpo", ["film.sound", "did you mean top?"]),
    ("apart: [detail]", "length: 0:20", ["film.length", "0:20 is typed", "0:08.827"]),
    ("apart: [detail]", "marks: {sand: 0:06}", ["film.marks.sand", "take 7 begins this step"]),
    ("apart: [detail]", "claps: {tpo: 0:03}", ["film.claps.tpo", "did you mean top?"]),
    ("apart: [detail]", "claps: {top: [0:03, 0:09]}", ["film.claps.top", "none for bench"]),
    ("apart: [detail]", "claps: {bench: [0:04, 0:09], top: [0:09, 0:03]}", ["in order"]),
    ("apart: [detail]", "claps: {bench: [0:01, 0:02, 0:03]}", ["film.claps.bench", "two claps"]),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "said"), FAULTS)
def test_a_fault_is_told_where_it_stands(
    takes: Path, edit: Edit, faults_of: FaultsOf, old: str, new: str, said: list[str]
) -> None:
    if "apart" in old and "apart" not in new:
        edit(takes, "camera: detail", "camera: bench")
    edit(takes, old, new)
    faults = faults_of(takes)
    assert len(faults) == 1, faults
    assert faults[0].startswith(f"{takes}:")
    line = int(faults[0].removeprefix(f"{takes}:").split(":")[0])
    text = takes.read_text(encoding="utf-8").splitlines()
    told = text[line - 1]
    # a step that nothing begins has no line of its own
    assert new in told or (new == "in" and "step: rough" in told)
    for piece in said:
        assert piece in faults[0]


def test_takes_in_another_order_than_the_steps_are_told(takes: Path, faults_of: FaultsOf) -> None:
    text = takes.read_text(encoding="utf-8")
    swapped = text.replace("step: sand,", "step: x,").replace("step: hang,", "step: sand,")
    takes.write_text(swapped.replace("step: x,", "step: hang,"), encoding="utf-8")
    (fault,) = faults_of(takes)
    assert "film.takes[8].step: sand comes before hang" in fault


def test_no_more_takes_than_a_film_holds(takes: Path, edit: Edit, faults_of: FaultsOf) -> None:
    edit(takes, "  takes:\n", "  takes:\n" + "    - {in: 0:01, out: 0:02}\n" * 500)
    (fault,) = faults_of(takes)
    assert "508 entries" in fault
    assert "at most 500" in fault


def test_a_length_that_agrees_may_stand(takes: Path, edit: Edit) -> None:
    assert (
        open_episode(edit(takes, "apart: [detail]", "apart: [detail]\n  length: 0:09")).length_ms
        == LENGTH
    )


def test_a_step_within_a_take_may_have_a_mark(takes: Path, edit: Edit) -> None:
    edit(takes, "step: mark-octagon, camera", "camera")
    edit(takes, "apart: [detail]", "apart: [detail]\n  marks: {mark-octagon: 0:02}")
    assert open_episode(takes).steps[1].start_ms == 2000


def test_a_cousin_makes_its_own_film(takes: Path) -> None:
    """Takes are of one film; a design based on this one begins with none."""
    cousin = takes.with_name("cousin.yaml")
    cousin.write_text("based_on: globe.yaml\ntitle: Another\n", encoding="utf-8")
    assert open_episode(cousin).cut is None
    text = "  cameras: {one: one.mp4}\n  takes:\n    - {in: 0:00, out: 1:00}\n"
    marks = "".join(f"    {step}: 0:{10 + 5 * place}\n" for place, step in enumerate(STARTS))
    cousin.write_text(
        f"based_on: globe.yaml\ntitle: Another\nfilm:\n{text}  marks:\n{marks}", encoding="utf-8"
    )
    episode = open_episode(cousin)
    assert episode.length_ms == 60_000
    assert episode.steps[0].start_ms == 10_000


def test_times_of_another_cut_are_left_aside_with_a_note(takes: Path) -> None:
    episode = open_episode(takes)
    first = episode.steps[0]
    said = SaidSentence(text="Turn.", start_ms=100, end_ms=400, confidence=1, words=((100, 400),))
    times = Times(
        source="rough.mp4",
        length_ms=LENGTH,
        film_ms=LENGTH,
        steps={
            first.id: StepTimes(
                id=first.id, digest=script_digest(first.aloud), start_ms=100, end_ms=400,
                confidence=1, sentences=(said,),
            )
        },
    )  # fmt: skip
    times_file(takes).write_text(as_text(times), encoding="utf-8")
    fresh = open_episode(takes)
    assert not any("left aside" in note for note in fresh.notes)
    assert fresh.steps[0].start_ms == 0, "a take goes before the voice"
    # a recorder is switched off when it pleases
    recorder = replace(times, length_ms=LENGTH + 5000)
    times_file(takes).write_text(as_text(recorder), encoding="utf-8")
    assert not any("left aside" in note for note in open_episode(takes).notes)
    stale = replace(times, film_ms=LENGTH + 5000)
    times_file(takes).write_text(as_text(stale), encoding="utf-8")
    told = [note for note in open_episode(takes).notes if "left aside" in note]
    assert told == [
        "rough.mp4 was timed for a film of 0:13.83 and the takes make 0:08.827: its times are "
        "left aside; run studio cut and studio time again"
    ]
