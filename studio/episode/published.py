"""The published record beside a design: what viewers were told, when, and what was put right.

``studio publish`` adds what is told now, ``studio correct`` what has changed since and why. Both
only ever add: nothing that was told is taken out of the record. The design's episode reads it, so
that handout, description and film all list the same corrections.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, field, replace
from datetime import date
from pathlib import Path
from typing import Any

from studio.episode.beside import PUBLISHED, read_beside
from studio.episode.records import Change, Correction, Episode, Told
from studio.episode.stamps import day, stamp
from studio.episode.told_rows import (
    by_todays_names,
    families,
    in_its_row,
    rims_by_size,
    todays,
)
from studio.episode.told_texts import (
    CHAPTERS,
    DESCRIPTION,
    FIELDS,
    as_then,
    named_in,
    otherwise,
    step_key,
    texts_of,
)
from studio.errors import BadInput
from studio.language import speaking
from studio.measure.measurement import Measurement, System
from studio.measure.trace import END, SEP, START, plain

_HEAD = """\
# Written by studio publish and studio correct: what viewers were told, and what was put right.
# Keep it with the design. Without it nobody can tell any more which printed number was changed.
"""

_FETCH = "fetch the file as it was from your copies; what viewers were told stands there alone"

LONGEST_REASON = 300
"""Characters that the reason of a correction may have: it is printed and shown (ours)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Publication:
    """What was told on one day.

    Attributes:
        on: the day, ISO 8601.
        name: the design file's, without its ending.
        design: digest of all that is below but the film's and what was typed.
        film: SHA-256 of the film; empty when none lay in the out folder.
        title: the film's title.
        first: the system printed first.
        description: the text under the film, without its list of corrections.
        steps: by their names in the design, title, instruction and narration, and when each starts
            in the film (``m:ss``), as viewers got them; and the names of the measurements that its
            narration names.
        chapters: stamp and title.
        measurements: by name.
        typed: what stood under each key of design and workshop file (``told_keys``); empty in the
            first records.
    """

    on: str
    name: str
    design: str
    film: str
    title: str
    first: System
    description: str
    steps: Mapping[str, Mapping[str, str]]
    chapters: tuple[str, ...]
    measurements: Mapping[str, Told]
    typed: Mapping[str, str] = field(default_factory=dict)

    def texts(self) -> dict[str, str]:
        """Every text as told, by the name under which ``told_texts`` knows it."""
        told = {
            step_key(name, field): step[field]
            for name, step in self.steps.items()
            for field in FIELDS
        }
        return told | {CHAPTERS: "\n".join(self.chapters), DESCRIPTION: self.description}


