"""From a design's path to a :class:`Design`, with every fault told in one run.

The workshop file beside the design is laid under it, and so is the design that ``based_on`` names.
When the schema finds faults, the faulty parts are set aside (an optional one is dropped, a
required one takes its documented example) so that the remaining rules are still looked at in the
same run. The repaired design is never used for output.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from difflib import get_close_matches
from itertools import accumulate
from pathlib import Path
from typing import Any

from pydantic import BaseModel, ValidationError

from studio.design.document import Keys, Node, dotted, merged, read
from studio.design.rescale import (
    SIZE,
    Origins,
    Wanted,
    rescaled,
    still_scaled,
    told_as_scaled,
)
from studio.design.schema import Design
from studio.design.texts import Translated, Untranslated, translated
from studio.errors import BadInput, Fault
from studio.language import ENGLISH, FIRST, speaking, tags
from studio.measure.units import QuantityError

WORKSHOP_FILE = "workshop.yaml"
MAX_BASES = 8
"""Longest chain of ``based_on`` (ours)."""

_NOT_INHERITED = ("film", "as_measured", "credit", "scale_to")
"""A cousin is another piece in another film: these belong to the base alone."""


@dataclass(frozen=True, slots=True)
class Problem:
    """A fault before its place is looked up: where in the design, what, and what to write.

    ``needle`` is a piece of the faulty text, so that its own line is told inside a long text;
    ``nth`` says which of its occurrences there, counted from 0. ``at_key`` tells the place of the
    key instead of that of its value. ``wanted`` is the size that would do: ``write`` is then only
    what follows after it.
    """

    keys: Keys
    what: str
    write: str
    needle: str = ""
    nth: int = 0
    at_key: bool = False
    wanted: Wanted | None = None


@dataclass(frozen=True, slots=True)
class ReadDesign:
    """A design as read.

    Attributes:
        file: the design's path as given.
        design: complete; when ``faults`` is not empty, repaired and only fit for finding more.
        faults: what the schema found.
        suspect: keys of the faults, whose values are not to be reasoned about.
        tree: the merged tree, for looking up places.
        notes: what ``scale_to`` did, in words.
        origins: what was typed where a scaled length stands.
        language: the tag of the language that its texts are in.
        words: names of things in that language, by what the design calls them in small letters.
        untranslated: texts that are not there in that language, and stand as they were typed.
    """

    file: Path
    design: Design
    faults: tuple[Fault, ...]
    suspect: frozenset[Keys]
    tree: Node
    notes: tuple[str, ...] = ()
    origins: Origins = field(default_factory=dict)
    language: str = FIRST
    words: Mapping[str, str] = field(default_factory=dict)
    untranslated: tuple[Untranslated, ...] = ()

    def is_suspect(self, *keys: str) -> bool:
        """Whether a fault lies at, in or above ``keys``."""
        return any(found[: len(keys)] == keys[: len(found)] for found in self.suspect)

    @property
    def has_suspect_step_ids(self) -> bool:
        """Whether a fault lies in the steps' own names, or in a step as a whole."""
        in_steps = (keys for keys in self.suspect if keys[:1] == ("steps",))
        return any(len(keys) < 3 or keys[2] == "id" for keys in in_steps)

    def place(self, problem: Problem) -> Fault:
        """The problem with the file, line and column where it stands."""
        return _placed(self.tree, problem, self.origins, self.file)


def _placed(tree: Node, problem: Problem, origins: Origins, own: Path) -> Fault:
    node, depth = tree.find(problem.keys)
    whole = depth == len(problem.keys) and not problem.at_key
    # an unknown or missing child is told at the key of the section that should hold it
    line, column = (node.line, node.column) if whole else (node.key_line, node.key_column)
    if problem.needle and isinstance(node.value, str):
        line, column = _needle_place(node, problem.needle, problem.nth)
    return Fault(
        file=node.file,
        line=line,
        column=column,
        keys=dotted(problem.keys),
        what=problem.what,
        write=told_as_scaled(
            problem.keys, problem.what, problem.write, problem.wanted, origins, own
        ),
    )


def _needle_place(node: Node, needle: str, nth: int) -> tuple[int, int]:
    """Where the ``nth`` ``needle`` stands in the file at or below the start of a text.

    The text itself does not tell: folding has joined its lines, so a space of the needle may be
    a line's end in the file.
    """
    source = node.file.read_text(encoding="utf-8-sig")
    starts = [0, *accumulate(len(line) for line in source.splitlines(keepends=True))]
    begin = starts[node.line - 1] + (0 if node.block else node.column - 1)
    pattern = r"\s+".join(re.escape(word) for word in needle.split())
    if needle[-1:].isalnum() and not needle[-1:].isdigit():
        # a name may be the beginning of another one
        pattern += r"(?!\w)"
    for count, match in enumerate(re.finditer(pattern, source[begin:])):
        if count == nth:
            at = begin + match.start()
            line = bisect_right(starts, at)
            return line, at - starts[line - 1] + 1
    return node.line, node.column


