"""A design's texts in another language: what stands in a file beside it, ``globe.de.yaml``.

The file repeats the shape of the design with its texts alone; names that come again and again (a
tool, a wood, a part) stand once, under ``words:``, here or in ``workshop.de.yaml``. A text is
looked up beside the file that it was typed in: a cousin's own sentence never gets the translation
of the one that it replaced.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from studio.design.document import Keys, Node, read
from studio.errors import BadInput, Fault

WORDS = "words"
STEP = ("title", "chapter", "do", "say")
DESIGN = ("title", "summary", "credit")
WORKSHOP = ("note", "credit")
"""Texts of a step, of the design and of the workshop file."""

_HOW = "docs/languages.md shows such a file"


def texts_file(design: Path, tag: str) -> Path:
    """Where the texts of a design, or of the workshop file, stand in another language."""
    return design.with_name(f"{design.stem}.{tag}.yaml")


@dataclass(frozen=True, slots=True)
class Untranslated:
    """A text that is not there in a language.

    Attributes:
        keys: where it stands in the design.
        node: the text in the design's own language, or the thing that goes by its key.
        said: what it says.
        write: what to write for it, and into which file.
        name: whether it is one that stands under ``words:``; such a one is told once.
    """

    keys: Keys
    node: Node
    said: str
    write: str
    name: bool = False


@dataclass(slots=True)
class Translated:
    """A design's tree with its texts in another language.

    Attributes:
        tree: texts that are not translated stand as they were.
        words: names of things by what the design calls them, in small letters.
        untranslated: in the design's order.
    """

    tree: Node
    words: Mapping[str, str]
    untranslated: list[Untranslated] = field(default_factory=list)


def translated(file: Path, tree: Node, tag: str, first: str, faults: list[Fault]) -> Translated:
    """The design's tree in a language: a second one, or its own, which a base may lack.

    A workshop file, or a base, that has texts in the design's own language beside it is itself in
    another. What has none is taken to be in the language of the design.

    Args:
        file: the design.
        tree: merged, with its workshop file.
        tag: of the language that is wanted.
        first: of the design's own language.
        faults: what is wrong in a file of texts is added to it.

    Raises:
        BadInput: there is no such file for the design or its bases in a second language, or one
            cannot be read.
    """
    return _Translator(file, tag, first, faults).of(tree)


@dataclass(slots=True)
class _Translator:
    file: Path
    tag: str
    first: str
    faults: list[Fault]
    files: dict[Path, Node | None] = field(default_factory=dict)

    def of(self, tree: Node) -> Translated:
        own = self._texts(self.file)
        beside = [self._texts(path) for path in dict.fromkeys(_files(tree))]
        workshop = tree.child("workshop")
        if self.tag == self.first:
            if not any(one is not None for one in (own, *beside)):
                return Translated(tree, {})
        elif own is None and not any(
            one is not None for one in beside if workshop is None or one is not self._of(workshop)
        ):
            path = texts_file(self.file, self.tag)
            raise BadInput.of(
                f"there are no texts of this design in {self.tag!r}: no file {path.name}",
                f"write it beside the design; {_HOW}",
                file=self.file,
            )
        words: dict[str, str] = {}
        for one in (*beside, own):
            words |= _words(one)
        made = Translated(tree, words)
        for keys in _sentences(tree):
            self._sentence(made, keys)
        for keys in _names(tree):
            self._name(made, keys)
        for one in self.files.values():
            if one is not None:
                self._look_at_shapes(one)
        self._look_at(own, tree)
        return made

    def _of(self, node: Node) -> Node | None:
        return self._texts(node.file)

    def _texts(self, design: Path) -> Node | None:
        """The file of texts beside a design; None where there is none."""
        if design not in self.files:
            path = texts_file(design, self.tag)
            self.files[design] = None
            if path.is_file():
                if path.resolve().parent != design.parent.resolve():
                    raise BadInput.of(
                        "this leads out of the folder of the design",
                        "copy the file itself into it", file=path,
                    )  # fmt: skip
                self.files[design], more = read(path, "title: Kugel")
                self.faults += more
        return self.files[design]

    def _sentence(self, made: Translated, keys: Keys) -> None:
        node, _ = made.tree.find(keys)
        for texts in (self._texts(self.file), self._texts(node.file)):
            found = _found(texts, made.tree, keys) if texts is not None else None
            if found is not None and isinstance(found.value, str) and found.value.strip():
                made.tree = _with(made.tree, keys, found)
                return
        if self._is_in_it(node):
            return
        key = f"{keys[-1]}:"
        if keys[0] == "steps":
            step = made.tree.find((*keys[:2], "id"))[0].value
            key = f"{key} under the step {step}"
        elif keys[0] == "film":
            key = f"film: {key}"
        write = f"{key} in {texts_file(node.file, self.tag)}"
        made.untranslated.append(Untranslated(keys, node, str(node.value), write))

    def _is_in_it(self, node: Node) -> bool:
        """Whether a text without a translation is in the language as it stands."""
        other = texts_file(node.file, self.first).is_file()
        return self._texts(node.file) is None and other == (self.tag != self.first)

    def _name(self, made: Translated, keys: Keys) -> None:
        node, depth = made.tree.find(keys)
        here = depth == len(keys)
        # a part without a title and a value go by their own names
        typed = here and keys[0] != "values" and isinstance(node.value, str)
        called = str(node.value) if typed else str(keys[1])
        word = made.words.get(called.strip().casefold())
        if word is None:
            told = any(one.name and one.said == called for one in made.untranslated)
            if not told and not self._is_in_it(node):
                write = f"{called[:60]}: under {WORDS}: in {texts_file(node.file, self.tag)}"
                made.untranslated.append(Untranslated(keys, node, called, write, name=True))
        elif keys[-1] in ("title", "product", "label") or "tools" in keys:
            made.tree = _with(made.tree, keys, replace(node, value=word))

    def _look_at(self, own: Node | None, tree: Node) -> None:
        """Texts of the design's own file that translate nothing."""
        if own is None:
            return
        known = {**dict.fromkeys((*DESIGN, WORDS)), "film": ("credit",), "steps": STEP}
        for key, child in _children(own):
            if key not in known:
                self._tell(child, key, f"unknown key {key[:60]!r}", f"known here: {_listed(known)}")
            elif key == "film":
                for part, text in _children(child):
                    self._look_at_text(tree, ("film", part), text, ("credit",))
            elif key == "steps":
                self._look_at_steps(child, tree)
            elif key != WORDS:
                self._look_at_text(tree, (key,), child, DESIGN)

    def _look_at_shapes(self, texts: Node) -> None:
        """What stands in a file of texts otherwise than it would be looked for: none of it would
        be found."""
        for key, (kind, what, write) in _SHAPES.items():
            child = texts.child(key)
            if child is not None and not isinstance(child.value, kind | None):
                names = list(child.value) if isinstance(child.value, dict) else []
                self._tell(child, key, what, write.format(step=names[0] if names else "NAME"))
        words = texts.child(WORDS)
        for word, text in _children(words) if words is not None else ():
            if isinstance(text.value, dict | list):
                self._tell(text, f"{WORDS}.{word}", "a word is due here", _HOW)
        steps = texts.child("steps")
        listed = steps.value if steps is not None and isinstance(steps.value, list) else []
        for at, node in (("", texts), *((f"steps[{n}].", one) for n, one in enumerate(listed, 1))):
            for key in dict.fromkeys((*DESIGN, *WORKSHOP, *STEP)):
                child = node.child(key)
                if child is not None and isinstance(child.value, dict | list):
                    self._tell(child, f"{at}{key}", "a text is due here", f"write it behind {key}:")

    def _look_at_steps(self, steps: Node, tree: Node) -> None:
        there = _ids(tree.child("steps"))
        for place, step in enumerate(steps.value if isinstance(steps.value, list) else []):
            name = step.child("id")
            text = name.value if name is not None and isinstance(name.value, str) else ""
            at = f"steps[{place + 1}]"
            if text not in there:
                write = f"write id: and one of: {', '.join(there)}"
                self._tell(name or step, f"{at}.id", f"the design has no step {text!r}", write)
                continue
            for key, child in _children(step):
                if key != "id":
                    self._look_at_text(tree, ("steps", there[text], key), child, STEP)

    def _look_at_text(self, tree: Node, keys: Keys, child: Node, known: tuple[str, ...]) -> None:
        name = str(keys[-1])
        if name not in known:
            self._tell(child, name, f"unknown key {name[:60]!r}", f"known here: {_listed(known)}")
        elif tree.find(keys)[1] < len(keys):
            what = f"the design has no text {name} here that this would translate"
            self._tell(child, name, what, "write it into the design too, or leave it out")

    def _tell(self, node: Node, keys: str, what: str, write: str) -> None:
        self.faults.append(
            Fault(
                file=node.file, line=node.key_line, column=node.key_column, keys=keys, what=what,
                write=write,
            )
        )  # fmt: skip


