"""Steps found by spoken slates in talk that follows no script; the synthesiser is the truth."""

from __future__ import annotations

import json
import random
import sys
from pathlib import Path

import numpy as np
import pytest

from studio import cli
from studio.episode.assemble import open_episode
from studio.episode.stamps import stamp
from studio.episode.times import read_times
from studio.errors import BadInput
from studio.measure.speech import cardinal
from studio.measure.trace import plain
from studio.voice.espeak import AMERICAN, BRITISH, speak, unload
from studio.voice.slates import slate_of, time_slates

sys.path.insert(0, str(Path(__file__).parent))
from conftest import mixed, write_wave

# invented talk; none of it stands in the demo's designs
TALK = (
    "I found this piece behind the shed last winter and nearly burnt it.",
    "You can hear when the edge stops cutting, it sounds like paper.",
    "My first one of these went straight through the wall, so go easy.",
    "If yours looks different, that is fine, they all do.",
    "There are three things that I look at before I go on.",
    "I took one step back here to let you see it better.",
    "The next step is the one that people ask about the most.",
    "Some of you wrote to me about this, thank you for that.",
    "It took me about two hours, with a pot of tea in the middle.",
    "This is the part that I like best, because it finally looks like something.",
)


def recording(
    path: Path, announced: list[str], *, voice: str, noise: str, seed: int, talk: int = 1
) -> tuple[Path, list[float]]:
    """Slates with sentences of talk behind each; returns when each slate truly begins."""
    unload()
    chance = random.Random(seed)
    blocks: list[np.ndarray] = []
    starts: list[float] = []
    at, rate = 0, 22_050
    for slate in announced:
        starts.append(at / rate)
        for text in (f"{slate}.", *(chance.choice(TALK) for _ in range(talk))):
            samples, rate, _ = speak(text, voice=voice, words_per_minute=150)
            pause = np.zeros(int(rate * chance.uniform(0.4, 1.2)), np.int16)
            blocks += [samples, pause]
            at += len(samples) + len(pause)
    whole = np.concatenate(blocks)
    return write_wave(path, mixed(whole, noise, 10.0, rate) if noise else whole, rate), starts


@pytest.mark.parametrize(
    ("voice", "noise"), [(AMERICAN, ""), (BRITISH, ""), (BRITISH, "lathe"), (AMERICAN, "white")]
)
def test_slates_give_the_steps(globe: Path, tmp_path: Path, voice: str, noise: str) -> None:
    episode = open_episode(globe)
    count = len(episode.steps)
    said = [f"Step {cardinal(n)}" for n in range(1, count + 1)]
    # in noise one recording says little: white noise hides a slate now and then
    seeds = (3, 4) if noise else (3,)
    timed = 0
    for seed in seeds:
        file, truth = recording(tmp_path / "talk.wav", said, voice=voice, noise=noise, seed=seed)
        found = time_slates(episode, file, begins_ms=2_000)
        starts = [step.start_ms for step in found.times.steps.values()]
        right = [
            start is not None and abs(start / 1000 - 2 - at) <= 0.3
            for start, at in zip(starts, truth, strict=True)
        ]
        # a start that is written and wrong is worse than a mark that is asked for: there is none
        assert all(good for good, start in zip(right, starts, strict=True) if start is not None)
        timed += sum(right)
        asked = [n for n, start in enumerate(starts) if start is None]
        assert list(found.unsure) == [episode.steps[n].id for n in asked]
    assert timed >= (0.7 if noise else 1) * count * len(seeds)


@pytest.mark.parametrize("noise", ["", "white"])
def test_talk_without_slates_gives_none(globe: Path, tmp_path: Path, noise: str) -> None:
    """A minute of talk in which “step” and numbers are said, though no slate."""
    episode = open_episode(globe)
    plain_talk = ["And now for something else"] * 6
    file, _ = recording(
        tmp_path / "talk.wav", plain_talk, voice=AMERICAN, noise=noise, seed=8, talk=2
    )
    found = time_slates(episode, file)
    assert [step.start_ms for step in found.times.steps.values()] == [None] * len(episode.steps)
    assert len(found.unsure) == len(episode.steps)


def test_own_words_titles_and_a_missing_slate(globe: Path, tmp_path: Path) -> None:
    """“Chapter one” for the first, the second's title alone, none for the third."""
    episode = open_episode(globe)
    titles = [plain(step.title) for step in episode.steps]
    said = [f"Chapter {cardinal(n)}" for n in range(1, len(titles) + 1)]
    said[1] = titles[1]
    missing = episode.steps[2].id
    del said[2]
    file, truth = recording(tmp_path / "talk.wav", said, voice=AMERICAN, noise="", seed=5)
    found = time_slates(episode, file, "chapter")
    steps = list(found.times.steps.values())
    assert found.unsure == (missing,)
    heard = [step.start_ms / 1000 for step in steps if step.start_ms is not None]
    assert heard == pytest.approx(truth, abs=0.3)
    # a title alone is believed less than a slate
    assert steps[1].confidence < steps[0].confidence


