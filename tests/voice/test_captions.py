"""Captions that roll up, as recognisers write them: lines said again, words stamped."""

from __future__ import annotations

import random
from collections.abc import Callable
from pathlib import Path

import pytest

from studio.episode.assemble import open_episode
from studio.episode.pace import NO_PACE
from studio.episode.times import said_words
from studio.errors import BadInput
from studio.measure.trace import plain
from studio.voice.captions import read_captions
from studio.voice.script import script_of
from studio.voice.timing import time_captions

Word = tuple[str, int, int]


def _clock(ms: int) -> str:
    return f"{ms // 3_600_000:02d}:{ms // 60_000 % 60:02d}:{ms // 1000 % 60:02d}.{ms % 1000:03d}"


def _said(design: Path, pause: Callable[[bool], int]) -> tuple[list[Word], dict[str, int]]:
    """Every word of a design's script with its start and end, and the true start of each step."""
    script = script_of(open_episode(design).steps)
    uneven = random.Random(3)
    at, words, starts = 1000, [], {}
    for number, sentence in enumerate(script.sentences):
        starts.setdefault(sentence.step, at)
        for word in sentence.words:
            long = 60 * len(word) + 80 + uneven.randint(-40, 40)
            words.append((word, at, at + long))
            at += long
        following = script.sentences[number + 1 : number + 2]
        at += pause(not following or following[0].step != sentence.step)
    return words, starts


def _rolling(words: list[Word], *, stamped: bool) -> str:
    """WebVTT of two lines that roll up, with cues of 10 ms that hold a line that is whole."""
    lines: list[list[Word]] = [[]]
    for word in words:
        if sum(len(one) + 1 for one, _, _ in lines[-1]) + len(word[0]) > 32:
            lines.append([])
        lines[-1].append(word)
    out, above = ["WEBVTT", "Kind: captions", ""], " "
    for number, line in enumerate(lines):
        start = line[0][1]
        end = lines[number + 1][0][1] if number + 1 < len(lines) else line[-1][2]
        whole = " ".join(word for word, _, _ in line)
        text = whole
        if stamped:
            text = line[0][0]
            text += "".join(f"<{_clock(at)}><c> {word}</c>" for word, at, _ in line[1:])
        for begin, stop, upper, lower in (
            (start, end - 10, above, text),
            (end - 10, end, whole, " "),
        ):
            out += [f"{_clock(begin)} --> {_clock(stop)} align:start", upper, lower, ""]
        above = whole
    return "\n".join(out)


def _pauses(seed: int) -> Callable[[bool], int]:
    choice = random.Random(seed)
    return lambda step: choice.choice([3000, 7000, 12_000] if step else [200, 900])


def test_steps_begin_at_their_words_stamps(globe: Path, tmp_path: Path) -> None:
    words, starts = _said(globe, _pauses(3))
    file = tmp_path / "auto.vtt"
    file.write_text(_rolling(words, stamped=True), encoding="utf-8")
    assert " ".join(one.text for one in read_captions(file)) == " ".join(w for w, _, _ in words)
    timing = time_captions(open_episode(globe), file)
    for step in timing.times.steps.values():
        assert step.start_ms == pytest.approx(starts[step.id], abs=10)
        assert step.confidence > 0.9
        # and a word before a pause is no longer than a word
        assert all(end - start < 1500 for start, end in filter(None, step.words))
    assert timing.is_complete


def test_a_figure_of_several_printed_words_is_one_though_each_is_stamped(
    globe: Path, tmp_path: Path
) -> None:
    episode = open_episode(globe)
    at, words, starts = 1000, [], {}
    for step in episode.steps:
        starts[step.id] = at
        for printed in plain(step.say).split():
            long = 90 * len(printed) + 200
            words.append((printed, at, at + long))
            at += long
        at += 4000
    assert "mm" in {word.strip(".,") for word, _, _ in words}
    file = tmp_path / "printed.vtt"
    file.write_text(_rolling(words, stamped=True), encoding="utf-8")
    timing = time_captions(episode, file)
    assert timing.is_complete
    for step in timing.times.steps.values():
        assert step.start_ms == pytest.approx(starts[step.id], abs=10)
        assert None not in step.words