@dataclass(frozen=True, slots=True)
class Record:
    """All that was published of a design, oldest first; and all corrections, oldest first."""

    publications: tuple[Publication, ...] = ()
    corrections: tuple[Correction, ...] = ()

    def told(self) -> dict[str, Told]:
        """What viewers were told last of each measurement; nothing of those that were withdrawn."""
        *_, last = ({}, *(told for _, told in self.moments()))
        return last

    def moments(self) -> Iterator[tuple[Correction | None, dict[str, Told]]]:
        """Every entry in order, with what viewers had been told last once it was there.

        An entry is a correction, or a publication: then None stands for it.
        """
        told: dict[str, Told] = {}
        for place, one in enumerate(self.publications, start=1):
            told = {**told, **one.measurements}
            yield None, told
            for other in self._after(place):
                kept = {name: was for name, was in told.items() if name not in other.gone}
                told = {**kept, **other.measurements}
                yield other, told

    def typed(self) -> Mapping[str, str]:
        """What was typed when viewers were told last (``told_keys``); empty where none knows."""
        if not self.publications:
            return {}
        *_, last = (self.publications[-1], *self._after(len(self.publications)))
        return last.typed

    def texts(self) -> tuple[dict[str, str], dict[str, str]]:
        """What viewers were told last in texts, by name, and the steps' titles by their names."""
        if not self.publications:
            return {}, {}
        last = self.publications[-1]
        texts = last.texts()
        steps = {name: step["title"] for name, step in last.steps.items()}
        for one in self._after(len(self.publications)):
            texts |= one.texts
            for change in one.changes:
                kind, _, rest = change.name.partition(":")
                if kind == "step" and not change.new:
                    steps.pop(rest, None)
        return {
            name: text
            for name, text in texts.items()
            if not name.startswith("step:") or name[5:].rpartition(":")[0] in steps
        }, steps

    def voice_of(self, step_id: str, recorded: str) -> Publication | None:
        """The publication whose words the voice of a step says; None where there is none.

        Args:
            step_id: the step.
            recorded: when its voice was recorded anew, ISO 8601: what was published before that
                day it says no more; empty where it was not.
        """
        return next(
            (one for one in self.publications if step_id in one.steps and one.on >= recorded), None
        )

    def changed(self, episode: Episode, description: str) -> tuple[Change, ...]:
        """Every published number that is told otherwise now: measurements, then texts.

        Args:
            episode: the design's.
            description: the text under the film, marked, without its list of corrections.
        """
        if not self.publications:
            return ()
        with speaking(episode.language):
            return tuple(self._changed(episode, description))

    def _changed(self, episode: Episode, description: str) -> Iterator[Change]:
        tables = families(episode.schedules, episode.table)
        then = by_todays_names(self.told(), todays(episode.table), tables)
        withdrawn = []
        for name, told in then.items():
            now = episode.table.get(name)
            called = (told if now is None else now).label
            label = in_its_row(name, called, then, tables, episode.schedules)
            if now is None:
                withdrawn.append(told.text)
                yield Change(name=name, label=label, old=told.text, new="")
            elif (now.metric.text, now.imperial.text) != (told.metric, told.imperial):
                old, new = _where_changed(told, now)
                yield Change(name=name, label=label, old=old, new=new)
        texts, steps = self.texts()
        today = self._as_then(episode, description, then)
        yield from otherwise(texts, today, steps, withdrawn)

    def correction(
        self,
        episode: Episode,
        description: str,
        reason: str,
        on: date,
        typed: Mapping[str, str],
    ) -> Correction | None:
        """What puts right all that has changed; None when nothing has.

        Args:
            episode, description: as for :meth:`changed`.
            reason: why.
            on: the day.
            typed: what stands under each key of design and workshop file (``told_keys``).
        """
        changes = self.changed(episode, description)
        if not changes:
            return None
        texts, _ = self.texts()
        now = todays(episode.table)
        # with today's figures in the order of systems in which the film and papers went out
        today = self._as_then(episode, description, now)
        # of a table in which a row is told otherwise all rows are: by their numbers of today
        named = {one.name for one in changes} | set(rims_by_size(self.told(), now).values())
        tables = [
            table
            for table in families(episode.schedules, episode.table)
            if any(table.holds(name) for name in named)
        ]

        def anew(name: str) -> bool:
            return name in named or any(table.holds(name) for table in tables)

        return Correction(
            on=on.isoformat(),
            reason=reason,
            changes=changes,
            after=len(self.publications),
            measurements={name: one for name, one in now.items() if anew(name)},
            gone=tuple(name for name in self.told() if name not in now),
            texts={
                name: today[name]
                for name, text in texts.items()
                if name in today and today[name] != text
            },
            typed=typed,
        )

    def _after(self, place: int) -> Iterator[Correction]:
        return (one for one in self.corrections if one.after == place)

    def _as_then(
        self, episode: Episode, description: str, told: Mapping[str, Told]
    ) -> dict[str, str]:
        first = self.publications[-1].first
        return {
            name: as_then(text, episode.table, told, first)
            for name, text in texts_of(episode, description).items()
        }