def test_a_slate_said_twice_asks_for_a_mark(globe: Path, tmp_path: Path) -> None:
    episode = open_episode(globe)
    said = [f"Step {cardinal(n)}" for n in (1, 2, 2, *range(3, len(episode.steps) + 1))]
    file, _ = recording(tmp_path / "talk.wav", said, voice=AMERICAN, noise="", seed=6)
    found = time_slates(episode, file)
    assert found.unsure == (episode.steps[1].id,)
    assert "announced more than once, at 0:" in found.told[0]


def test_the_command_listens_for_slates(
    globe: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = globe.read_text(encoding="utf-8")
    globe.write_text(text[: text.index("  marks:\n")].replace("  length: 1:44\n", ""), "utf-8")
    episode = open_episode(globe)
    said = [f"Step {cardinal(n)}" for n in range(1, len(episode.steps) + 1)]
    file, truth = recording(tmp_path / "talk.wav", said, voice=AMERICAN, noise="", seed=3)
    # nothing of the narration is said: slates are listened for without being asked
    assert cli.main(["time", str(globe), "--voice", str(file), "--json"]) == 0
    out = json.loads(capsys.readouterr().out)
    assert [step["start_ms"] / 1000 for step in out["steps"]] == pytest.approx(truth, abs=0.3)
    assert any("spoken slates" in note for note in out["notes"])
    timed = open_episode(globe)
    assert [step.start_ms for step in timed.steps] == [step["start_ms"] for step in out["steps"]]
    assert timed.cues


LEADS = ("So now let's {}", "Okay, next we are going to {} and then have a look at it")


@pytest.mark.parametrize(("lead", "voice"), [(LEADS[0], AMERICAN), (LEADS[1], BRITISH)])
def test_a_title_inside_a_sentence_is_a_place_to_look_at(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], lead: str, voice: str
) -> None:
    """No start is made of it, but the note tells when it was said, and so does the next build."""
    design = folder / "free.yaml"
    design.write_text(FREE, encoding="utf-8")
    titles = [plain(step.title) for step in open_episode(design).steps]
    said = [lead.format(title.lower()) for title in titles]
    file, truth = recording(tmp_path / "talk.wav", said, voice=voice, noise="", seed=4, talk=2)
    assert cli.main(["time", str(design), "--voice", str(file)]) == 1
    told = capsys.readouterr().err
    assert "where the steps' titles seem to be said" in told
    assert "right recording" not in told
    times = read_times(design)
    assert times is not None
    places = [step.maybe_ms for step in times.steps.values()]
    assert [step.start_ms for step in times.steps.values()] == [None] * len(titles)
    near = [
        place is not None and abs(place / 1000 - at) < 2
        for place, at in zip(places, truth, strict=True)
    ]
    assert sum(near) >= len(titles) - 1
    assert sorted(filter(None, places)) == [place for place in places if place]
    for step in times.steps.values():
        if step.maybe_ms is not None:
            look = f"perhaps at {stamp(step.maybe_ms)}: look there, and write under film: marks:"
            assert look in told
            assert any(look in note for note in open_episode(design).notes)


def test_no_place_leaves_the_order_of_those_that_are_sure(globe: Path, tmp_path: Path) -> None:
    """The third step's title is said in the first one, where it cannot begin."""
    episode = open_episode(globe)
    titles = [plain(step.title).lower() for step in episode.steps]
    said = [f"Step {cardinal(n)}" for n in range(1, len(titles) + 1)]
    said[2] = "And now for something else"
    said.insert(1, f"Later on we {titles[2]}")
    file, truth = recording(tmp_path / "talk.wav", said, voice=AMERICAN, noise="", seed=3)
    steps = list(time_slates(episode, file).times.steps.values())
    assert steps[2].start_ms is None
    assert steps[2].maybe_ms is None or steps[2].maybe_ms > 1000 * truth[2]
    sure = [step.start_ms / 1000 for step in (*steps[:2], *steps[3:]) if step.start_ms is not None]
    assert sure == pytest.approx([truth[0], truth[2], *truth[4:]], abs=0.3)


FREE = """title: A bauble
stock: {species: black cherry, diameter: 60 mm}
steps:
  - {id: round, title: Rough it round, does: [spindle-running], do: Turn it.}
  - {id: octagon, title: Lay out the octagon, does: [hand-rotating], do: Mark it.}
  - {id: ball, title: Turn the ball, does: [spindle-running], do: Cut it.}
  - {id: hang, title: Drill and hang, does: [drilling], do: Drill it.}
"""


@pytest.mark.parametrize("text", ["", "…", "a slate of very many words"])
def test_a_slate_that_is_none_is_told(text: str) -> None:
    with pytest.raises(BadInput, match="--slate"):
        slate_of(text)


def test_another_recording_is_told_as_such(
    globe: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Talk in which neither the narration nor a slate is said."""
    file, _ = recording(
        tmp_path / "talk.wav", ["And now for something else"] * 2, voice=AMERICAN, noise="", seed=8
    )
    cli.main(["time", str(globe), "--voice", str(file), "--json"])
    notes = json.loads(capsys.readouterr().out)["notes"]
    assert any("is it the right recording?" in note for note in notes)
    assert not any("are timed by" in note for note in notes)