PARTED = """steps:
  - id: turn
    title: Turn
    does: [spindle-running]
    say: "Turn a cylinder of {{ sphere.diameter }} and stay below {{ speed.rough }} all the time."
    do: Turn it.
  - id: wait
    title: Wait
    does: [nothing]
    say: "Wait {{ value.glue_time }} here. Then go on with the wire."
    do: Wait.
"""


@pytest.mark.parametrize("rest", [0, 900])
def test_a_figure_parted_between_two_captions_is_one(
    globe: Path, tmp_path: Path, rest: int
) -> None:
    """Hosts' captions break anywhere: a number ends one, and its unit begins the next at once."""
    text = globe.read_text(encoding="utf-8")
    globe.write_text(text[: text.index("steps:\n")] + PARTED, encoding="utf-8")
    episode = open_episode(globe)
    turn, wait = (plain(step.say) for step in episode.steps)
    words = f"{turn.replace('rpm', 'RPM')} {wait}".split()
    units = {"mm", "RPM", "min"}
    cues: list[list[str]] = [[]]
    for word in words:
        if word in units or word == "Wait":
            cues.append([])
        cues[-1].append(word)
    assert len(cues) == 1 + 1 + len(units)
    at, begins, out = 1000, {}, ["WEBVTT", ""]
    for cue in cues:
        begins[cue[0]] = at
        out += [f"{_clock(at)} --> {_clock(at + 300 * len(cue))}", " ".join(cue), ""]
        at += 300 * len(cue) + rest
    file = tmp_path / "parted.vtt"
    file.write_text("\n".join(out), encoding="utf-8")
    timing = time_captions(episode, file)
    assert timing.is_complete
    assert timing.changed == ()
    assert timing.times.steps["turn"].start_ms == 1000
    assert timing.times.steps["wait"].start_ms == begins["Wait"]
    assert all(None not in step.words for step in timing.times.steps.values())
    # the unit has its share of its caption: the word behind it does not begin with it
    behind = timing.times.steps["turn"].words[said_words(turn).index("all")]
    assert behind is not None
    assert behind[0] > begins["RPM"] + 100


SOUNDS = """1
00:00:01,000 --> 00:00:03,000
[SANDING NOISE] Sand it (LATHE
STARTS) with care.

2
00:00:03,500 --> 00:00:05,000
[Music]

3
00:00:05,000 --> 00:00:07,000
(sawing)
The wire (22 gauge) goes in. ♪ hum ♪

4
00:00:07,500 --> 00:00:09,000
♪ no end of it

5
00:00:09,000 --> 00:00:10,000
An open [ stays with its own caption.

6
00:00:10,000 --> 00:00:11,000
And ] so does a closed one (of course).
"""


def test_sounds_are_not_said(tmp_path: Path) -> None:
    """What captions for the deaf write besides words; a figure in parentheses is talk."""
    (tmp_path / "own.srt").write_text(SOUNDS, encoding="utf-8")
    read = read_captions(tmp_path / "own.srt")
    assert [(one.text, one.line) for one in read] == [
        ("Sand it with care.", 3),
        ("The wire (22 gauge) goes in.", 13),
        ("An open [ stays with its own caption.", 21),
        ("And ] so does a closed one (of course).", 25),
    ]


