"""Where a published figure or text comes from that is told otherwise: files and lines."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import takewhile
from pathlib import Path

from studio.design.document import Keys
from studio.design.reading import Problem, ReadDesign
from studio.episode.records import Change
from studio.episode.told_keys import typed_otherwise
from studio.episode.told_rows import GONE
from studio.episode.told_texts import CHAPTERS, DESCRIPTION, numbers
from studio.errors import Fault

_SECTIONS: dict[str, Keys] = {
    "value": ("values",),
    "index": ("indexing",),
    "axis": ("grooves",),
    "sphere": ("stock",),
    "piece": ("stock",),
    "wood": ("stock",),
    "assembly": ("parts",),
    "speed": ("workshop", "lathe"),
    "profile": ("workshop", "sizing"),
    "tolerance": ("workshop", "accuracy"),
}
"""Sections by the first part of a measurement's name, where they go by another one."""


def places_of_change(
    read: ReadDesign, change: Change, what: str, write: str, typed: Mapping[str, str]
) -> tuple[Fault, ...]:
    """The faults at the lines from which a published figure follows now, the likeliest first.

    A figure follows from many lines. Of those that were changed it is the key that is called like
    it, else all of them; where nobody knows what was, it is the key that is called like it, else
    its section. Where nothing was changed there is none: the figure is reckoned otherwise.

    Args:
        read: the design as it stands.
        change: what is told otherwise.
        what: what is wrong, for the fault.
        write: what to write instead.
        typed: what was typed when viewers were told (``told_keys``); empty where nobody knows.
    """
    likely = _keys(read, change)
    if not typed or _is_text(change):
        return (read.place(Problem(likely, what, write, _typed_anew(read, likely, change))),)
    changed = typed_otherwise(read, typed)
    own = any(keys == likely[: len(keys)] for keys in changed)
    near = sorted(changed, key=lambda keys: -_alike(keys, likely))
    lines: dict[tuple[Path | None, int | None], Fault] = {}
    for keys in [likely] if own else near:
        fault = _typed_at(read, keys, read.place(Problem(keys, what, write)), changed)
        lines.setdefault((fault.file, fault.line), fault)
    return tuple(lines.values())


def _alike(keys: Keys, other: Keys) -> int:
    """How many keys from the top two paths have in common."""
    return sum(
        1 for _ in takewhile(lambda pair: pair[0] == pair[1], zip(keys, other, strict=False))
    )


def _typed_at(read: ReadDesign, keys: Keys, fault: Fault, changed: Sequence[Keys]) -> Fault:
    """The fault where a scaled length was typed, in the design below, unless its scale changed."""
    origin = read.origins.get(keys)
    if origin is None or ("scale_to",) in changed:
        return fault
    return replace(fault, file=origin.file, line=origin.line, column=1)


def _is_text(change: Change) -> bool:
    return change.name.startswith("step:") or change.name in (CHAPTERS, DESCRIPTION)


def _typed_anew(read: ReadDesign, keys: Keys, change: Change) -> str:
    """A number of today's sentence that is typed in the text at ``keys``; empty without one."""
    node, depth = read.tree.find(keys)
    if depth < len(keys) or not isinstance(node.value, str):
        return ""
    was = numbers(change.old)
    return next((one for one in numbers(change.new) if one not in was and one in node.value), "")


def _keys(read: ReadDesign, change: Change) -> Keys:
    kind, _, rest = change.name.partition(":")
    if kind == "step":
        return _step(read, rest)
    if change.name == CHAPTERS:
        return ("film", "marks")
    if change.name == DESCRIPTION:
        return _text(read, change)
    subject, _, key = change.name.removesuffix(GONE).partition(".")
    if subject in read.design.parts:
        section: Keys = ("parts", subject)
    else:
        section = _SECTIONS.get(subject, (subject,))
    return (*section, *_nearest(read, section, key))


def _step(read: ReadDesign, rest: str) -> Keys:
    step_id, _, field = rest.rpartition(":")
    for place, step in enumerate(read.design.steps):
        if step.id == (step_id or field):
            return ("steps", place, field) if step_id else ("steps", place)
    return ("steps",)


def _text(read: ReadDesign, change: Change) -> Keys:
    """The text of the description that holds a number of today's sentence, or of yesterday's."""
    for said in (change.new, change.old):
        wanted = set(numbers(said))
        for keys, text in _typed(read):
            if wanted & set(numbers(text)):
                return keys
    return ("summary",) if read.design.summary else ("title",)


def _typed(read: ReadDesign) -> Iterator[tuple[Keys, str]]:
    design = read.design
    yield ("title",), design.title
    yield ("summary",), design.summary
    yield ("credit",), design.credit
    yield ("workshop", "licence"), design.workshop.licence
    yield ("workshop", "credit"), design.workshop.credit
    yield ("workshop", "note"), design.workshop.note
    yield ("film", "credit"), design.film.credit
    for place, link in enumerate(design.workshop.links):
        yield ("workshop", "links", place, "label"), link.label


def _nearest(read: ReadDesign, section: Keys, key: str) -> Keys:
    """The section's own key that a figure is called like; none where no single one is."""
    node, depth = read.tree.find(section)
    if depth < len(section) or not isinstance(node.value, dict):
        return ()
    if key in node.value:
        return (key,)
    words = set(re.split("[_0-9]+", key)) - {"", "at", "of", "the"}
    alike = [one for one in node.value if words & set(str(one).split("_"))]
    return (str(alike[0]),) if len(alike) == 1 else ()
