"""How well and how fast a recorded voice is timed: ``python tests/bench/voice.py [MINUTES]``.

The voice is synthesised (eSpeak NG), which reports when each word begins; the script is made of
invented sentences about turning. Sentences are dropped and swapped on purpose. Printed: words that
begin within 0.15 s and 0.3 s, dropped and swapped sentences found, and seconds of work for each
minute of voice. Not part of CI.
"""

from __future__ import annotations

import os
import random
import sys
import tempfile
import time
from dataclasses import replace
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


def run(minutes: float, voice: str, noise: str, seed: int) -> None:
    """Print one line of figures."""
    chance = random.Random(seed + 1)
    episode = script_like(minutes, seed)
    script = script_of(episode.steps)
    count = len(script.sentences)
    order = list(range(count))
    swaps = list(range(10, count - 10, 40))
    for n in swaps:
        order[n], order[n + 4] = order[n + 4], order[n]
    swapped = {n for first in swaps for n in (first, first + 4)}
    unique = {
        one.text
        for one in script.sentences
        if sum(o.text == one.text for o in script.sentences) == 1
    }
    free = [n for n in range(count) if n not in swapped and script.sentences[n].text in unique]
    dropped = set(chance.sample(free, max(1, count // 33)))
    order = [n for n in order if n not in dropped]
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder)
        spoken = spoken_script(path / "voice.wav", script, order, voice=voice, noise=noise)
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
        f"{spoken.length / 60:.1f} min, {voice}, {noise or 'clean'}: "
        f"{len(off)} words, within 0.15 s {sum(o <= 0.15 for o in off) / len(off):.1%}, "
        f"within 0.3 s {sum(o <= 0.3 for o in off) / len(off):.1%}; "
        f"dropped found {hit}/{len(dropped)} (wrongly told {wrong}), "
        f"swaps found {both}/{len(swaps)}; "
        f"marks asked for {len(timing.unsure)}/{len(episode.steps)}; "
        f"took {took:.0f} s, {took / (spoken.length / 60):.2f} s a minute of voice "
        f"(processors {cpu:.0f} s)",
        flush=True,
    )


def main() -> None:
    """Clean and noisy, two accents; of long recordings one run alone."""
    minutes = float(sys.argv[1]) if len(sys.argv) > 1 else 5.0
    runs = [(AMERICAN, ""), (BRITISH, ""), (AMERICAN, "lathe"), (BRITISH, "lathe")]
    runs += [(AMERICAN, "white"), (BRITISH, "white")]
    for voice, noise in runs if minutes <= 10 else runs[3:4]:
        run(minutes, voice, noise, seed=23)


if __name__ == "__main__":
    main()