def test_a_caption_that_begins_with_a_sound_begins_its_step(globe: Path) -> None:
    episode = open_episode(globe)
    cues = [
        f"{n}\n00:{n:02d}:00,000 --> 00:{n:02d}:20,000\n[LATHE NOISE] {plain(one.aloud)}\n"
        for n, one in enumerate(episode.steps)
    ]
    file = globe.with_name("own.srt")
    file.write_text("\n".join(cues), encoding="utf-8")
    timing = time_captions(episode, file)
    assert timing.is_complete
    starts = [step.start_ms for step in timing.times.steps.values()]
    assert starts == [60_000 * n for n in range(len(cues))]


def test_no_word_lies_outside_the_captions_around_it(globe: Path) -> None:
    """The script says "revolutions a minute" where captions say revs, or "So" where they do not."""
    text = globe.read_text(encoding="utf-8")
    design = text[: text.index("steps:\n")] + SPEEDS
    globe.write_text(design, encoding="utf-8")
    file = globe.with_name("own.srt")
    file.write_text(REVS, encoding="utf-8")
    timing = time_captions(open_episode(globe), file)
    rough, sand = timing.times.steps.values()
    words = [word for word in rough.words if word is not None]
    assert len(words) == len(rough.words)
    assert words[-1][1] == rough.end_ms == 6_000
    assert words == sorted(words)
    # the sentence's end lies in the second caption, of its beginning nothing is
    assert not [word for word in sand.words if word and word[0] < 11_990 and word[1] > 11_010]
    assert (sand.start_ms, sand.end_ms) == (8_000, 14_000)


SPEEDS = """steps:
  - id: rough
    title: Rough
    does: [spindle-running]
    say: "Turn it down with care, and go no faster than {{ speed.rough }}."
    do: Turn it.
  - id: sand
    title: Sand
    does: [sanding]
    say: So sand it with care and a light hand, and go no faster than {{ speed.rough }} if you can.
    do: Sand it.
"""

REVS = """1
00:00:01,000 --> 00:00:06,000
Turn it down with care, and go no faster than 800 revs.

2
00:00:08,000 --> 00:00:11,000
Sand it with care and a light hand, and go no faster than 800

3
00:00:12,000 --> 00:00:14,000
revs if you can.
"""


@pytest.mark.parametrize("seed", range(6))
def test_a_start_reckoned_inside_a_cue_is_written_only_where_it_is_near(
    globe: Path, tmp_path: Path, seed: int
) -> None:
    words, starts = _said(globe, _pauses(seed))
    file = tmp_path / "auto.vtt"
    file.write_text(_rolling(words, stamped=False), encoding="utf-8")
    timing = time_captions(open_episode(globe), file)
    assert timing.unsure
    for step in timing.times.steps.values():
        if step.start_ms is not None:
            assert step.start_ms == pytest.approx(starts[step.id], abs=600)


def test_a_start_inside_a_cue_that_is_full_of_words_is_written(globe: Path, tmp_path: Path) -> None:
    """Nobody can pause where there is no time for it."""
    words, starts = _said(globe, lambda _: 100)
    file = tmp_path / "auto.vtt"
    file.write_text(_rolling(words, stamped=False), encoding="utf-8")
    timing = time_captions(open_episode(globe), file)
    assert not timing.unsure
    for step in timing.times.steps.values():
        assert step.start_ms == pytest.approx(starts[step.id], abs=400)


def _captions(words: list[Word], starts: dict[str, int], first: Callable[[str], str]) -> str:
    """A WebVTT cue for each step, its first word changed, and two seconds longer than the talk."""
    begins = sorted(starts.values())
    out = ["WEBVTT", ""]
    for at, beyond in zip(begins, [*begins[1:], words[-1][2] + 9000], strict=True):
        said = [word for word in words if at <= word[1] < beyond]
        text = " ".join([first(said[0][0]), *(word for word, _, _ in said[1:])])
        out += [f"{_clock(at)} --> {_clock(said[-1][2] + 2000)}", text, ""]
    return "\n".join(out)


