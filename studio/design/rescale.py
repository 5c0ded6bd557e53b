"""``scale_to``: the same ornament at another size.

The form scales; what the workshop owns or the hand needs does not. It is done on the tree, before
the schema reads it, so that a scaled length is checked, told and overridden like a typed one.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path
from typing import Any

from studio.design.document import Keys, Node, dotted
from studio.design.scaled_sizes import Size, Sized, profile_texts, scaled_text
from studio.language import tr
from studio.measure.rounding import (
    FINE,
    Direction,
    as_written,
    decimal_text,
    length_reading,
)
from studio.measure.units import Length, QuantityError, parse_length

SIZE = ("stock", "diameter")
"""The length that ``scale_to`` names."""

ANY = "*"
"""Every entry of a list, and every name of a section of named entries."""

PROFILE_LENGTHS = ("length", "diameter", "start", "end", "crown", "throat")
"""Lengths of a profile's element."""

SCALED = (
    ("indexing", "offset"),
    ("grooves", "width"),
    ("grooves", "depth"),
    ("grooves", "flare"),
    ("rings", ANY, "place"),
    ("rings", ANY, "width"),
    ("rings", ANY, "depth"),
    ("rings", ANY, "flare"),
    ("hollow", "wall"),
    ("hollow", "opening"),
    *(("parts", ANY, "profile", ANY, key) for key in PROFILE_LENGTHS),
)
"""Lengths of the form that scale with it; a tenon does not, see :func:`_is_tenon`."""

COMPUTED_AGAIN = (("stock", "section"), ("parts", ANY, "hole"))
"""Typed sizes that belong to the old size and are left to be computed."""

STAYS = (
    "hanger wire, strands, pitch, loop and hole",
    "tenons, which fit a drill owned, with their glue gap and the room under them",
    "least land, least wall and least neck",
    "drills, cutters, plates and rims owned",
    "truing, waste at both ends, parting cuts and kerf; the board, where one is typed",
    "sanding and finish",
    "typed values",
)
"""What does not scale: it is bought, or the chuck and the hand need it as it is."""


@dataclass(frozen=True, slots=True)
class Origin:
    """What was typed where a scaled length now stands.

    Attributes:
        typed: the length as typed.
        file: the design that it is typed in.
        line: its line there, from 1.
        factor: what it was multiplied with, over every design in between.
        mm: what it has become, in mm.
    """

    typed: Length
    file: Path
    line: int
    factor: Fraction
    mm: Fraction


Origins = Mapping[Keys, Origin]
"""Every scaled length of a tree, by its keys."""


@dataclass(frozen=True, slots=True)
class Rescaled:
    """A tree at its new size, what was done to it in words, and what was typed there before."""

    tree: Node
    notes: tuple[str, ...]
    origins: Origins


def rescaled(tree: Node, own: Node, before: Origins) -> Rescaled | None:
    """``tree`` with its form scaled to the ``scale_to`` of ``own``.

    Args:
        tree: the design merged with what it is based on.
        own: the design's own keys: what it types itself is not scaled.
        before: what the designs below have scaled already.

    Returns:
        None when there is nothing that could be scaled; the schema then tells what is missing.
    """
    wanted = own.child("scale_to")
    old = _length(tree, SIZE)
    if wanted is None or old is None or not isinstance(wanted.value, str):
        return None
    try:
        new = parse_length(wanted.value)
    except QuantityError:
        return None
    if not old.mm or not new.mm:
        return None
    factor = new.mm / old.mm
    size = replace(wanted, key_line=wanted.key_line, key_column=wanted.key_column)
    out = _with(tree, SIZE, size)
    notes = [f"scaled from {old.typed} to {new.typed}"]
    origins: dict[Keys, Origin] = {}
    exact: dict[Keys, Size] = {}
    for keys in _places(tree, SCALED):
        length = _length(tree, keys)
        if length is None or _is_typed_in(own, keys) or not length.mm or _is_tenon(tree, keys):
            continue
        node, first = tree.find(keys)[0], before.get(keys)
        origin = first or Origin(length, node.file, node.line, Fraction(1), length.mm)
        origins[keys] = replace(origin, factor=origin.factor * factor)
        # from what was typed at first, so that rounding does not add up from cousin to cousin
        exact[keys] = Size(origin.typed.mm * origins[keys].factor, length.system, scales=True)
    texts = _texts(tree, exact, new)
    for keys, text in texts.items():
        out = _with(out, keys, replace(wanted, value=text))
        length = _length(tree, keys)
        assert length is not None
        notes.append(f"{dotted(keys)}: {length.typed} becomes {text}")
        origins[keys] = replace(origins[keys], mm=parse_length(text).mm)
    for keys in _places(tree, COMPUTED_AGAIN):
        if _length(tree, keys) is None or _is_typed_in(own, keys):
            continue
        if keys[-1] == "hole" and not _has_tenon_of_its_own(tree, keys[:-1]):
            # the hole is what its tenon is turned to, and fits a drill that is owned
            continue
        out = _with(out, keys, None)
        notes.append(f"{dotted(keys)} is computed again")
    notes.append(f"stays as it is: {'; '.join(STAYS)}")
    return Rescaled(out, tuple(notes), origins)


