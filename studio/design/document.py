"""YAML read into a tree whose every node knows its file, line and column.

A design may come from a stranger: only plain scalars, lists and mappings are read; size, depth
and number of nodes are bounded; anchors, aliases and tags are refused. Scalars stay text, because
YAML's own guesses would turn the film mark ``1:05`` into the number 65.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

import yaml

from studio.errors import BadInput, Fault
from studio.measure.trace import has_marks

MAX_BYTES = 256 * 1024
MAX_DEPTH = 12
MAX_NODES = 20_000
MAX_SCALAR = 8_000
"""Bounds on a design file (ours); the largest demo design is under a tenth of each."""

_OVERRIDES = frozenset("\u202d\u202e")

_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)

Keys = tuple[str | int, ...]
"""A path of keys and list places from the top of a design."""


@dataclass(frozen=True, slots=True)
class Node:
    """A scalar (text or None), list or mapping, and where it stands.

    ``line`` and ``column`` are 1-based and point at the value; ``key_line`` and ``key_column`` at
    its key, or at the value itself when it has none. ``block`` is true for a ``>`` or ``|`` text,
    whose words start on the line below.
    """

    value: str | dict[str, Node] | list[Node] | None
    file: Path
    line: int
    column: int
    key_line: int = 0
    key_column: int = 0
    block: bool = False

    def child(self, key: str | int) -> Node | None:
        """The child under ``key``, if there is one."""
        if isinstance(self.value, dict):
            return self.value.get(str(key))
        if isinstance(self.value, list) and isinstance(key, int) and 0 <= key < len(self.value):
            return self.value[key]
        return None

    def find(self, keys: Sequence[str | int]) -> tuple[Node, int]:
        """The deepest existing node along ``keys``, and how many keys led to it."""
        node, depth = self, 0
        for key in keys:
            child = node.child(key)
            if child is None:
                break
            node, depth = child, depth + 1
        return node, depth

    def plain(self) -> object:
        """Text, lists and dicts without places, for the schema."""
        if isinstance(self.value, dict):
            items = self.value.items()
            # a key with nothing behind it counts as left out
            return {key: child.plain() for key, child in items if child.value is not None}
        if isinstance(self.value, list):
            return [child.plain() for child in self.value]
        return self.value


def dotted(keys: Sequence[str | int]) -> str:
    """``steps[2].say`` for people."""
    out = ""
    for key in keys:
        out += f"[{key + 1}]" if isinstance(key, int) else f".{key}" if out else str(key)
    return out


@dataclass(slots=True)
class _Reader:
    """Turns yaml's nodes into ours and collects every fault on the way."""

    file: Path
    faults: list[Fault] = field(default_factory=list)
    nodes: int = 0

    def fault(self, mark: yaml.Mark, what: str, write: str) -> None:
        self.faults.append(
            Fault(
                file=self.file, line=mark.line + 1, column=mark.column + 1, what=what, write=write
            )
        )

    def node(self, raw: yaml.Node, key: yaml.Mark | None) -> Node:
        start = raw.start_mark
        place = key or start
        made = Node(
            None, self.file, start.line + 1, start.column + 1, place.line + 1, place.column + 1
        )
        if isinstance(raw, yaml.MappingNode):
            return replace(made, value=self.mapping(raw))
        if isinstance(raw, yaml.SequenceNode):
            return replace(made, value=[self.node(item, None) for item in raw.value])
        text = str(raw.value)
        style = getattr(raw, "style", None)
        if len(text) > MAX_SCALAR:
            self.fault(start, f"a text of {len(text)} characters", f"at most {MAX_SCALAR}")
        if has_marks(text):
            self.fault(
                start,
                "a private-use character (U+E000 to U+E002) in a text",
                "leave it out; no font prints it",
            )
        if _OVERRIDES & set(text):
            self.fault(
                start,
                "a character that turns the direction of writing (U+202D or U+202E) in a text",
                "leave it out: it can show the digits of a number in another order",
            )
        plain_null = style in (None, "") and text in ("", "~", "null", "Null", "NULL")
        return replace(made, value=None if plain_null else text, block=style in ("|", ">"))

    def mapping(self, raw: yaml.MappingNode) -> dict[str, Node]:
        out: dict[str, Node] = {}
        for key, value in raw.value:
            if not isinstance(key, yaml.ScalarNode):
                self.fault(
                    key.start_mark,
                    "a key that is not a word",
                    "write a single word as key; a text that begins with a brace stands in quotes",
                )
                continue
            if key.value in out:
                self.fault(
                    key.start_mark,
                    f"the key {key.value!r} stands twice",
                    f"keep one; the first is on line {out[key.value].key_line}",
                )
                continue
            if raw.flow_style and _has_no_colon(key, value):
                self.fault(
                    key.start_mark,
                    f"{key.value!r} stands between braces without a colon and a value",
                    "write the value behind a colon, or leave it out; inside a number write a "
                    "point (3.5), and a text with a comma in quotes",
                )
                continue
            out[key.value] = self.node(value, key.start_mark)
        return out