def _with_base(
    file: Path, node: Node, seen: tuple[Path, ...], faults: list[Fault]
) -> tuple[Node, tuple[str, ...], Origins]:
    """The design laid over what it is based on, at its own size; notes and origins of the scaling.

    What is wrong in the trees below, but leaves them readable, is added to ``faults``.
    """
    base = node.child("based_on")
    scale = node.child("scale_to")
    if base is None or not isinstance(base.value, str):
        if scale is not None:
            write = "write the size under stock: diameter:, or name a design under based_on"
            raise _fault_at(scale, "scale_to", "there is no design to scale", write)
        return node, (), {}

    def fault(what: str, write: str) -> BadInput:
        return _fault_at(base, "based_on", what, write)

    if scale is not None and node.find(SIZE)[1] == len(SIZE):
        write = "write one of the two: the size that the piece is to have"
        raise _fault_at(scale, "scale_to", "stock.diameter is written too", write)

    name = base.value.strip()
    if Path(name).name != name or "\\" in name or name in ("", ".", ".."):
        raise fault(
            f"{name[:60]!r} is not the name of a file in this folder",
            "write the file's name alone, such as globe.yaml",
        )
    path = file.parent / name
    if path.exists() and path.resolve().parent != file.parent.resolve():
        raise fault(f"{name!r} leads out of this folder", "copy the design into this folder")
    if path.resolve() in seen:
        raise fault(f"{name!r} is based on this design itself", "break the circle")
    if len(seen) > MAX_BASES:
        raise fault("a chain of too many designs", f"at most {MAX_BASES} behind one another")
    if not path.is_file():
        near = sorted(other.name for other in file.parent.glob("*.yaml") if other != file)
        hint = get_close_matches(name, near, n=1, cutoff=0.4) or near[:5]
        holds = f"this folder holds {', '.join(hint)}" if hint else "this folder holds no other"
        raise fault(f"there is no design {name!r} here", holds)
    tree, more = read(path)
    faults += more
    below, _, before = _with_base(path, tree, (*seen, path.resolve()), faults)
    assert isinstance(below.value, dict)
    kept = {key: child for key, child in below.value.items() if key not in _NOT_INHERITED}
    whole = merged(replace(below, value=kept), node)
    before = still_scaled(whole, node, before)
    scaled = rescaled(whole, node, before)
    if scaled is None:
        return whole, (), before
    return scaled.tree, scaled.notes, scaled.origins


def _fault_at(node: Node, keys: str, what: str, write: str) -> BadInput:
    place = Fault(
        file=node.file, line=node.line, column=node.column, keys=keys, what=what, write=write
    )
    return BadInput([place])


def _with_workshop(file: Path, node: Node, faults: list[Fault]) -> Node:
    path = file.parent / WORKSHOP_FILE
    if not path.is_file():
        return node
    workshop, more = read(path, "name: Your workshop")
    faults += more
    over = node.child("workshop")
    both = merged(workshop, over) if over is not None and over.value is not None else workshop
    assert isinstance(node.value, dict)
    # what is missing is missing from the workshop file, whatever the design overrides
    held = replace(workshop, value=both.value, key_line=1, key_column=1)
    return replace(node, value={**node.value, "workshop": held})


def load(file: Path, language: str | None = None) -> ReadDesign:
    """Read a design with its workshop file and the designs it is based on.

    Args:
        file: the design.
        language: whose texts are wanted; None for the design's own.

    Raises:
        BadInput: the file cannot be read at all; schema faults are returned, not raised.
    """
    with speaking(ENGLISH):
        # what is scaled is written and read back as a turner types it
        return _loaded(file, language)


def _loaded(file: Path, language: str | None) -> ReadDesign:
    own, own_faults = read(file)
    faults = list(own_faults)
    based, notes, origins = _with_base(file, own, (file.resolve(),), faults)
    tree = _with_workshop(file, based, faults)
    typed = tree.child("language")
    first = str(typed.value) if typed is not None and typed.value else FIRST
    tag = language if language is not None else first
    # a tag that is no language's is told with the other faults of the schema
    made = translated(file, tree, tag, first, faults) if tag in tags() else Translated(tree, {})
    tree = made.tree
    raw = tree.plain()
    suspect: set[Keys] = set()
    try:
        design = Design.model_validate(raw)
    except ValidationError as error:
        errors = error.errors(include_url=False)
        problems = [_problem(details, tree) for details in errors if not _is_echo(details)]
        faults += [_placed(tree, problem, origins, file) for problem in problems]
        suspect = {problem.keys for problem in problems}
        design = _repaired(raw, errors, faults)
    return ReadDesign(
        file, design, tuple(faults), frozenset(suspect), tree, notes, origins,
        language if language is not None else design.language, made.words,
        tuple(made.untranslated),
    )  # fmt: skip


_COUSINS_OWN = {
    "after": (
        "after: names no step that stands before this one is placed",
        "write the id of a step of the design that this one is based_on; a step that is there "
        "already keeps its place",
    ),
    "drop": (
        "drop: takes nothing away here",
        "write drop: yes at a step of the design that this one is based_on",
    ),
}


