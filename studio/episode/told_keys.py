"""Which keys of a design and its workshop file are typed otherwise than when viewers were told.

A published figure follows from many keys, of both files. The record keeps a fingerprint of each, so
that a figure that is printed otherwise is told with a line that was changed, not with one that its
turner never touched.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping

from studio.design.document import Keys, Node, dotted
from studio.design.reading import ReadDesign

_WORKSHOP = "workshop"
_DEPTH = 2
"""So many keys deep a design is looked at, and its workshop one more: ``stock.diameter`` (ours)."""

_HEX_DIGITS = 12
"""Of a fingerprint: two keys that are alike by chance are one in millions of millions."""

_TEXTS = frozenset(
    {
        "title", "language", "based_on", "summary", "credit", "plain_words", "steps", "film",
        *(f"workshop.{key}" for key in (
            "name", "note", "narration", "links", "site", "credit", "licence", "look", "pages",
            "paper",
        )),
    }
)  # fmt: skip
"""From these a measurement hardly ever follows: they are told where nothing else was changed."""


def typed_keys(read: ReadDesign) -> dict[str, str]:
    """A fingerprint of what stands under each key of a design, its bases and its workshop file."""
    return {
        dotted(keys): hashlib.sha256(
            json.dumps(node.plain(), sort_keys=True).encode("ascii")
        ).hexdigest()[:_HEX_DIGITS]
        for keys, node in _typed(read.tree, ())
    }


def _typed(node: Node, keys: Keys) -> Iterator[tuple[Keys, Node]]:
    depth = _DEPTH + (keys[:1] == (_WORKSHOP,))
    if isinstance(node.value, dict) and len(keys) < depth:
        for key, child in node.value.items():
            yield from _typed(child, (*keys, key))
    elif node.value is not None:
        yield keys, node


def typed_otherwise(read: ReadDesign, told: Mapping[str, str]) -> tuple[Keys, ...]:
    """The keys under which something else stands today, something new, or nothing any more.

    Args:
        read: the design as it stands.
        told: :func:`typed_keys` of the time when viewers were told.
    """
    now = typed_keys(read)
    changed = [name for name in {**told, **now} if told.get(name) != now.get(name)]
    figures = [name for name in changed if not _is_text(name)]
    return tuple(tuple(name.split(".")) for name in figures or changed)


def _is_text(name: str) -> bool:
    parts = name.split(".")
    return any(".".join(parts[:length]) in _TEXTS for length in (1, 2))
