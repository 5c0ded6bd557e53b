"""A single number changed anywhere is found; a sound set has nothing to find.

The places are drawn at random from every text that a reader or viewer gets: papers, captions,
chapters, the table, the records inside overlays, and what PDFs show. A longer run:
``STUDIO_FAULTS=2000 pytest tests/check/test_seeded_faults.py``.
"""

from __future__ import annotations

import json
import os
import random
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from PIL import Image
from PIL.PngImagePlugin import PngInfo

from studio.check import measurements, overlays, papers, pdfs
from studio.check.checks import run
from studio.check.context import Context
from studio.check.findings import Outcome, Severity
from studio.commands.build import build_files
from studio.episode.assemble import open_episode
from studio.episode.beside import design_files
from studio.files import write_outputs
from studio.film.overlays import RECORD_KEY
from studio.measure.listing import FILE_NAME
from studio.resources import shipped

from .pdf_figures import Lettering

FAULTS = int(os.environ.get("STUDIO_FAULTS", "200"))
"""For each design."""

LEAST_FOUND = 0.99

DESIGNS = {path.stem: path for path in design_files(shipped("designs"))}

_TAG = re.compile(r"<(style|script)\b.*?</\1>|<[^>]*>", re.DOTALL)
# neither inside a word (P180 and 0:35 are figures) nor a character's number (&#x27;)
_FIGURE = re.compile(r"(?<![\w&#])P?\d+(?:[.,/:]\d+)*(?![\w;])")
_WORDS = (
    "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
    "fifteen", "eighteen", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty",
    "ninety",
)  # fmt: skip
_WORD = re.compile(rf"\b(?:{'|'.join(_WORDS)})\b(?=[ -])")


@dataclass(frozen=True)
class Fault:
    """One number changed: in which file, from where to where, and into what."""

    name: str
    start: int
    stop: int
    new: str


@dataclass(frozen=True)
class Set:
    """A design's outputs, every place in its texts that holds a number, and every digit in PDFs."""

    context: Context
    places: tuple[tuple[str, int, int, str], ...]
    printed: dict[str, Lettering]


def _shown(name: str, text: str) -> Iterator[tuple[int, int]]:
    """The stretches of a file that a person reads."""
    if name.endswith(".html"):
        at = 0
        for tag in _TAG.finditer(text):
            yield at, tag.start()
            at = tag.end()
        yield at, len(text)
    elif name == "measurements.json":
        for match in re.finditer(r'"(?:text|other|value)": (.*)', text):
            yield match.span(1)
    else:
        yield 0, len(text)


def _numbers(name: str, text: str) -> Iterator[tuple[int, int, str]]:
    for start, stop in _shown(name, text):
        for pattern in (_FIGURE, _WORD):
            for match in pattern.finditer(text, start, stop):
                yield match.start(), match.end(), match[0]


def _text_of(context: Context, name: str) -> str:
    path = context.out_dir / name
    if name.endswith(".png"):
        with Image.open(path) as picture:
            return str(picture.info[RECORD_KEY])
    return path.read_text("utf-8")


@pytest.fixture(scope="module", params=sorted(DESIGNS))
def made(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Set:
    design = DESIGNS[request.param]
    out = tmp_path_factory.mktemp("faults") / request.param
    write_outputs(out, build_files(open_episode(design)))
    context = Context.of(design, out)
    names = [
        str(path.relative_to(out))
        for path in sorted(out.rglob("*"))
        if path.suffix in {".html", ".md", ".txt", ".srt", ".vtt", ".ffmeta"}
        or path.name == FILE_NAME
        or path.parent.name == "overlays"
    ]
    places = tuple(
        (name, *place) for name in names for place in _numbers(name, _text_of(context, name))
    )
    assert len({name for name, *_ in places}) > 20
    printed = {name: Lettering((out / name).read_bytes()) for name in pdfs.PDFS}
    assert all(len(one.digits) > 100 for one in printed.values())
    return Set(context, places, printed)


def _another(chance: random.Random, old: str) -> str:
    """A number of the same kind that says something else."""
    if old in _WORDS:
        return chance.choice([word for word in _WORDS if word != old])
    places = [at for at, sign in enumerate(old) if sign.isdigit()]
    while True:
        at = chance.choice(places)
        new = old[:at] + chance.choice("123456789") + old[at + 1 :]
        if _worth(new) != _worth(old):
            return new


def _worth(written: str) -> object:
    """What a number says: 1/2 and 2/4 are equally true."""
    try:
        whole, _, part = written.strip("P").replace(",", "").partition("/")
        return float(whole) / float(part or 1)
    except (ValueError, ZeroDivisionError):
        return written


def _checked(context: Context, name: str) -> Outcome:
    """The file alone, which is what a whole check does with it."""
    if name.endswith(".png"):
        return overlays.check(context)
    if name == FILE_NAME:
        return measurements.check(context)
    return papers.check_file(context, name)


def _is_found(context: Context, fault: Fault) -> bool:
    path, text = context.out_dir / fault.name, _text_of(context, fault.name)
    before = path.read_bytes()
    changed = text[: fault.start] + fault.new + text[fault.stop :]
    try:
        if fault.name.endswith(".png"):
            _with_record(path, changed)
        else:
            path.write_text(changed, "utf-8")
        outcome = _checked(context, fault.name)
    finally:
        path.write_bytes(before)
    return any(
        one.severity is Severity.ERROR and one.where == fault.name for one in outcome.findings
    )


def _is_found_in_print(made: Set, name: str, pdf: bytes) -> bool:
    """As a number: a saved PDF differs by more than the digit, which would be found too easily."""
    path, fresh = made.context.out_dir / name, made.printed[name].pdf
    try:
        path.write_bytes(pdf)
        outcome = pdfs.check_file(made.context, name, fresh)
    finally:
        path.write_bytes(fresh)
    return any(one.code == "wrong-number" and one.where == name for one in outcome.findings)


def _with_record(path: Path, record: str) -> None:
    json.loads(record)  # a broken record would be found too easily
    with Image.open(path) as picture:
        info = PngInfo()
        info.add_itxt(RECORD_KEY, record)
        picture.load()
        picture.save(path, pnginfo=info)


def test_a_changed_number_is_found_and_a_sound_set_has_none(made: Set) -> None:
    assert run(made.context).findings == ()
    chance = random.Random(f"{made.context.episode.name} 7")
    missed = []
    for _ in range(FAULTS):
        # each text as likely as any other, however many numbers it holds, and as all overlays
        names = sorted({name for name, *_ in made.places})
        drawn = [name for name in names if name.endswith(".png")]
        texts = [name for name in names if name not in drawn]
        name = chance.choice([*texts, "overlays", *made.printed])
        if name in made.printed:
            digit = chance.choice(made.printed[name].digits)
            other, code = chance.choice(digit.others)
            if not _is_found_in_print(made, name, made.printed[name].changed(digit, code)):
                missed.append((name, digit, other))
            continue
        name = chance.choice(drawn) if name == "overlays" else name
        start, stop, old = chance.choice([one[1:] for one in made.places if one[0] == name])
        fault = Fault(name, start, stop, _another(chance, old))
        if not _is_found(made.context, fault):
            missed.append((fault, old))
    assert len(missed) <= (1 - LEAST_FOUND) * FAULTS, missed
    # each change was taken back before the next
    for name, lettering in made.printed.items():
        assert not _is_found_in_print(made, name, lettering.written())
