"""Every form of a number with every unit, in carrier sentences: the truth is known by construction.

Number words come from num2words, a general-purpose library. Words that a recogniser writes for a
number come from its own pronunciations: the CMU Pronouncing Dictionary, as pocketsphinx ships it,
tells which everyday words are said exactly like one ("for", "to", "ate", "won").
"""

from __future__ import annotations

import itertools
import random
import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from pathlib import Path

import pocketsphinx
import pytest
from num2words import num2words

from studio.measure.number_words import PARTS, VULGAR
from studio.said.finding import find_mentions

SEED = 20261126
WHOLE = (*range(2, 100), 100, 105, 110, 118, 180, 205, 226, 240, 360, 700, 999)
SPEEDS = (480, 650, 700, 840, 1050, 1200, 1580, 1690, 1970, 2000, 2110, 2450, 2500, 3000)
GRITS = (80, 120, 150, 180, 220, 240, 320, 400, 600, 1000)


@dataclass(frozen=True)
class Said:
    """A number as it is said, and what it is."""

    text: str
    value: Fraction


def in_words(number: int) -> Iterator[str]:
    """A whole number as British and Americans write it, and as captions do without hyphens."""
    british = num2words(number, lang="en_GB").replace(",", "")
    for said in (british, british.replace(" and ", " ")):
        yield said
        yield said.replace("-", " ")


def hundreds(number: int) -> Iterator[str]:
    """``eighteen hundred``, ``nineteen seventy``, ``six fifty``: as speeds and papers are said."""
    above, below = divmod(number, 100)
    if 0 < above < 100 and below >= 10:
        yield f"{num2words(above)} {num2words(below)}"
    if above and not below and above % 10:
        yield f"{num2words(above)} hundred"
    if above > 10 and below:
        yield f"{num2words(above)} hundred and {num2words(below)}"


def wholes(numbers: tuple[int, ...]) -> Iterator[Said]:
    for number in numbers:
        texts = [str(number), *in_words(number)]
        texts += [f"{number:,}"] if number >= 1000 else []
        texts += hundreds(number) if number >= 300 else []
        for text in dict.fromkeys(texts):
            yield Said(text, Fraction(number))


def decimals() -> Iterator[Said]:
    chance = random.Random(SEED)
    for _ in range(120):
        whole, places = chance.choice((0, 0, *range(1, 130))), chance.choice((1, 1, 2, 3))
        digits = "".join(str(chance.randrange(10)) for _ in range(places - 1)) + str(
            chance.randrange(1, 10)
        )
        value = Fraction(f"{whole}.{digits}")
        spoken = " ".join(num2words(int(one)) for one in digits)
        heads = [num2words(whole, lang="en_GB")] if whole else ["nought", "zero", "oh", ""]
        for head in heads:
            for said in (f"{head} point {spoken}", f"{head} point {spoken.replace('zero', 'oh')}"):
                yield Said(said.strip(), value)
        yield Said(f"{whole}.{digits}", value)
        if not whole:
            yield Said(f".{digits}", value)


def fractions() -> Iterator[Said]:
    by_value = {Fraction(text): sign for sign, text in VULGAR.items()}
    for under in (2, 4, 8, 16, 32, 64):
        for over in range(1, under, 2):
            value = Fraction(over, under)
            name = PARTS[under][over > 1]
            words = f"{num2words(over)} {name}"
            parts = [f"{over}/{under}", words, words.replace("-", " ")]
            parts += [by_value[value]] if value in by_value else []
            for part in dict.fromkeys(parts):
                yield Said(part, value)
            for whole in (1, 2, 6, 12):
                mixed = value + whole
                yield Said(f"{whole} {over}/{under}", mixed)
                yield Said(f"{whole}-{over}/{under}", mixed)
                yield Said(f"{num2words(whole)} and {words}", mixed)
                yield Said(f"{num2words(whole)} and {words.replace('-', ' ')}", mixed)
                yield Said(f"{whole} and {over}/{under}", mixed)
                if value in by_value:
                    yield Said(f"{whole}{by_value[value]}", mixed)
                if over == 1 and under in (2, 4):
                    yield Said(f"{num2words(whole)} and a {name}", mixed)
                    yield Said(f"{whole} and a {name}", mixed)