def still_scaled(tree: Node, own: Node, before: Origins) -> Origins:
    """What of ``before`` still stands in ``tree``, which ``own`` has been laid over."""
    return {
        keys: origin
        for keys, origin in before.items()
        if tree.find(keys)[1] == len(keys) and not _is_typed_in(own, keys)
    }


AT_LEAST, AT_MOST = "at least", "at most"


@dataclass(frozen=True, slots=True)
class Wanted:
    """The size that would do where a length is too small or too large.

    Attributes:
        found: the length that is there, as printed.
        found_mm: the same in mm.
        size: the size that would do, as printed.
        size_mm: the same in mm.
        bound: :data:`AT_LEAST` or :data:`AT_MOST`.
    """

    found: str
    found_mm: float
    size: str
    size_mm: float
    bound: str

    def words(self) -> str:
        """What to write where the length is typed as it is."""
        return f"write {self.bound} {self.size} there"


_SAME_MM = 0.002
"""A scaled length is written to a thousandth: a found one this near is it."""

_LENGTH = re.compile(r"\d (?:mm|in)\b")


def told_as_scaled(
    keys: Keys, what: str, write: str, wanted: Wanted | None, origins: Origins, own: Path
) -> str:
    """What to write, where sizes are told of a design whose sizes were scaled.

    A size told of ``own`` is not the one that stands in the file below it: this names what is
    typed there and what was made of it, and what would do in either file. Anything else is told as
    it is.

    Args:
        keys: where the problem lies.
        what: what is wrong.
        write: what to write instead; with ``wanted`` what follows after its size.
        wanted: the size that would do.
        origins: what is scaled.
        own: the design that was asked for.
    """
    near = _about(keys, origins)
    plainly = f"{wanted.words()}{write}" if wanted is not None else write
    if not near or not _LENGTH.search(what + plainly):
        return plainly
    if wanted is not None and (at := _found(keys, wanted, near, origins)) is not None:
        origin = origins[at]
        direction = Direction.DOWN if wanted.bound == AT_MOST else Direction.UP
        size = length_reading(
            wanted.size_mm / origin.factor, origin.typed.system, FINE, direction
        ).text
        return (
            f"{_typed_words(origin)} there, scaled by {_factor(origin)} to {wanted.found}: write "
            f"{wanted.bound} {size} there, or {_own_words(at, wanted.size, own)}{write}"
        )
    origin = next(iter(near.values()))
    factor = _factor(origin)
    if len(near) == 1:
        now = scaled_text(origin.mm, origin.typed.system)
        there = f"{_typed_words(origin)} there, scaled by {factor} to {now}"
    else:
        there = f"the sizes of {origin.file.name} are scaled by {factor} here"
    return (
        f"{plainly} ({there}: a size told here is one for {own.name}; divide it by {factor} for "
        f"{origin.file.name})"
    )


def scaled_words(origin: Origin) -> str:
    """What a scaled length was made of."""
    return tr(
        "scaled by {factor} from {typed}", factor=_factor(origin), typed=as_written(origin.typed)
    )


def _typed_words(origin: Origin) -> str:
    return f"{origin.file.name}:{origin.line} has {origin.typed.typed}"


def _own_words(keys: Keys, size: str, own: Path) -> str:
    """How a design overrides a length from below: a list is written out as a whole."""
    places = [at for at, key in enumerate(keys) if isinstance(key, int)]
    if not places:
        return f"{dotted(keys)}: {size} in {own.name}"
    return f"write {dotted(keys[: places[0]])} out in {own.name} with {size} there"


def _factor(origin: Origin) -> str:
    return decimal_text(origin.factor, 4)