def _where_changed(told: Told, now: Measurement) -> tuple[str, str]:
    """What was told and what is told now: in the one system that changed, else in both."""
    if told.metric == now.metric.text:
        return told.imperial, now.imperial.text
    if told.imperial == now.imperial.text:
        return told.metric, now.metric.text
    return told.text, now.both


def record_file(design: Path) -> Path:
    """Where the record of a design stands."""
    return design.with_name(f"{design.stem}{PUBLISHED}")


def records_alone(folder: Path) -> tuple[Path, ...]:
    """Records in a folder whose design is not there; each as the design's path."""
    designs = (
        path.with_name(f"{path.name.removesuffix(PUBLISHED)}.yaml")
        for path in sorted(folder.glob(f"*{PUBLISHED}"))
    )
    return tuple(design for design in designs if not design.exists())


def publication(
    episode: Episode,
    description: str,
    film: Path | None,
    on: date,
    typed: Mapping[str, str] | None = None,
) -> Publication:
    """What is told now.

    Args:
        episode: the design's.
        description: the text under the film, marked, without its list of corrections.
        film: the finished film, None when there is none.
        on: the day.
        typed: what stands under each key of design and workshop file (``told_keys``); None where
            nobody will ask.

    Raises:
        OSError: the film cannot be read.
    """
    steps = {
        step.id: {
            "title": plain(step.title),
            "do": plain(step.do),
            "say": plain(step.say),
            "names": " ".join(named_in(step.say)),
            "starts": "" if step.start_ms is None else stamp(step.start_ms),
        }
        for step in episode.steps
    }
    made = Publication(
        on=on.isoformat(),
        name=episode.name,
        design="",
        film=film_digest(film) if film is not None else "",
        title=plain(episode.title),
        first=episode.first,
        description=plain(description),
        steps=steps,
        chapters=tuple(f"{stamp(one.start_ms)} {plain(one.title)}" for one in episode.chapters),
        measurements=todays(episode.table),
        typed=typed or {},
    )
    return replace(made, design=_said(made))


def _said(one: Publication) -> str:
    """Digest of what was told, whatever the day, the file's name, the film and what was typed."""
    tree = _publication_tree(one)
    besides = ("on", "name", "design", "film", "typed")
    return _digest({key: tree[key] for key in tree if key not in besides})


def _digest(tree: Any) -> str:
    text = json.dumps(tree, ensure_ascii=True, sort_keys=True)
    return hashlib.sha256(text.encode("ascii")).hexdigest()


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

    tree = _tree(record)
    dumper = getattr(yaml, "CSafeDumper", yaml.SafeDumper)
    text = yaml.dump(tree, Dumper=dumper, allow_unicode=True, sort_keys=False, width=100)
    return f"{_HEAD}{text}"


def _tree(record: Record) -> dict[str, Any]:
    """The whole record; first of all what it holds, so that one that is cut short says so."""
    lists = {
        "publications": _sealed(_publication_tree(one) for one in record.publications),
        "corrections": _sealed(_correction_tree(one) for one in record.corrections),
    }
    holds: dict[str, str] = {kind: str(len(those)) for kind, those in lists.items()}
    last = [those[-1]["seal"] if those else "" for those in lists.values()]
    return {"holds": holds | {"seal": _digest([holds, last])}, **lists}


def _publication_tree(one: Publication) -> dict[str, Any]:
    return {
        "on": one.on,
        "name": one.name,
        "design": one.design,
        "film": one.film,
        "title": one.title,
        "first": str(one.first),
        "description": one.description,
        "chapters": list(one.chapters),
        "steps": {name: dict(step) for name, step in one.steps.items()},
        "measurements": {name: asdict(told) for name, told in one.measurements.items()},
        **_typed_tree(one),
    }


def _typed_tree(one: Publication | Correction) -> dict[str, Any]:
    """What was typed, where it is known: entries without it keep their seals."""
    return {"typed": dict(one.typed)} if one.typed else {}


