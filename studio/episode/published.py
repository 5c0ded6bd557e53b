"""The published record beside a design: what viewers were told, when, and what was put right.

``studio publish`` adds what is told now, ``studio correct`` what has changed since and why. Both
only ever add: nothing that was told is taken out of the record. The design's episode reads it, so
that handout, description and film all list the same corrections.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from studio.episode.beside import PUBLISHED, read_beside
from studio.episode.records import Change, Correction, Episode
from studio.episode.stamps import stamp
from studio.measure.trace import END, SEP, START, plain

_HEAD = """\
# Written by studio publish and studio correct: what viewers were told, and what was put right.
# Keep it with the design. Without it nobody can tell any more which printed number was changed.
"""

LONGEST_REASON = 300
"""Characters that the reason of a correction may have: it is printed and shown (ours)."""


@dataclass(frozen=True, slots=True)
class Told:
    """One measurement as viewers were told it: its label, and its text in both systems."""

    label: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Publication:
    """What was told on one day.

    Attributes:
        on: the day, ISO 8601.
        design: digest of all that is below but the film's.
        film: SHA-256 of the film; empty when none lay in the out folder.
        title: the film's title.
        description: the text under the film.
        steps: by their names in the design, title, instruction and narration, and when each starts
            in the film (``m:ss``), as viewers got them.
        chapters: stamp and title.
        measurements: by name.
    """

    on: str
    design: str
    film: str
    title: str
    description: str
    steps: Mapping[str, Mapping[str, str]]
    chapters: tuple[str, ...]
    measurements: Mapping[str, Told]


@dataclass(frozen=True, slots=True)
class Record:
    """All that was published of a design, oldest first; and all corrections, oldest first."""

    publications: tuple[Publication, ...] = ()
    corrections: tuple[Correction, ...] = ()

    def told(self) -> dict[str, Told]:
        """What viewers were told last of each measurement; nothing of those that were withdrawn."""
        told: dict[str, Told] = {}
        for place, one in enumerate(self.publications, start=1):
            told |= one.measurements
            for change in (
                c for other in self.corrections if other.after == place for c in other.changes
            ):
                if change.new:
                    told[change.name] = Told(change.label, change.new)
                else:
                    told.pop(change.name, None)
        return told

    def changed(self, episode: Episode) -> tuple[Change, ...]:
        """Every published number that the design prints otherwise now, in the record's order."""
        out = []
        for name, told in self.told().items():
            now = episode.table.get(name)
            if now is None:
                out.append(Change(name=name, label=told.label, old=told.text, new=""))
            elif now.both != told.text:
                out.append(Change(name=name, label=now.label, old=told.text, new=now.both))
        return tuple(out)


def record_file(design: Path) -> Path:
    """Where the record of a design stands."""
    return design.with_name(f"{design.stem}{PUBLISHED}")


def publication(episode: Episode, description: str, film: Path | None, on: date) -> Publication:
    """What is told now.

    Args:
        episode: the design's.
        description: the text under the film, plain.
        film: the finished film, None when there is none.
        on: the day.

    Raises:
        OSError: the film cannot be read.
    """
    steps = {
        step.id: {
            "title": plain(step.title),
            "do": plain(step.do),
            "say": plain(step.say),
            "starts": "" if step.start_ms is None else stamp(step.start_ms),
        }
        for step in episode.steps
    }
    chapters = tuple(f"{stamp(one.start_ms)} {plain(one.title)}" for one in episode.chapters)
    measurements = {name: Told(one.label, one.both) for name, one in episode.table.items()}
    said = json.dumps(
        [
            plain(episode.title),
            description,
            steps,
            chapters,
            {name: [one.label, one.text] for name, one in measurements.items()},
        ],
        ensure_ascii=True,
    )
    return Publication(
        on=on.isoformat(),
        design=hashlib.sha256(said.encode("ascii")).hexdigest(),
        film=film_digest(film) if film is not None else "",
        title=plain(episode.title),
        description=description,
        steps=steps,
        chapters=chapters,
        measurements=measurements,
    )


def film_digest(film: Path) -> str:
    """SHA-256 of a film file.

    Raises:
        OSError: it cannot be read.
    """
    with film.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def as_text(record: Record) -> str:
    """The file's content."""
    import yaml

    tree = {
        "publications": [
            {
                "on": one.on,
                "design": one.design,
                "film": one.film,
                "title": one.title,
                "description": one.description,
                "chapters": list(one.chapters),
                "steps": {name: dict(step) for name, step in one.steps.items()},
                "measurements": {
                    name: {"label": told.label, "text": told.text}
                    for name, told in one.measurements.items()
                },
            }
            for one in record.publications
        ],
        "corrections": [
            {
                "on": one.on,
                "after": one.after,
                "reason": one.reason,
                "changes": [
                    {"name": c.name, "label": c.label, "old": c.old, "new": c.new}
                    for c in one.changes
                ],
            }
            for one in record.corrections
        ],
    }
    dumper = getattr(yaml, "CSafeDumper", yaml.SafeDumper)
    text = yaml.dump(tree, Dumper=dumper, allow_unicode=True, sort_keys=False, width=100)
    return f"{_HEAD}{text}"


def read_record(design: Path) -> Record:
    """The record beside a design; an empty one when there is no file.

    Raises:
        BadInput: the file cannot be read as a record.
    """
    found = read_beside(
        record_file(design),
        lambda tree: Record(
            tuple(_publication(one) for one in tree["publications"]),
            tuple(_correction(one) for one in tree["corrections"]),
        ),
        "a published record as studio publish writes it",
        "fetch the file as it was from your copies; what viewers were told stands there alone",
    )
    return found or Record()


def _publication(tree: Any) -> Publication:
    return Publication(
        on=_day(tree["on"]),
        design=_text(tree["design"]),
        film=_text(tree["film"]),
        title=_text(tree["title"]),
        description=_text(tree["description"]),
        steps={
            _text(name): {key: _text(step[key]) for key in ("title", "do", "say", "starts")}
            for name, step in tree["steps"].items()
        },
        chapters=tuple(_text(one) for one in tree["chapters"]),
        measurements={
            _text(name): Told(_text(one["label"]), _text(one["text"]))
            for name, one in tree["measurements"].items()
        },
    )


def _correction(tree: Any) -> Correction:
    changes: Iterable[Any] = tree["changes"]
    return Correction(
        on=_day(tree["on"]),
        reason=_text(tree["reason"]),
        after=int(_text(tree["after"])),
        changes=tuple(
            Change(**{key: _text(one[key]) for key in ("name", "label", "old", "new")})
            for one in changes
        ),
    )


def _day(value: Any) -> str:
    return date.fromisoformat(_text(value)).isoformat()


def _text(value: Any) -> str:
    if not isinstance(value, str):
        raise TypeError("no text")
    if any(sign in value for sign in (START, SEP, END)):
        # marks are for texts made afresh; a record is a file that others may have had in hand
        raise ValueError("a sign of ours")
    return value
