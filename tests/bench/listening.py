"""How often a slip of the tongue is found by ear: ``python tests/bench/listening.py [COUNT]``.

With ``--held-out`` on sentences, voices, rates, pitches, noises and seeds that no setting was
chosen on. COUNT sentences with a figure each are said by each voice (100); half of them, drawn at
random, with a slip. The slips are made here, by rules of their own, and not taken from what the
listener listens for. Printed, clean and with noise 10 dB under the voice, for several margins: the
share of slips that were told (hits), those of them in which the very slip was heard, and the share
of right sentences in which one was told (false alarms). Not part of CI.
"""

from __future__ import annotations

import random
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "tests" / "voice"))
sys.path.insert(0, str(ROOT / "tests" / "bench"))

from conftest import spoken_script  # noqa: E402
from voice import Voice  # noqa: E402

from studio.episode.assemble import open_episode  # noqa: E402
from studio.episode.records import Episode  # noqa: E402
from studio.episode.times import said_words  # noqa: E402
from studio.measure.measurement import (  # noqa: E402
    Measurement,
    MeasurementTable,
    Reading,
    System,
)
from studio.measure.speech import spoken  # noqa: E402
from studio.measure.trace import mark, plain  # noqa: E402
from studio.resources import shipped  # noqa: E402
from studio.turning.sphere import figure_name  # noqa: E402
from studio.voice.espeak import AMERICAN, BRITISH  # noqa: E402
from studio.voice.listening import MARGIN, STEEPNESS, listen  # noqa: E402
from studio.voice.script import script_of  # noqa: E402

TUNED_FRAMES = (
    "Set the dividers to {mm}, and check them twice.",
    "The finial is {mm} across at its foot.",
    "Bring the ball down to {mm} before you sand it.",
    "Drill {frac} wide, and stop at once.",
    "The tenon is {frac} long, with a square shoulder.",
    "Now I want {count} marks round the equator.",
    "Cut {count} grooves, one behind another.",
    "Run the lathe at {rpm} while it is rough.",
    "Not above {rpm}, or it begins to shake.",
    "I sand with {grit} and then look at it.",
    "Wrap it in {gauge} wire.",
    "Tilt the table to {deg} and lock it.",
    "Four corners more make it a {fig} all round.",
    "Multiply the width by {ratio} and write it down.",
    "The wall is {mm} thick, no less.",
)
HELD_OUT_FRAMES = (
    "Leave {mm} of wood under the rim.",
    "The neck comes down to {mm}, and there it stays.",
    "From the centre I measure {mm} outwards.",
    "A hole of {frac} takes the hook.",
    "Part it off {frac} above the jaws.",
    "You need {count} stops between two cuts.",
    "There are {count} beads on the collar, all alike.",
    "Turn the speed up to {rpm} for the last pass.",
    "I stay under {rpm} with this much overhang.",
    "Begin with {grit} along the grain.",
    "The hanger is made of {gauge} copper.",
    "Grind the scraper at {deg}, as always.",
    "Seen from the pole it is a {fig} now.",
    "The side is the diameter times {ratio}, near enough.",
    "Open the callipers to {mm} and try the spigot.",
)

TUNED = [
    Voice(AMERICAN, "", 31, 150, 50),
    Voice(BRITISH, "", 32, 160, 45),
    Voice(BRITISH, "lathe", 33, 150, 50),
    Voice(AMERICAN, "white", 34, 150, 50),
    Voice(BRITISH, "white", 35, 145, 55),
    Voice(AMERICAN, "lathe", 36, 165, 40),
]
"""What the settings were chosen on."""

HELD_OUT = [
    Voice("gmw/en-GB-x-rp", "", 201, 165, 35),
    Voice("gmw/en-GB-scotland", "", 202, 140, 65),
    Voice("gmw/en-GB-x-gbclan", "", 203, 155, 60),
    Voice("gmw/en-GB-x-gbcwmd", "", 204, 150, 40),
    Voice("gmw/en-GB-x-rp", "extractor", 205, 145, 60),
    Voice("gmw/en-GB-scotland", "white", 206, 150, 55),
    Voice("gmw/en-GB-x-gbclan", "lathe", 207, 160, 45),
    Voice("gmw/en-GB-x-gbcwmd", "sanding", 208, 155, 50),
]

GRITS = ("P120", "P150", "P180", "P220", "P240", "P320", "P400", "P600")
FIGURES = (6, 8, 12, 16)


@dataclass(frozen=True)
class Line:
    """A sentence's frame and its figure as printed, rightly and with a slip."""

    frame: str
    kind: str
    right: str
    slip: str

    def text(self, figure: str) -> str:
        """The sentence with a figure in it."""
        return self.frame.replace("{" + self.kind + "}", figure)