def _correction_tree(one: Correction) -> dict[str, Any]:
    return {
        "on": one.on,
        # all values are read back as texts
        "after": str(one.after),
        "reason": one.reason,
        "changes": [asdict(change) for change in one.changes],
        "measurements": {name: asdict(told) for name, told in one.measurements.items()},
        "gone": list(one.gone),
        "texts": dict(one.texts),
        **_typed_tree(one),
    }


def _sealed(trees: Iterable[dict[str, Any]]) -> list[dict[str, Any]]:
    """Each with a seal over itself and all before it."""
    out: list[dict[str, Any]] = []
    before = ""
    for tree in trees:
        before = _digest([before, tree])
        out.append(tree | {"seal": before})
    return out


def read_record(design: Path) -> Record:
    """The record beside a design; an empty one when there is no file.

    Raises:
        BadInput: the file cannot be read as a record, or was changed since studio wrote it.
    """
    file = record_file(design)
    record, seals, holds = read_beside(
        file,
        lambda tree: (
            Record(
                tuple(_publication(one) for one in tree["publications"]),
                tuple(_correction(one) for one in tree["corrections"]),
            ),
            tuple(
                (kind, _text(one["on"]), _text(one["seal"]))
                for kind in ("publications", "corrections")
                for one in tree[kind]
            ),
            # the first records did not say what they hold
            {key: _text(said) for key, said in tree.get("holds", {}).items()},
        ),
        "a published record as studio publish writes it",
        _FETCH,
    ) or (Record(), (), {})
    _require_whole(record, seals, holds, file)
    return record


def _require_whole(
    record: Record, seals: Sequence[tuple[str, str, str]], holds: Mapping[str, str], file: Path
) -> None:
    """See that a record is as studio wrote it, from its first entry to its last."""
    whole = _tree(record)
    counts = [(kind, len(whole[kind])) for kind in ("publications", "corrections")]
    if holds and any(holds.get(kind) != str(many) for kind, many in counts):
        held = " and ".join(f"{holds.get(kind)} {kind}" for kind, _ in counts)
        here = " and ".join(str(many) for _, many in counts)
        raise BadInput.of(
            f"the record was cut: it held {held}, and now {here} are there", _FETCH, file=file
        )
    trees = (*whole["publications"], *whole["corrections"])
    for tree, (kind, on, seal) in zip(trees, seals, strict=True):
        if tree["seal"] != seal:
            what = "what was told" if kind == "publications" else "the correction"
            raise BadInput.of(
                f"{what} on {day(on)} is not as studio wrote it: its seal does not fit",
                f"{_FETCH}; what is told otherwise now is put right by studio correct alone",
                file=file,
            )
    if holds and holds != whole["holds"]:
        raise BadInput.of(
            "what the record says at its head that it holds is not as studio wrote it",
            _FETCH,
            file=file,
        )


def _publication(tree: Any) -> Publication:
    return Publication(
        on=_day(tree["on"]),
        name=_text(tree["name"]),
        design=_text(tree["design"]),
        film=_text(tree["film"]),
        title=_text(tree["title"]),
        first=System(_text(tree["first"])),
        description=_text(tree["description"]),
        steps={
            _text(name): {
                key: _text(step[key]) for key in ("title", "do", "say", "names", "starts")
            }
            for name, step in tree["steps"].items()
        },
        chapters=tuple(_text(one) for one in tree["chapters"]),
        measurements=_measurements(tree["measurements"]),
        typed=_typed(tree),
    )


def _typed(tree: Any) -> dict[str, str]:
    return {_text(keys): _text(mark) for keys, mark in tree.get("typed", {}).items()}


def _measurements(tree: Any) -> dict[str, Told]:
    return {
        _text(name): Told(*(_text(one[key]) for key in ("label", "text", "metric", "imperial")))
        for name, one in tree.items()
    }


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
        measurements=_measurements(tree["measurements"]),
        gone=tuple(_text(name) for name in tree["gone"]),
        texts={_text(name): _text(text) for name, text in tree["texts"].items()},
        typed=_typed(tree),
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
