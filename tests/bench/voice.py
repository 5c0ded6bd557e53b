"""How well and how fast a recorded voice is timed: ``python tests/bench/voice.py [MINUTES]``.

With ``--held-out`` on voices, rates, pitches, noises and seeds that no setting was chosen on.

The voice is synthesised (eSpeak NG), which reports when each word begins; the script is made of
invented sentences about turning. Sentences are dropped and swapped on purpose. Printed: words that
begin within 0.15 s and 0.3 s, dropped and swapped sentences found, seconds of work for each minute
of voice, and what share of starts is right at each confidence. Not part of CI.
"""

from __future__ import annotations

import os
import random
import sys
import tempfile
import time
from collections import Counter
from dataclasses import dataclass, replace
from itertools import pairwise
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "tests" / "voice"))

from conftest import spoken_script  # noqa: E402

from studio.episode.assemble import open_episode  # noqa: E402
from studio.episode.records import Episode  # noqa: E402
from studio.measure.speech import cardinal  # noqa: E402
from studio.resources import shipped  # noqa: E402
from studio.voice.espeak import AMERICAN, BRITISH  # noqa: E402
from studio.voice.script import script_of  # noqa: E402
from studio.voice.timing import time_voice  # noqa: E402

# fmt: off
PARTS = ("cap", "finial", "ball", "tenon", "neck", "spigot", "bead", "cove", "shoulder", "foot",
         "rim", "wall", "opening", "groove", "collar", "point")
TOOLS = ("spindle gouge", "skew chisel", "parting tool", "scraper", "roughing gouge", "callipers",
         "dividers", "depth gauge", "drill", "steady rest")
DOINGS = ("take a light cut", "stop the lathe", "check it twice", "leave it a little proud",
          "work downhill to the centre", "keep the bevel rubbing", "let the tool do the work",
          "brush the shavings away", "turn the speed down", "mark the place with a pencil",
          "look at the shape from the side", "sharpen before the last pass")
FRAMES = (
    "Set the {tool} to {number} millimetres, and {do}.",
    "The {part} is {number} millimetres across.",
    "Now {do}, because the {part} is still rough.",
    "With the {tool}, bring the {part} down to {number} millimetres.",
    "Before you touch the {part}, {do}.",
    "I use the {tool} here, since the grain runs towards the {part}.",
    "From the {part} to the {other} there must be {number} millimetres.",
    "When the {part} meets the {other}, {do}.",
    "Hold the {tool} lightly and {do}.",
    "Do not go below {number} millimetres at the {part}, or the {other} will break.",
)
# fmt: on


def script_like(minutes: float, seed: int) -> Episode:
    """An invented episode whose narration lasts about so long; five sentences a step."""
    chance = random.Random(seed)
    episode = open_episode(shipped("designs") / "globe.yaml")
    steps = []
    # a sentence with its pause takes about five seconds
    for number in range(max(2, round(minutes * 60 / 5.0 / 5))):
        said = [
            chance.choice(FRAMES).format(
                tool=chance.choice(TOOLS),
                number=cardinal(chance.randint(2, 99)),
                do=chance.choice(DOINGS),
                part=chance.choice(PARTS),
                other=chance.choice(PARTS),
            )
            for _ in range(5)
        ]
        text = " ".join(said)
        steps.append(replace(episode.steps[0], id=f"step-{number}", say=text, aloud=text))
    return replace(episode, steps=tuple(steps))


@dataclass(frozen=True)
class Voice:
    """How a recording is made."""

    voice: str
    noise: str
    seed: int
    words_per_minute: int = 150
    pitch: int = 50

    def __str__(self) -> str:
        rate = f"{self.words_per_minute} words a minute"
        return f"{self.voice}, {rate}, pitch {self.pitch}, {self.noise or 'clean'}"


TUNED = [
    Voice(voice, noise, 23) for noise in ("", "lathe", "white") for voice in (AMERICAN, BRITISH)
]
"""Kinds of voice and noise that the settings were chosen on."""

HELD_OUT = [
    Voice("gmw/en-GB-x-rp", "", 101, 165, 35),
    Voice("gmw/en-GB-scotland", "", 102, 140, 65),
    Voice("gmw/en-GB-x-rp", "extractor", 103, 140, 60),
    Voice(AMERICAN, "sanding", 104, 170, 40),
    Voice("gmw/en-GB-x-gbclan", "lathe", 105, 160, 45),
    Voice("gmw/en-GB-scotland", "white", 106, 150, 55),
]
"""Voices, rates, pitches, noises and seeds that no setting was chosen on."""

Pair = tuple[float, float]