def _about(keys: Keys, origins: Origins) -> Origins:
    """The scaled lengths that a problem is about: its own place, else all in it or beside it."""
    if keys in origins:
        return {keys: origins[keys]}
    # a section at the top holds counts and words too, whose problems are not about sizes
    beside = keys[:-1] if len(keys) > len(SIZE) else keys
    return _inside(keys, origins) or _inside(beside, origins)


def _inside(above: Keys, origins: Origins) -> Origins:
    return {at: one for at, one in origins.items() if at[: len(above)] == above}


def _found(keys: Keys, wanted: Wanted, near: Origins, origins: Origins) -> Keys | None:
    """Where the found length is typed: near the problem, or in a neighbour that shares it."""
    for group in (near, _inside(keys[:-2], origins)):
        for at, one in group.items():
            if abs(float(one.mm) - wanted.found_mm) <= _SAME_MM:
                return at
    return None


def _places(tree: Node, patterns: Iterable[tuple[str, ...]]) -> Iterator[Keys]:
    """Every place of the tree that a pattern names, in the order of the patterns."""
    for pattern in patterns:
        yield from _matching(tree, pattern, ())


def _matching(node: Node | None, rest: tuple[str, ...], above: Keys) -> Iterator[Keys]:
    if node is None:
        return
    if not rest:
        yield above
    elif rest[0] != ANY:
        yield from _matching(node.child(rest[0]), rest[1:], (*above, rest[0]))
    elif isinstance(node.value, dict):
        for key, child in node.value.items():
            yield from _matching(child, rest[1:], (*above, key))
    elif isinstance(node.value, list):
        for place, child in enumerate(node.value):
            yield from _matching(child, rest[1:], (*above, place))


def _is_tenon(tree: Node, keys: Keys) -> bool:
    """Whether a length belongs to a tenon: it fits a hole, and the drill does not scale."""
    shape, depth = tree.find((*keys[:-1], "shape"))
    return depth == len(keys) and shape.value == "tenon"


def _has_tenon_of_its_own(tree: Node, part: Keys) -> bool:
    """Whether a part's tenon says how thick it is; else its hole does."""
    shapes = _places(tree, [(*map(str, part), "profile", ANY, "shape")])
    return any(
        _is_tenon(tree, keys) and _length(tree, (*keys[:-1], "diameter")) is not None
        for keys in shapes
    )


def _texts(tree: Node, exact: Mapping[Keys, Size], size: Length) -> dict[Keys, str]:
    """Every scaled length as it is written at its new size, in the order of ``exact``."""
    together: dict[Keys, str] = {}
    for profile in _places(tree, [("parts", ANY, "profile")]):
        elements = tree.find(profile)[0].value
        if isinstance(elements, list) and any(keys[: len(profile)] == profile for keys in exact):
            found = [_sized(tree, (*profile, at), exact) for at in range(len(elements))]
            for (at, key), text in profile_texts(found, size).items():
                together[*profile, at, key] = text
    return {
        keys: together[keys]
        if keys in together
        else scaled_text(one.mm, one.system, up=keys[-1] == "wall")
        for keys, one in exact.items()
    }


def _sized(tree: Node, element: Keys, exact: Mapping[Keys, Size]) -> Sized:
    """An element with its sizes: those that scale as ``exact`` has them, the others as typed."""
    sizes = {}
    for key in PROFILE_LENGTHS:
        keys = (*element, key)
        length = _length(tree, keys)
        if keys in exact:
            sizes[key] = exact[keys]
        elif length is not None:
            sizes[key] = Size(length.mm, length.system, scales=False)
    shape = tree.find((*element, "shape"))[0].value
    return Sized(shape if isinstance(shape, str) else "", sizes)


def _is_typed_in(node: Node, keys: Keys) -> bool:
    return node.find(keys)[1] == len(keys)


def _length(tree: Node, keys: Keys) -> Length | None:
    node, depth = tree.find(keys)
    if depth < len(keys) or not isinstance(node.value, str):
        return None
    try:
        return parse_length(node.value)
    except QuantityError:
        return None


def _with(tree: Node, keys: Keys, new: Node | None) -> Node:
    """``tree`` with another node at ``keys``, or without it."""
    assert isinstance(tree.value, dict | list)
    children: Any = tree.value.copy()
    if len(keys) > 1:
        children[keys[0]] = _with(children[keys[0]], keys[1:], new)
    elif new is None:
        del children[keys[0]]
    else:
        children[keys[0]] = new
    return replace(tree, value=children)