UNITS = {
    "mm": (" mm", "mm", " millimetres", " millimeters", " mil", "-millimetre"),
    "cm": (" cm", " centimetres", " centimeters"),
    "in": ('"', "″", " in", " inches", " inch", "-inch"),
    "deg": ("°", " degrees", " deg"),
    "rpm": (" rpm", " revs", " r.p.m.", " revs a minute", " revolutions per minute"),
    "percent": ("%", " %", " percent", " per cent"),
    "grit": (" grit", "-grit"),
    "gauge": (" gauge", "-gauge", " AWG"),
    "h": (" hours", " h", " hrs"),
    "min": (" minutes", " min", " mins"),
    "day": (" days",),
    "ml": (" ml", " millilitres"),
    "g": (" g", " grams", " grammes"),
    "count": (
        " marks",
        " grooves",
        " lobes",
        " sides",
        " flats",
        " coats",
        " strands",
        " turns",
        " stops",
        " passes",
    ),
}
NUMBERS = {
    "mm": (*wholes(WHOLE), *decimals()),
    "cm": (*wholes(WHOLE[:40]), *decimals()),
    "in": (*wholes(WHOLE[:12]), *decimals(), *fractions()),
    "deg": (*wholes(WHOLE), *decimals()),
    "rpm": tuple(wholes(SPEEDS)),
    "percent": (*wholes(WHOLE[:99]), *decimals()),
    "grit": tuple(wholes(GRITS)),
    "gauge": tuple(wholes(tuple(range(12, 33)))),
    "h": tuple(wholes(WHOLE[:72])),
    "min": tuple(wholes(WHOLE[:60])),
    "day": tuple(wholes(WHOLE[:14])),
    "ml": (*wholes(WHOLE[:40]), *decimals()),
    "g": (*wholes(WHOLE), *decimals()),
    "count": tuple(wholes(WHOLE[:60])),
}
SHORT = frozenset({"mm", " h", " g", " in", " min", " ml"})
"""Signs that stand behind figures alone, or are read so only there."""

TYPED = (
    "That's {} as I make it.",
    "{}, no more.",
    "So we want {} here, and then we look again.",
    "Cut to the line: {}.",
    "You're after roughly {} all told",
)
HEARD = (
    "so thats {} the way i make it",
    "we want {} here and then we look again",
    "{} and not a bit more",
    "its got to be {} when youre done",
)


def carried(unit: str, *, heard: bool) -> Iterator[tuple[str, str, Said]]:
    """Sentences, what of them is the mention, and its truth."""
    chance = random.Random(f"{SEED} {unit}")
    carriers = HEARD if heard else TYPED
    for said, ending in itertools.product(NUMBERS[unit], UNITS[unit]):
        words = said.text[-1].isalpha()
        if words and not ending.strip("-").strip()[:1].isalpha():
            continue  # a sign stands behind figures
        if words and ending in (*SHORT, *(s.lower() for s in SHORT)):
            continue
        fraction = said.value.denominator > 1 and "/" in said.text
        if fraction and ending == "-inch" and "-" in said.text:
            continue
        written = said.text if unit == "count" else f"{said.text}{ending}"
        whole = f"{said.text}{ending}"
        if heard:
            if re.search(r"[^a-z0-9 .%°\"″/]", whole.lower()) or whole.endswith("."):
                continue
            written, whole = written.lower(), whole.lower()
        carrier = chance.choice(carriers)
        if ending == " in" and re.search(r"\{\} (here|all|the)", carrier):
            continue  # a preposition as well
        yield carrier.format(whole), written, said


def wrongly(unit: str, *, heard: bool) -> list[str]:
    """What is not found as it was built."""
    failed = []
    for text, written, said in carried(unit, heard=heard):
        found = find_mentions(text)
        told = [(one.written.rstrip("."), one.value, one.unit) for one in found]
        if told != [(written.rstrip("."), said.value, unit)]:
            failed.append(f"{text} -> {[(w, str(v), u) for w, v, u in told]}")
    return failed


@pytest.mark.parametrize("heard", [False, True], ids=["typed", "heard"])
@pytest.mark.parametrize("unit", UNITS)
def test_every_form_with_every_unit(unit: str, *, heard: bool) -> None:
    cases = sum(1 for _ in carried(unit, heard=heard))
    failed = wrongly(unit, heard=heard)
    assert not failed, f"{len(failed)} of {cases}: " + "\n".join(failed[:12])
    assert cases > 20


# what a recogniser writes


@cache
def said_alike() -> dict[str, tuple[str, ...]]:
    """Everyday words that are said exactly like a number word, by the recogniser's dictionary."""
    model = Path(pocketsphinx.__file__).parent / "model" / "en-us" / "cmudict-en-us.dict"
    sounds: dict[str, set[str]] = {}
    for line in model.read_text(encoding="utf-8").splitlines():
        word, _, phones = line.partition(" ")
        sounds.setdefault(phones, set()).add(re.sub(r"\(\d+\)", "", word))
    everyday = {"for", "fore", "to", "too", "ate", "won"}
    numbers = {num2words(number) for number in range(1, 20)}
    found: dict[str, set[str]] = {}
    for words in sounds.values():
        for number in words & numbers:
            found.setdefault(number, set()).update(words & everyday)
    return {number: tuple(sorted(words)) for number, words in found.items() if words}