def run(minutes: float, how: Voice) -> tuple[list[Pair], list[Pair]]:
    """Print one line of figures; returns confidence and error in seconds by sentence and step."""
    chance = random.Random(how.seed + 1)
    episode = script_like(minutes, how.seed)
    script = script_of(episode.steps)
    count = len(script.sentences)
    order = list(range(count))
    swaps = list(range(10, count - 10, 40))
    for n in swaps:
        order[n], order[n + 4] = order[n + 4], order[n]
    swapped = {n for first in swaps for n in (first, first + 4)}
    times = Counter(one.text for one in script.sentences)
    free = [n for n in range(count) if n not in swapped and times[script.sentences[n].text] == 1]
    dropped = set(chance.sample(free, max(1, count // 33)))
    order = [n for n in order if n not in dropped]
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder)
        spoken = spoken_script(
            path / "voice.wav", script, order, voice=how.voice, noise=how.noise, seed=how.seed,
            words_per_minute=how.words_per_minute, pitch=how.pitch,
        )  # fmt: skip
        begun, worked = time.perf_counter(), os.times()
        timing = time_voice(replace(episode, design_file=path / "bench.yaml"), spoken.file)
        took = time.perf_counter() - begun
        after = os.times()
    found = [word for step in timing.times.steps.values() for word in step.words]
    off = [abs(found[n][0] / 1000 - at) if found[n] else 99.0 for n, at in spoken.words.items()]
    left = {text for _, text in timing.left_out}
    moved = {text for _, text, _ in timing.moved}
    hit = sum(script.sentences[n].text in left for n in dropped)
    wrong = len(left - {script.sentences[n].text for n in dropped})
    both = sum(
        bool(moved & {script.sentences[n].text, script.sentences[n + 4].text}) for n in swaps
    )
    cpu = sum(after[:4]) - sum(worked[:4])
    print(  # noqa: T201
        f"{spoken.length / 60:.1f} min, {how}: "
        f"{len(off)} words, within 0.15 s {sum(o <= 0.15 for o in off) / len(off):.1%}, "
        f"within 0.3 s {sum(o <= 0.3 for o in off) / len(off):.1%}; "
        f"dropped found {hit}/{len(dropped)} (wrongly told {wrong} of {count}), "
        f"swaps found {both}/{len(swaps)}; "
        f"marks asked for {len(timing.unsure)}/{len(episode.steps)}; "
        f"took {took:.0f} s, {took / (spoken.length / 60):.2f} s a minute of voice "
        f"(processors {cpu:.0f} s)",
        flush=True,
    )
    sentences: list[Pair] = []
    steps: list[Pair] = []
    number = 0
    for step in timing.times.steps.values():
        firsts = []
        for one in step.sentences:
            if one.start_ms is not None and number in spoken.sentences:
                at = spoken.words.get(script.sentences[number].first, spoken.sentences[number])
                sentences.append((one.confidence, abs(one.start_ms / 1000 - at)))
            if number in spoken.sentences and number not in swapped:
                firsts.append(spoken.sentences[number])
            number += 1
        # a step with a sentence that was said elsewhere has no one start to compare with
        ids = range(number - len(step.sentences), number)
        start = min(
            (one.start_ms for one in step.sentences if one.start_ms is not None), default=None
        )
        if start is not None and not swapped.intersection(ids):
            steps.append((step.confidence, abs(start / 1000 - min(firsts))))
    return sentences, steps


def calibration(name: str, pairs: list[Pair]) -> None:
    """Print, for each tenth or so of confidence, the share of starts that are right."""
    edges = (0.0, 0.3, 0.5, 0.7, 0.85, 0.95, 1.01)
    print(f"{name}: confidence, how many, mean confidence, within 0.15 s, within 0.3 s")  # noqa: T201
    for low, high in pairwise(edges):
        own = [pair for pair in pairs if low <= pair[0] < high]
        if own:
            shares = [sum(off <= limit for _, off in own) / len(own) for limit in (0.15, 0.3)]
            mean = sum(sure for sure, _ in own) / len(own)
            print(  # noqa: T201
                f"  {low:.2f} to {min(high, 1.0):.2f}: {len(own)}, {mean:.2f}, "
                f"{shares[0]:.1%}, {shares[1]:.1%}",
                flush=True,
            )


def main() -> None:
    """``voice.py [MINUTES] [--held-out]``; of long recordings one run alone."""
    held_out = "--held-out" in sys.argv
    given = [word for word in sys.argv[1:] if not word.startswith("--")]
    minutes = float(given[0]) if given else 5.0
    runs = HELD_OUT if held_out else TUNED
    if minutes > 10:
        runs = [runs[4]] if held_out else [runs[3]]
    sentences: list[Pair] = []
    steps: list[Pair] = []
    for how in runs:
        by_sentence, by_step = run(minutes, how)
        sentences += by_sentence
        steps += by_step
    calibration("sentences", sentences)
    calibration("steps", steps)


if __name__ == "__main__":
    main()