_SHAPES: Mapping[str, tuple[type, str, str]] = {
    WORDS: (
        dict,
        "names and what stands for them are due here",
        "write callipers: Taster below it",
    ),
    "film": (dict, "texts of the film by their keys are due here", "write credit: below it"),
    "steps": (
        list,
        "a list of steps is due here",
        "write - id: {step} below it, and the step's texts, title:, do: and say:, below that",
    ),
}
"""What each key holds, by its kind; what to say and to write where it holds something else."""


def _listed(known: Any) -> str:
    return ", ".join(known)


def _children(node: Node) -> Iterator[tuple[str, Node]]:
    if isinstance(node.value, dict):
        yield from node.value.items()


def _files(tree: Node) -> Iterator[Path]:
    """The files that a tree was merged from."""
    yield tree.file
    children = tree.value.values() if isinstance(tree.value, dict) else tree.value
    for child in children if not isinstance(children, str | None) else ():
        yield from _files(child)


def _words(texts: Node | None) -> dict[str, str]:
    words = texts.child(WORDS) if texts is not None else None
    return {
        key.strip().casefold(): child.value.strip()
        for key, child in (_children(words) if words is not None else ())
        if isinstance(child.value, str) and child.value.strip()
    }


def _ids(steps: Node | None) -> dict[str, int]:
    """Places of the steps by their names."""
    found: dict[str, int] = {}
    for place, step in enumerate(steps.value if steps and isinstance(steps.value, list) else []):
        name = step.child("id")
        if name is not None and isinstance(name.value, str):
            found.setdefault(name.value, place)
    return found


