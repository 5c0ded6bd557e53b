"""``scale_to``: the same ornament at another size.

The form scales; what the workshop owns or the hand needs does not. It is done on the tree, before
the schema reads it, so that a scaled length is checked, told and overridden like a typed one.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from studio.design.document import Keys, Node, dotted
from studio.measure.rounding import decimal_text
from studio.measure.units import Length, QuantityError, parse_length

SIZE = ("stock", "diameter")
"""The length that ``scale_to`` names."""

ANY = "*"
"""Every entry of a list, and every name of a section of named entries."""

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
    ("parts", ANY, "profile", ANY, "length"),
    ("parts", ANY, "profile", ANY, "diameter"),
    ("parts", ANY, "profile", ANY, "start"),
    ("parts", ANY, "profile", ANY, "end"),
    ("parts", ANY, "profile", ANY, "crown"),
    ("parts", ANY, "profile", ANY, "throat"),
)
"""Lengths of the form that scale with it; a tenon does not, see :func:`_is_tenon`."""

COMPUTED_AGAIN = (("stock", "section"), ("parts", ANY, "hole"))
"""Typed sizes that belong to the old size and are left to be computed."""

STAYS = (
    "hanger wire, strands, pitch, loop and hole",
    "tenons, which fit a drill owned",
    "least land, least wall and least neck",
    "drills, cutters, plates and rims owned",
    "truing, waste at both ends, parting cuts and kerf",
    "typed values",
)
"""What does not scale: it is bought, or the chuck and the hand need it as it is."""


@dataclass(frozen=True, slots=True)
class Rescaled:
    """A tree at its new size, and what was done to it in words."""

    tree: Node
    notes: tuple[str, ...]


def rescaled(tree: Node, own: Node) -> Rescaled | None:
    """``tree`` with its form scaled to the ``scale_to`` of ``own``.

    Args:
        tree: the design merged with what it is based on.
        own: the design's own keys: what it types itself is not scaled.

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
    for keys in _places(tree, SCALED):
        before = _length(tree, keys)
        if before is None or _is_typed_in(own, keys) or not before.mm or _is_tenon(tree, keys):
            continue
        text = _text(before.mm * factor)
        out = _with(out, keys, replace(wanted, value=text))
        notes.append(f"{dotted(keys)}: {before.typed} becomes {text}")
    for keys in _places(tree, COMPUTED_AGAIN):
        if _length(tree, keys) is not None and not _is_typed_in(own, keys):
            out = _with(out, keys, None)
            notes.append(f"{dotted(keys)} is computed again")
    notes.append(f"stays as it is: {'; '.join(STAYS)}")
    return Rescaled(out, tuple(notes))


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


def _text(mm: Fraction) -> str:
    return f"{decimal_text(mm, 3)} mm"


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
