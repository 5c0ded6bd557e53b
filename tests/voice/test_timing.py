"""The whole way from a recording to times, against what the synthesiser reports."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from studio import cli
from studio.episode.assemble import open_episode
from studio.episode.records import Episode
from studio.episode.times import read_times
from studio.errors import BadInput
from studio.voice.espeak import AMERICAN, BRITISH
from studio.voice.script import script_of
from studio.voice.timing import Timing, time_captions, time_voice


@pytest.fixture
def drop(folder: Path) -> Path:
    """A shipped design that the thresholds were not chosen on."""
    return folder / "twelve-lobe-drop.yaml"


def errors(timing: Timing, truth: dict[int, float]) -> np.ndarray:
    """How far each word's start is off, in seconds; a word without a time counts as far off."""
    found = [word for step in timing.times.steps.values() for word in step.words]
    return np.array([abs(found[n][0] / 1000 - at) if found[n] else 99.0 for n, at in truth.items()])


def words_per_minute(episode: Episode, truth: dict[int, float]) -> float:
    """By the synthesiser: within sentences, from where each begins to where its last word does.

    A sentence's last word is spoken more slowly than the others, so this is a little too much.
    """
    sentences = [
        [truth[place] for place in range(one.first, one.stop) if place in truth]
        for one in script_of(episode.steps).sentences
    ]
    words = sum(len(begins) - 1 for begins in sentences if begins)
    return words * 60 / sum(begins[-1] - begins[0] for begins in sentences if begins)


@pytest.mark.parametrize(
    ("voice", "noise", "within", "share"),
    [
        (AMERICAN, "", 0.15, 0.95),
        (BRITISH, "", 0.15, 0.95),
        (AMERICAN, "lathe", 0.3, 0.9),
        (BRITISH, "lathe", 0.3, 0.9),
        (AMERICAN, "white", 0.3, 0.9),
    ],
)
def test_words_begin_where_the_synthesiser_says(
    drop: Path, say: Callable, voice: str, noise: str, within: float, share: float
) -> None:
    episode = open_episode(drop)
    spoken = say(episode, voice=voice, noise=noise, words_per_minute=165)
    timing = time_voice(episode, spoken.file)
    off = errors(timing, spoken.words)
    assert len(off) > 150
    assert (off <= within).mean() >= share
    assert not timing.moved
    assert timing.times.length_ms == pytest.approx(spoken.length * 1000, abs=30)
    true_pace = words_per_minute(episode, spoken.words)
    assert timing.times.pace.words_per_minute == pytest.approx(true_pace, rel=0.08)


def test_what_was_left_out_moved_and_added_is_told(drop: Path, say: Callable) -> None:
    episode = open_episode(drop)
    script = script_of(episode.steps)
    order: list[int | str] = list(range(len(script.sentences)))
    dropped, early, late = 3, 7, 10
    order[early], order[late] = order[late], order[early]
    order.remove(dropped)
    aside = "By the way, my neighbour came in yesterday and asked about the old apple tree."
    order.insert(5, aside)
    spoken = say(episode, order)
    timing = time_voice(episode, spoken.file)
    assert [text for _, text in timing.left_out] == [script.sentences[dropped].text]
    moved = {text for _, text, _ in timing.moved}
    assert moved <= {script.sentences[n].text for n in range(early, late + 1)}
    assert moved & {script.sentences[n].text for n in (early, late)}
    off = errors(timing, spoken.words)
    assert (off <= 0.15).mean() >= 0.95
    assert len(timing.asides) == 1
    assert not timing.is_complete


def test_a_step_that_was_not_said_asks_for_a_mark(drop: Path, say: Callable) -> None:
    episode = open_episode(drop)
    script = script_of(episode.steps)
    order = [n for n, one in enumerate(script.sentences) if one.step != "sand"]
    timing = time_voice(episode, say(episode, order).file)
    assert timing.unsure == ("sand",)
    assert "under film: marks: the line sand:" in timing.notes()[0]