@pytest.mark.parametrize(
    "first", [lambda word: f"so {word}", lambda _: "mumble", lambda _: "well mumble"]
)
def test_a_step_that_a_caption_opens_but_for_a_word_starts_with_it(
    globe: Path, tmp_path: Path, first: Callable[[str], str]
) -> None:
    words, starts = _said(globe, _pauses(2))
    file = tmp_path / "c.vtt"
    file.write_text(_captions(words, starts, str), encoding="utf-8")
    plain = time_captions(open_episode(globe), file).times.steps
    file.write_text(_captions(words, starts, first), encoding="utf-8")
    timing = time_captions(open_episode(globe), file)
    assert timing.unsure == ()
    for step in timing.times.steps.values():
        assert step.start_ms == pytest.approx(starts[step.id], abs=10)
        assert 0.5 <= step.confidence < plain[step.id].confidence


def test_a_word_that_may_be_the_end_of_the_step_before_opens_nothing(
    globe: Path, tmp_path: Path
) -> None:
    """The last word of a step, not understood, in one caption with the next step's first ones."""
    words, starts = _said(globe, lambda step: 7000 if step else 200)
    second = sorted(starts.values())[1]
    place = next(n for n, word in enumerate(words) if word[1] == second)
    said = [*words[: place - 1], ("mumble", *words[place - 1][1:]), *words[place:]]
    cues = [said[: place - 1], said[place - 1 :]]
    text = "\n".join(
        f"{_clock(cue[0][1])} --> {_clock(cue[-1][2])}\n{' '.join(word for word, _, _ in cue)}\n"
        for cue in cues
    )
    file = tmp_path / "c.vtt"
    file.write_text("WEBVTT\n\n" + text, encoding="utf-8")
    steps = time_captions(open_episode(globe), file).times.steps
    late = next(step for step in steps.values() if starts[step.id] == second)
    assert late.start_ms is None or late.start_ms > second - 600


CUES = {
    "three lines roll up": (
        ["one two", "one two\nthree", "one two\nthree\nfour", "three\nfour\nfive"],
        ["one two", "three", "four", "five"],
    ),
    "a line grows": (
        ["set", "set the", "set the rest", "set the rest\nclose", "close to it"],
        ["set", "the", "rest", "close", "to it"],
    ),
    "said again by the talker": (
        ["stop the lathe", "stop the lathe"],
        ["stop the lathe", "stop the lathe"],
    ),
}


@pytest.mark.parametrize("kind", CUES)
def test_every_word_is_read_once(tmp_path: Path, kind: str) -> None:
    shown, said = CUES[kind]
    file = tmp_path / "c.srt"
    file.write_text(
        "\n".join(
            f"{n}\n00:00:{2 * n:02d},000 --> 00:00:{2 * n + 2:02d},000\n{text}\n"
            for n, text in enumerate(shown, 1)
        ),
        encoding="utf-8",
    )
    found = read_captions(file)
    assert [one.text for one in found] == said
    lines = file.read_text(encoding="utf-8").splitlines()
    assert all(one.text.split()[0] in lines[one.line - 1] for one in found)


def test_stamps_that_go_back_or_stand_inside_a_word_are_passed_by(tmp_path: Path) -> None:
    file = tmp_path / "c.vtt"
    file.write_text(
        "WEBVTT\n\n00:10.000 --> 00:14.000\n"
        "mark<00:11.000> the <00:10.500>oc<00:12.000>tagon "
        "<00:13.000><c>twice</c><00:20.000> now\n",
        encoding="utf-8",
    )
    (one,) = read_captions(file)
    assert one.text == "mark the octagon twice now"
    assert list(one.stretches()) == [
        (10_000, 11_000, "mark"),
        (11_000, 13_000, "the octagon"),
        (13_000, 14_000, "twice now"),
    ]