def _found(texts: Node, tree: Node, keys: Keys) -> Node | None:
    """The text for ``keys`` of the design in a file of texts, whose steps go by their names."""
    if keys[0] == "workshop":
        keys = keys[1:]
    if keys[0] != "steps":
        node, depth = texts.find(keys)
        return node if depth == len(keys) else None
    name = tree.find((*keys[:2], "id"))[0].value
    place = _ids(texts.child("steps")).get(str(name))
    step = texts.find(("steps", place))[0] if place is not None else None
    return step.child(keys[-1]) if step is not None else None


def _is_text(tree: Node, keys: Keys) -> bool:
    node, depth = tree.find(keys)
    return depth == len(keys) and isinstance(node.value, str) and bool(node.value.strip())


def _sentences(tree: Node) -> list[Keys]:
    """Where the design has sentences that a viewer may read."""
    keys: list[Keys] = [(one,) for one in DESIGN]
    keys += [("film", "credit"), *(("workshop", one) for one in WORKSHOP)]
    steps = tree.child("steps")
    count = len(steps.value) if steps is not None and isinstance(steps.value, list) else 0
    keys += [("steps", place, one) for place in range(count) for one in STEP]
    return [one for one in keys if _is_text(tree, one)]


def _names(tree: Node) -> list[Keys]:
    """Where the design names things: woods, parts, tools, a finish, values, links."""
    keys: list[Keys] = [("stock", "species"), ("finish", "product")]
    out = [one for one in keys if _is_text(tree, one)]
    parts = tree.child("parts")
    for part, node in _children(parts) if parts is not None else ():
        out.append(("parts", part, "title"))
        if node.child("species") is not None:
            out.append(("parts", part, "species"))
    values = tree.child("values")
    out += [("values", one) for one, _ in (_children(values) if values is not None else ())]
    for step, place in _ids(tree.child("steps")).items():
        tools = tree.find(("steps", place))[0].child("tools")
        count = len(tools.value) if tools is not None and isinstance(tools.value, list) else 0
        out += [("steps", place, "tools", number) for number in range(count) if step]
    links, depth = tree.find(("workshop", "links"))
    if depth == 2 and isinstance(links.value, list):
        out += [("workshop", "links", number, "label") for number in range(len(links.value))]
    return out


def _with(tree: Node, keys: Keys, new: Node) -> Node:
    """The tree with another node at ``keys``."""
    if not keys:
        return new
    first, rest = keys[0], keys[1:]
    if isinstance(tree.value, dict):
        below = tree.value.get(str(first)) or replace(new, value={} if rest else None)
        return replace(tree, value={**tree.value, str(first): _with(below, rest, new)})
    assert isinstance(tree.value, list)
    assert isinstance(first, int)
    made = list(tree.value)
    made[first] = _with(made[first], rest, new)
    return replace(tree, value=made)