def _has_no_colon(key: yaml.Node, value: yaml.Node) -> bool:
    """Whether a key ends where its empty value begins: ``{diameter: 57,5 mm}`` has such a one."""
    return value.value == "" and bool(value.start_mark.index == key.end_mark.index)


_HINTS = (
    ("found a tab character", "indent with spaces, not with a tab"),
    ("found character '\\t'", "indent with spaces, not with a tab"),
    (
        "found character that cannot start any token",
        "indent with spaces, not with a tab; a text that begins with @, % or ` stands in quotes",
    ),
    ("mapping values are not allowed", "put the text in quotes: it holds a colon and a space"),
    ("found undefined alias", "put the text in quotes: it begins with an asterisk"),
    ("found unexpected end of stream", "close the quote or bracket that was opened"),
    ("did not find expected", "check indents and quotes at and above this line"),
    ("could not find expected ':'", "write a colon and a space after the key"),
)


def _syntax_fault(file: Path, error: yaml.YAMLError) -> Fault:
    problem = str(getattr(error, "problem", None) or error).splitlines()[0]
    mark = getattr(error, "problem_mark", None)
    hint = next((write for start, write in _HINTS if start in problem), None)
    return Fault(
        file=file,
        line=mark.line + 1 if mark else None,
        column=mark.column + 1 if mark else None,
        what=f"this is not YAML: {problem}",
        write=hint or "check indents, colons and quotes at and above this line",
    )


def _bounded(file: Path, text: str) -> Iterator[Fault]:
    """Refuse what could grow without bound, before any tree is built."""

    def fault(event: Any, what: str, write: str) -> Fault:
        mark = event.start_mark
        return Fault(file=file, line=mark.line + 1, column=mark.column + 1, what=what, write=write)

    depth = 0
    for nodes, event in enumerate(yaml.parse(text, Loader=_LOADER)):
        if isinstance(event, yaml.CollectionStartEvent):
            depth += 1
        elif isinstance(event, yaml.CollectionEndEvent):
            depth -= 1
        if isinstance(event, yaml.AliasEvent) or getattr(event, "anchor", None):
            write = "write the text out, in quotes if it begins with & or *"
            yield fault(event, "an anchor or alias (& or *)", write)
            return
        if getattr(event, "tag", None) not in (None, "!"):
            tag = getattr(event, "tag", "")
            yield fault(event, f"a tag ({tag})", "leave it out; a design holds plain text")
            return
        if depth > MAX_DEPTH or nodes > MAX_NODES:
            what = "nested too deep" if depth > MAX_DEPTH else "more entries than a design holds"
            yield fault(event, what, f"at most {MAX_DEPTH} levels and {MAX_NODES} entries")
            return