def _figure(kind: str, chance: random.Random) -> str:
    """A figure as a measurement prints it."""
    match kind:
        case "mm":
            return f"{chance.randint(12, 780) / 10:g} mm"
        case "frac":
            under = chance.choice((2, 4, 8, 8, 16, 16, 32))
            return (
                f"{chance.choice(('', '', '1 ', '2 '))}{chance.randrange(1, under, 2)}/{under} in"
            )
        case "count":
            return str(chance.randint(3, 36))
        case "rpm":
            return f"{chance.randint(30, 280) * 10:,} rpm"
        case "grit":
            return chance.choice(GRITS)
        case "gauge":
            return f"{chance.randint(14, 28)} AWG"
        case "deg":
            return f"{chance.randint(5, 80)}°"
        case "ratio":
            return f"{chance.randint(101, 989) / 1000:g}"
    return figure_name(chance.choice(FIGURES))


def _slip(kind: str, right: str, chance: random.Random) -> str:
    """A slip of the tongue, by rules of this file's own."""
    match kind:
        case "fig":
            return chance.choice([name for n in FIGURES if (name := figure_name(n)) != right])
        case "grit":
            return chance.choice([other for other in GRITS if other != right])
        case "frac":
            return _other_fraction(right, chance)
    number = right.rstrip("°").partition(" ")[0]
    unit = right.removeprefix(number)
    ways = ["near", "near", "near", "swap", "teen"] + (["unit"] if kind == "mm" else [])
    while True:
        way = chance.choice(ways)
        if way == "unit":
            return f"{number} in"
        other = _other_number(number.replace(",", ""), way, chance)
        if other is not None and float(other) != float(number.replace(",", "")):
            return f"{int(other):,}{unit}" if "." not in other else f"{other}{unit}"


def _other_number(text: str, way: str, chance: random.Random) -> str | None:
    value = Fraction(text)
    if way == "near":
        finest = Fraction(1, 10 ** len(text.partition(".")[2]))
        by = chance.choice((finest, Fraction(1), Fraction(10) if value >= 100 else Fraction(1)))
        found = value + chance.choice((-by, by))
        return f"{float(found):.10g}" if found > 0 else None
    if way == "swap":
        places = [
            n for n in range(len(text) - 1) if text[n] != text[n + 1] and "." not in text[n : n + 2]
        ]
        if not places:
            return None
        n = chance.choice(places)
        found_text = text[:n] + text[n + 1] + text[n] + text[n + 2 :]
        return None if found_text[0] == "0" and found_text[1:2] != "." else found_text
    whole, point, rest = text.partition(".")
    tens, ones = divmod(int(whole) % 100, 10)
    if tens == 1 and ones >= 3:
        return f"{int(whole) - 10 - ones + 10 * ones}{point}{rest}"
    if ones == 0 and tens >= 3:
        return f"{int(whole) - 10 * tens + 10 + tens}{point}{rest}"
    return None