def _is_echo(details: Any) -> bool:
    """A list called too short only because its own entries, told by themselves, are faulty."""
    if details["type"] != "too_short":
        return False
    return len(details["input"]) >= int(details["ctx"]["min_length"])


def _problem(details: Any, tree: Node) -> Problem:
    """A schema error in a turner's words."""
    keys: Keys = tuple(key for key in details["loc"] if key != "[key]")
    kind = details["type"]
    cause = details.get("ctx", {}).get("error")
    if isinstance(cause, QuantityError):
        return Problem(keys, cause.what, cause.write)
    if kind == "missing":
        where = "workshop.yaml" if keys[0] == "workshop" else "the design"
        if keys == ("workshop",):
            return Problem(
                keys,
                "there is no workshop.yaml beside the design",
                "copy the shipped one into this folder and write your own lathe and name into it",
            )
        example = _example(keys)
        hint = f", such as {keys[-1]}: {example}" if isinstance(example, str) else ""
        return Problem(keys, "this key is missing", f"write it into {where}{hint}")
    if kind == "extra_forbidden":
        known = _known_keys(keys[:-1])
        near = get_close_matches(str(keys[-1]), known, n=1, cutoff=0.5)
        hint = f"did you mean {near[0]}? " if near else ""
        what = f"unknown key {str(keys[-1])[:60]!r}"
        if keys[0] == "steps" and keys[-1] in ("after", "drop"):
            return Problem(keys, *_COUSINS_OWN[str(keys[-1])], at_key=True)
        return Problem(keys, what, f"{hint}known here: {', '.join(known)}", at_key=True)
    if kind in ("model_type", "dict_type", "model_attributes_type"):
        return Problem(keys, "a section of keys is due here", "write key: value lines under it")
    if kind in ("tuple_type", "list_type"):
        return Problem(
            keys, "a list is due here", "write each entry on its own line after a hyphen"
        )
    if kind in ("too_long", "too_short"):
        least, most = details["ctx"].get("min_length"), details["ctx"].get("max_length")
        limit = f"at most {most}" if kind == "too_long" else f"at least {least}"
        found = details["ctx"].get("actual_length") or len(details["input"])
        return Problem(keys, f"{found} entries", f"write {limit}")
    return Problem(keys, str(details["msg"]), "see docs/design-file.md for what may stand here")


def _fields(keys: Keys) -> tuple[Any, Any]:
    """The annotation and the field information that the schema has at ``keys``."""
    annotation: Any = Design
    info: Any = None
    for key in keys:
        if isinstance(key, int):
            annotation = next((arg for arg in _arguments(annotation) if _is_model(arg)), None)
        elif _is_model(annotation):
            info = next(
                (
                    one
                    for name, one in annotation.model_fields.items()
                    if key == (one.alias or name)
                ),
                None,
            )
            annotation = info.annotation if info is not None else None
        else:
            # a name in a section of named entries
            annotation = next((arg for arg in _arguments(annotation) if _is_model(arg)), None)
            info = None
        if annotation is None:
            return None, info
        model = next((arg for arg in _arguments(annotation) if _is_model(arg)), None)
        if model is not None and not str(annotation).startswith(("tuple", "dict")):
            annotation = model
    return annotation, info


def _arguments(annotation: Any) -> tuple[Any, ...]:
    return tuple(getattr(annotation, "__args__", ()))


def _is_model(annotation: Any) -> bool:
    return isinstance(annotation, type) and issubclass(annotation, BaseModel)


def _known_keys(keys: Keys) -> list[str]:
    annotation, _ = _fields(keys)
    if not _is_model(annotation):
        return []
    return [field.alias or name for name, field in annotation.model_fields.items()]


def _example(keys: Keys) -> object:
    _, info = _fields(keys)
    return info.examples[0] if info is not None and info.examples else None


def _repaired(raw: Any, errors: Iterable[Any], faults: list[Fault]) -> Design:
    """A design that the schema accepts: faulty parts dropped, required ones by their example.

    A dropped part can leave a required key missing, which the next round fills; three rounds
    reach the deepest section.

    Raises:
        BadInput: with ``faults``, when no round makes it fit.
    """
    for _ in range(4):
        for details in errors:
            _repair(raw, details["loc"])
        try:
            return Design.model_validate(raw)
        except ValidationError as error:
            errors = error.errors(include_url=False)
    raise BadInput(faults)


def _repair(raw: Any, loc: tuple[str | int, ...]) -> None:
    keys = tuple(key for key in loc if key != "[key]")
    if not keys:
        return
    holder = raw
    for key in keys[:-1]:
        try:
            holder = holder[key]
        except (KeyError, IndexError, TypeError):
            return
    last = keys[-1]
    example = _example(keys)
    if isinstance(holder, list) and isinstance(last, int) and last < len(holder):
        # the place stays, so that the remaining entries keep their numbers
        models = _fields(keys)[0]
        holder[last] = dict.fromkeys(()) if _is_model(models) else example
        if holder[last] is None:
            holder[:] = []
    elif isinstance(holder, dict):
        if example is not None:
            holder[last] = example
        else:
            holder.pop(last, None)