def read(file: Path, begins: str = "title: Globe") -> tuple[Node, tuple[Fault, ...]]:
    """The tree of a YAML file, and faults in it that leave the rest readable.

    Args:
        file: the file.
        begins: a line with which such a file may begin, for messages.

    Raises:
        BadInput: no file, unreadable, too large, empty, not YAML, not a mapping, refused
            constructs.
    """
    if file.is_dir():
        raise BadInput.of("this is a folder", "name a design file that ends in .yaml", file=file)
    if file.exists() and not file.is_file():
        raise BadInput.of("this is no ordinary file", "name a design file", file=file)
    try:
        with file.open("rb") as handle:
            data = handle.read(MAX_BYTES + 1)
    except FileNotFoundError:
        near = (
            sorted(path.name for path in file.parent.glob("*.y*ml")) if file.parent.is_dir() else []
        )
        hint = f"the folder holds {', '.join(near[:8])}" if near else "check the path"
        raise BadInput.of("there is no such file", hint, file=file) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise BadInput.of(
            f"cannot be read: {reason}", "check the path and its permissions", file=file
        ) from error
    if len(data) > MAX_BYTES:
        raise BadInput.of("larger than a design may be", f"at most {MAX_BYTES} bytes", file=file)
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        fault = Fault(
            file=file, line=line, column=1, what="not UTF-8 text", write="save the file as UTF-8"
        )
        raise BadInput([fault]) from None
    if "\x00" in text:
        raise BadInput.of("this is not a text file", "name a YAML file", file=file)
    try:
        faults = list(_bounded(file, text))
        root = None if faults else yaml.compose(text, Loader=_LOADER)
    except yaml.YAMLError as error:
        raise BadInput([_syntax_fault(file, error)]) from None
    if faults:
        raise BadInput(faults)
    if root is None:
        raise BadInput.of("the file is empty", f"begin with a line such as {begins}", file=file)
    if not isinstance(root, yaml.MappingNode):
        raise BadInput.of(
            "this is YAML, but no keys and values",
            f"write keys and values, such as {begins}",
            file=file,
        )
    reader = _Reader(file)
    node = reader.node(root, None)
    return node, tuple(reader.faults)


ADDED_TO = frozenset({"does"})
"""Lists that a cousin can only add to: it cannot take a hazard, and its caution, away."""


def merged(base: Node, over: Node) -> Node:
    """``over`` laid on ``base``: mappings key by key, lists of ``id`` entries entry by entry.

    Any other value of ``over`` replaces the one below. In a list whose entries all have an ``id``,
    an entry with a known id changes that entry; a new one goes to the end, or behind the entry
    that its key ``after`` names; ``drop: yes`` removes it.
    """
    if isinstance(base.value, dict) and isinstance(over.value, dict):
        out = dict(base.value)
        for key, child in over.value.items():
            if key not in out:
                out[key] = child
            elif key in ADDED_TO and isinstance(child.value, list):
                out[key] = _joined(out[key], child)
            else:
                out[key] = merged(out[key], child)
        return replace(over, value=out)
    if isinstance(base.value, list) and isinstance(over.value, list):
        if base.value and over.value and all(_id(n) for n in [*base.value, *over.value]):
            return replace(over, value=_merged_entries(base.value, over.value))
        return over
    return over


def _joined(base: Node, over: Node) -> Node:
    assert isinstance(over.value, list)
    below = base.value if isinstance(base.value, list) else [base]
    known = {node.value for node in over.value if isinstance(node.value, str)}
    return replace(over, value=[*(n for n in below if n.value not in known), *over.value])


def _id(node: Node) -> str | None:
    child = node.child("id")
    return child.value if child is not None and isinstance(child.value, str) else None


def _merged_entries(base: list[Node], over: list[Node]) -> list[Node]:
    out = list(base)
    for entry in over:
        assert isinstance(entry.value, dict)
        ids = [_id(node) for node in out]
        after, drop = entry.child("after"), entry.child("drop")
        known = ids.index(_id(entry)) if _id(entry) in ids else None
        # an `after` or `drop` that does not apply stays in the entry: the schema tells it by line
        if known is not None and drop is not None and drop.value in ("yes", "true"):
            del out[known]
        elif known is not None:
            out[known] = merged(out[known], entry)
        elif after is not None and after.value in ids:
            rest = {key: child for key, child in entry.value.items() if key != "after"}
            out.insert(ids.index(str(after.value)) + 1, replace(entry, value=rest))
        else:
            out.append(entry)
    return out