def _other_fraction(right: str, chance: random.Random) -> str:
    amount = right.removesuffix(" in")
    whole, _, part = amount.rpartition(" ")
    over, under = (int(text) for text in part.split("/"))
    if chance.random() < 0.2:
        return f"{amount} mm"
    others = {Fraction(over + by, under) for by in (-2, -1, 1, 2) if 0 < over + by < under}
    others |= {Fraction(over, other) for other in (2 * under, under // 2) if over < other <= 32}
    others.discard(Fraction(over, under))
    if not others:
        return f"{amount} mm"
    return f"{whole} {chance.choice(sorted(others))} in".strip()


def lines(frames: Sequence[str], count: int, seed: int) -> Iterator[Line]:
    """Different sentences, each with its slip."""
    chance = random.Random(seed)
    seen: set[str] = set()
    number = 0
    while len(seen) < count:
        frame = frames[number % len(frames)]
        kind = frame[frame.index("{") + 1 : frame.index("}")]
        right = _figure(kind, chance)
        slip = _slip(kind, right, chance)
        text = frame + right
        # a wheel of one inch is no wheel of one millimetre, but twelve is not 12 either
        if text not in seen and said_words(spoken(slip)) != said_words(spoken(right)):
            seen.add(text)
            number += 1
            yield Line(frame, kind, right, slip)


def episode_of(told: Sequence[Line], folder: Path) -> Episode:
    """An invented episode that says these lines, five a step."""
    episode = open_episode(shipped("designs") / "globe.yaml")
    measurements = []
    steps = []
    for first in range(0, len(told), 5):
        texts = []
        for number, line in enumerate(told[first : first + 5], first):
            name = f"bench.n{number}"
            figure = line.right
            if line.kind != "fig":
                read = Reading(0.0, "", line.right)
                measurements.append(
                    Measurement(
                        name=name, label=name, value=0.0, unit="mm", metric=read, imperial=read,
                        first=System.METRIC, rule="", formula="", source="",
                    )
                )  # fmt: skip
                figure = mark(f"spoken:{name}", spoken(line.right))
            texts.append(line.text(figure))
        text = " ".join(texts)
        steps.append(replace(episode.steps[0], id=f"step-{first}", say=text, aloud=text))
    table = MeasurementTable([*episode.table.values(), *measurements])
    return replace(episode, table=table, steps=tuple(steps), design_file=folder / "bench.yaml")


@dataclass(frozen=True)
class Case:
    """A sentence that was listened to; ``better`` is None where nothing else was heard."""

    how: Voice
    line: Line
    slipped: bool
    better: float | None
    exact: bool


def run(job: tuple[Voice, Sequence[str], int]) -> list[Case]:
    """Say a script with slips in half of its sentences, and listen."""
    import math

    how, frames, count = job
    told = list(lines(frames, count, how.seed))
    slipped = set(random.Random(how.seed + 1).sample(range(count), count // 2))
    with tempfile.TemporaryDirectory() as folder:
        episode = episode_of(told, Path(folder))
        script = script_of(episode.steps)
        assert [one.text for one in script.sentences] == [
            line.text(spoken(line.right)) for line in told
        ]
        order = [told[n].text(spoken(told[n].slip)) if n in slipped else n for n in range(count)]
        sound = spoken_script(
            Path(folder) / "voice.wav", script, order, voice=how.voice, noise=how.noise,
            seed=how.seed, words_per_minute=how.words_per_minute, pitch=how.pitch,
        )  # fmt: skip
        found = listen(episode, sound.file, sure=0.0)
    by_line = {one.line: one for one in found.otherwise}
    cases: list[Case] = []
    for number, line in enumerate(told):
        one = by_line.get(plain(script.sentences[number].text))
        better = None
        if one is not None:
            odds = one.confidence / max(1e-12, 1 - one.confidence)
            better = MARGIN + STEEPNESS * math.log(odds)
        exact = one is not None and one.heard.split() == list(said_words(spoken(line.slip)))
        cases.append(Case(how, line, number in slipped, better, exact))
    missed = len(found.missed)
    told_of = f"{count} sentences, {sound.length / 60:.1f} min, {missed} not understood"
    print(f"{how}: {told_of}", flush=True)  # noqa: T201
    return cases


def report(name: str, cases: Sequence[Case]) -> None:
    """Print hits and false alarms by margin, and both by kind at the margin in use."""
    slips = [case for case in cases if case.slipped]
    right = [case for case in cases if not case.slipped]

    def told(case: Case, margin: float) -> bool:
        return case.better is not None and case.better > margin

    print(f"{name}: {len(slips)} slips, {len(right)} right sentences")  # noqa: T201
    for margin in sorted({0.0, 100.0, 200.0, 300.0, 400.0, 500.0, 600.0, 800.0, MARGIN}):
        hits = sum(told(case, margin) for case in slips)
        exact = sum(told(case, margin) and case.exact for case in slips)
        false = sum(told(case, margin) for case in right)
        in_use = "  <- in use" if margin == MARGIN else ""
        print(  # noqa: T201
            f"  margin {margin:.0f}: hits {hits / len(slips):.1%} (as it was said "
            f"{exact / len(slips):.1%}), false alarms {false / len(right):.1%} ({false}){in_use}",
        )
    counts: Counter[str] = Counter(case.line.kind for case in slips)
    hits_by = Counter(case.line.kind for case in slips if told(case, MARGIN))
    false_by = Counter(case.line.kind for case in right if told(case, MARGIN))
    for kind, count in counts.items():
        print(f"    {kind}: {hits_by[kind]} of {count}, false alarms {false_by[kind]}")  # noqa: T201


def main() -> None:
    """``listening.py [COUNT] [--held-out]``."""
    held_out = "--held-out" in sys.argv
    given = [word for word in sys.argv[1:] if not word.startswith("--")]
    count = int(given[0]) if given else 100
    frames = HELD_OUT_FRAMES if held_out else TUNED_FRAMES
    with ProcessPoolExecutor(2) as pool:
        jobs = [(how, frames, count) for how in (HELD_OUT if held_out else TUNED)]
        cases = [case for found in pool.map(run, jobs) for case in found]
    report("clean", [case for case in cases if not case.how.noise])
    report("noise 10 dB below the voice", [case for case in cases if case.how.noise])


if __name__ == "__main__":
    main()