def test_one_piece_that_cannot_be_heard_leaves_the_others(drop: Path, say: Callable) -> None:
    """A router runs over the voice for four seconds."""
    import wave

    episode = open_episode(drop)
    spoken = say(episode)
    with wave.open(str(spoken.file)) as file:
        rate = file.getframerate()
        samples = np.frombuffer(file.readframes(file.getnframes()), np.int16).copy()
    low, high = 20.0, 24.0
    loud = np.random.default_rng(1).standard_normal(int(rate * (high - low))) * 9000
    samples[int(low * rate) : int(low * rate) + len(loud)] = np.clip(loud, -32768, 32767)
    with wave.open(str(spoken.file), "wb") as file:
        file.setparams((1, 2, rate, 0, "NONE", ""))
        file.writeframes(samples.tobytes())
    timing = time_voice(episode, spoken.file)
    outside = {n: at for n, at in spoken.words.items() if not low - 3 < at < high + 3}
    assert (errors(timing, outside) <= 0.15).mean() >= 0.95


def test_a_recording_that_begins_later_in_the_film(drop: Path, say: Callable) -> None:
    episode = open_episode(drop)
    spoken = say(episode, list(range(6)))
    early = time_voice(episode, spoken.file)
    later = time_voice(episode, spoken.file, begins_ms=12_000)
    first = next(iter(early.times.steps))
    assert later.times.steps[first].start_ms == early.times.steps[first].start_ms + 12_000
    assert later.times.length_ms == early.times.length_ms + 12_000
    # six sentences tell how fast somebody speaks
    true_pace = words_per_minute(episode, spoken.words)
    assert early.times.pace.words_per_minute == pytest.approx(true_pace, rel=0.08)


def test_a_recording_that_was_begun_before_the_film(drop: Path, say: Callable) -> None:
    """What was said before the film's first picture is not in the film."""
    episode = open_episode(drop)
    script = script_of(episode.steps)
    spoken = say(episode, range(8))
    # the film begins in the pause before the third sentence
    skipped = round(1000 * spoken.sentences[2]) - 150
    timing = time_voice(episode, spoken.file, begins_ms=-skipped)
    assert timing.times.length_ms == pytest.approx(1000 * spoken.length - skipped, abs=1500)
    said = [one for step in timing.times.steps.values() for one in step.sentences]
    assert [one.start_ms for one in said[:2]] == [None, None]
    for number in range(2, 8):
        true = 1000 * spoken.sentences[number] - skipped
        assert said[number].start_ms == pytest.approx(true, abs=300), script.sentences[number].text
    with pytest.raises(BadInput, match="the film begins 99"):
        time_voice(episode, spoken.file, begins_ms=-99_000_000)


def test_captions_that_begin_before_the_film(folder: Path) -> None:
    """Every caption three seconds earlier, and none before the film's first picture."""
    episode = open_episode(folder / "globe.yaml")
    script = script_of(episode.steps)
    captions = folder / "said.srt"
    captions.write_text(
        "\n".join(
            f"{n + 1}\n00:{5 * n // 60:02d}:{5 * n % 60:02d},000 --> "
            f"00:{5 * n // 60:02d}:{5 * n % 60 + 4:02d},000\n{one.text}\n"
            for n, one in enumerate(script.sentences)
        ),
        encoding="utf-8",
    )
    timing = time_captions(episode, captions, begins_ms=-7_000)
    said = [one for step in timing.times.steps.values() for one in step.sentences]
    assert said[0].start_ms is None
    assert [one.start_ms for one in said[2:]] == [5000 * n - 7000 for n in range(2, len(said))]
    assert min(word[0] for one in said for word in one.words if word is not None) >= 0
    with pytest.raises(BadInput, match="they end before"):
        time_captions(episode, captions, begins_ms=-99_000_000)


def test_captions_are_matched_by_their_words(folder: Path) -> None:
    """SubRip of the shipped marks, typed again by another hand: other breaks, other figures."""
    path = folder / "globe.yaml"
    episode = open_episode(path)
    marks = {step.id: step.start_ms for step in episode.steps}
    lines = []
    for number, step in enumerate(episode.steps, 1):
        at = step.start_ms // 1000
        said = step.say.translate({0xE000: None, 0xE001: "|", 0xE002: None})
        text = " ".join(part.rpartition("|")[2] for part in said.split())
        begin, end = (f"00:{one // 60:02d}:{one % 60:02d}" for one in (at, at + 8))
        lines.append(f"{number}\n{begin},000 --> {end},500\n{text}\n")
    captions = folder / "said.srt"
    captions.write_text("\n".join(["0\n00:00:00,000 --> 00:00:00,000\n", *lines]), "utf-8")
    timing = time_captions(episode, captions)
    found = {step.id: step.start_ms for step in timing.times.steps.values()}
    for step, at in marks.items():
        assert found[step] == pytest.approx(at, abs=300)