def test_the_dictionary_knows_what_sounds_alike() -> None:
    assert said_alike() == {
        "one": ("won",), "two": ("to", "too"), "four": ("for", "fore"), "eight": ("ate",)
    }  # fmt: skip


def misheard() -> Iterator[tuple[str, str, Fraction]]:
    """Amounts in words in which the last number word is written as another one."""
    for number, words in said_alike().items():
        ones = next(n for n in range(20) if num2words(n) == number)
        for word in words:
            for tens in range(20, 100, 10):
                yield f"{num2words(tens)} {word}", number, Fraction(tens + ones)
            for whole in (3, 16, 24, 72):
                value = whole + Fraction(ones, 10)
                yield f"{num2words(whole)} point {word}", number, value


def test_numbers_that_sound_like_other_words() -> None:
    failed = []
    units = ("millimeters", "mil", "degrees", "percent", "inches")
    for (said, _, value), unit in itertools.product(misheard(), units):
        text = f"so its {said} {unit} as far as i can tell"
        told = [(one.written, one.value) for one in find_mentions(text)]
        if told != [(f"{said} {unit}", value)]:
            failed.append(f"{text} -> {told}")
    assert not failed, f"{len(failed)}: " + "\n".join(failed[:12])


def test_units_that_a_recogniser_takes_to_pieces() -> None:
    """Two words for one, and words that are said like it, behind figures and number words."""
    written = {
        "mm": ("milli meters", "mill a meters", "mil meters", "mill emitters", "mills", "m m"),
        "deg": ("decrees", "degree's"),
        "rpm": ("are p m", "our pm", "r p m", "rp m", "revs per minute"),
        "percent": ("per cent", "per sent", "per scent"),
        "h": ("ours", "hour's"),
        "min": ("minuets", "minute's"),
        "ml": ("milli liters", "mill a liters"),
    }
    failed = []
    for unit, names in written.items():
        for name, said in itertools.product(names, wholes((5, 16, 24, 72))):
            if said.text.count("-"):
                continue
            text = f"its {said.text} {name} as far as i can tell"
            told = [(one.written, one.value, one.unit) for one in find_mentions(text)]
            if told != [(f"{said.text} {name}", said.value, unit)]:
                failed.append(f"{text} -> {told}")
    assert not failed, f"{len(failed)}: " + "\n".join(failed[:12])


# ranges and what is said beside a number

ABOUT = {
    "near": ("about {}", "around {}", "roughly {}", "{} or so", "{} or thereabouts", "call it {}"),
    "under": ("just under {}", "nearly {}", "not quite {}", "a shade under {}", "almost {}"),
    "over": ("just over {}", "a touch over {}", "a hair more than {}", "a whisker over {}"),
}


@pytest.mark.parametrize("side", ABOUT)
def test_approximations_of_every_form(side: str) -> None:
    chance = random.Random(SEED)
    for form in ABOUT[side]:
        for unit in ("mm", "in", "deg", "rpm", "percent"):
            for said in chance.sample(NUMBERS[unit], 12):
                ending = UNITS[unit][3 if unit == "in" else 1 if unit != "mm" else 2]
                ending = " percent" if unit == "percent" else ending
                text = f"I make that {form.format(said.text + ending)}."
                told = [(one.value, one.unit, one.about) for one in find_mentions(text)]
                assert told == [(said.value, unit, side)], text


def test_ranges_of_every_form() -> None:
    chance = random.Random(SEED)
    forms = ("{} to {}", "between {} and {}", "from {} to {}", "anywhere from {} to {}")
    endings = {"mm": " millimetres", "in": " inches", "deg": " degrees", "rpm": " rpm"}
    for unit, ending in endings.items():
        for form in forms:
            for _ in range(25):
                low, high = sorted(chance.sample(NUMBERS[unit], 2), key=lambda one: one.value)
                if not low.value < high.value <= 4 * low.value:
                    continue
                if "and {}" in form and low.text.endswith("thousand"):
                    continue  # "two thousand and ten fifty" may be either
                if low.text[-1].isalpha() != high.text[-1].isalpha():
                    continue
                text = f"Say {form.format(low.text, high.text + ending)}."
                told = [(one.value, one.high, one.unit) for one in find_mentions(text)]
                assert told == [(low.value, high.value, unit)], text