def test_names_of_cues_notes_and_styles_are_not_said(tmp_path: Path) -> None:
    file = tmp_path / "c.vtt"
    file.write_bytes(
        b"WEBVTT\r\n\r\nNOTE not said\r\n\r\nSTYLE\r\n::cue { color: red }\r\n\r\nfirst cue\r\n"
        b"00:01.000 --> 00:02.000\r\n \r\nset it\r\n\r\nsecond cue\r\n00:03.000 --> 00:03.000\r\n"
        b"and go\r\n"
    )
    one, other = read_captions(file)
    assert (one.text, one.start_ms, one.end_ms, one.line) == ("set it", 1000, 2000, 11)
    # a cue may flash up in no time, as a rolling one's last step does
    assert (other.text, other.start_ms, other.end_ms) == ("and go", 3000, 3000)


WRONG_TIMES = {
    "seconds": (
        "00:00:75,500 --> 00:01:20,000",
        "the time 00:00:75,500 has 75 seconds, and a minute has 60",
        "write 00:01:15,500, if that moment is meant",
    ),
    "minutes, the end's": (
        "00:59:59,000 --> 00:60:01,000",
        "the time 00:60:01,000 has 60 minutes, and an hour has 60",
        "write 01:00:01,000, if that moment is meant",
    ),
    "minutes without hours": (
        "75:00.5 --> 75:03.5",
        "the time 75:00.5 has 75 minutes",
        "write 01:15:00.500, if that moment is meant",
    ),
    "backwards": (
        "00:00:03,000 --> 00:00:02,500 line:90%",
        "this caption ends at 00:00:02,500, before it begins at 00:00:03,000",
        "write an end behind 00:00:03,000",
    ),
}


@pytest.mark.parametrize("kind", WRONG_TIMES)
@pytest.mark.parametrize("ending", ["srt", "vtt"])
def test_a_time_that_cannot_be_is_refused_with_its_line(
    tmp_path: Path, kind: str, ending: str
) -> None:
    times, what, write = WRONG_TIMES[kind]
    file = tmp_path / f"c.{ending}"
    head = "WEBVTT\n\n" if ending == "vtt" else ""
    right = "00:00:00,000 --> 00:00:01,000" if ending == "srt" else "00:00.000 --> 00:01.000"
    file.write_text(f"{head}1\n{right}\nset it\n\n2\n{times}\nand go\n", encoding="utf-8")
    with pytest.raises(BadInput) as caught:
        read_captions(file)
    fault = caught.value.faults[0]
    assert (fault.file, fault.line) == (file, 8 if head else 6)
    assert fault.what.startswith(what)
    assert fault.write.startswith(write)


def test_every_time_that_cannot_be_is_told_at_once(tmp_path: Path) -> None:
    file = tmp_path / "c.vtt"
    file.write_text(
        "WEBVTT\n\n00:61.000 --> 60:00.000\nmark<00:62.500> it\n\n00:59.000 --> 00:58.999\nagain\n",
        encoding="utf-8",
    )
    with pytest.raises(BadInput) as caught:
        read_captions(file)
    assert [one.line for one in caught.value.faults] == [3, 3, 4, 6]


def test_the_last_second_of_an_hour_is_a_time(tmp_path: Path) -> None:
    file = tmp_path / "c.srt"
    file.write_text("1\n00:59:59,999 --> 01:00:00,000\ngo on\n", encoding="utf-8")
    (one,) = read_captions(file)
    assert (one.start_ms, one.end_ms) == (3_599_999, 3_600_000)


def test_words_that_captions_spread_tell_no_rate(globe: Path) -> None:
    """Two seconds a word, as a caption stands that is left on."""
    episode = open_episode(globe)
    cues = [
        f"{n}\n00:{n:02d}:00,000 --> 00:{n:02d}:59,000\n{one.text}\n"
        for n, one in enumerate(script_of(episode.steps).sentences)
    ]
    file = globe.with_name("own.srt")
    file.write_text("\n".join(cues), encoding="utf-8")
    assert time_captions(episode, file).times.pace == NO_PACE