def test_the_command_writes_times_that_the_next_build_uses(
    globe: Path, say: Callable, capsys: pytest.CaptureFixture[str]
) -> None:
    text = globe.read_text(encoding="utf-8")
    globe.write_text(text[: text.index("  marks:\n")].replace("  length: 1:44\n", ""), "utf-8")
    episode = open_episode(globe)
    assert not episode.cues
    spoken = say(episode)
    assert cli.main(["time", str(globe), "--voice", str(spoken.file), "--json"]) == 0
    said = json.loads(capsys.readouterr().out)
    timed = open_episode(globe)
    starts = {step.id: step.start_ms for step in timed.steps}
    assert starts == {step["id"]: step["start_ms"] for step in said["steps"]}
    script = script_of(timed.steps)
    for number, sentence in enumerate(script.sentences):
        if sentence.first and script.sentences[number - 1].step == sentence.step:
            continue
        assert starts[sentence.step] / 1000 == pytest.approx(spoken.sentences[number], abs=0.3)
    for before, after in zip(timed.cues, timed.cues[1:], strict=False):
        assert before.end_ms <= after.start_ms
    assert cli.main(["list", str(globe.parent)]) == 0


def test_a_file_changed_by_hand_is_kept(
    globe: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    captions = tmp_path / "c.vtt"
    episode = open_episode(globe)
    text = "WEBVTT\n"
    for step in episode.steps:
        at = step.start_ms // 1000
        words = " ".join(script_word for script_word in step_words(step.aloud))
        clock = f"00:{at // 60:02d}:{at % 60:02d}"
        text += f"\n{clock}.000 --> {clock}.900\n{words}\n"
    captions.write_text(text, encoding="utf-8")
    arguments = ["time", str(globe), "--captions", str(captions)]
    assert cli.main(arguments) == 0
    times = globe.with_name("globe.times.yaml")
    written = times.read_text(encoding="utf-8")
    assert cli.main(arguments) == 0
    assert not list(globe.parent.glob("*.kept-*"))
    changed = written.replace("start: 15.00", "start: 16.00")
    assert changed != written
    times.write_text(changed, encoding="utf-8")
    found = read_times(globe)
    assert found is not None
    assert found.steps["mark-octagon"].start_ms == 16_000
    capsys.readouterr()
    assert cli.main(arguments) == 0
    assert "globe.times.yaml.kept-1" in capsys.readouterr().err
    assert times.with_name("globe.times.yaml.kept-1").read_text(encoding="utf-8") == changed


def step_words(aloud: str) -> tuple[str, ...]:
    from studio.episode.times import said_words

    return said_words(aloud)


@pytest.mark.parametrize(
    ("content", "told"),
    [(None, "there is no such file"), (b"no sound at all", "cannot be read as a recording")],
)
def test_bad_recordings_are_told(
    globe: Path,
    tmp_path: Path,
    content: bytes | None,
    told: str,
    capsys: pytest.CaptureFixture[str],
) -> None:
    file = tmp_path / "voice.wav"
    if content is not None:
        file.write_bytes(content)
    assert cli.main(["time", str(globe), "--voice", str(file)]) == 2
    assert told in capsys.readouterr().err
    assert not globe.with_name("globe.times.yaml").exists()


def test_silence_is_told(globe: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    import wave

    file = tmp_path / "silence.wav"
    with wave.open(str(file), "wb") as out:
        out.setparams((1, 2, 16_000, 0, "NONE", ""))
        out.writeframes(bytes(16_000 * 2 * 5))
    assert cli.main(["time", str(globe), "--voice", str(file)]) == 2
    assert "no voice is heard" in capsys.readouterr().err
