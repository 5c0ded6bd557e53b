"""Every message of the package, found in its source: Python by its syntax tree, templates by Babel.

``python -m studio.language.extract`` brings the catalogues up to date: new messages come in empty,
those that are gone go out, translations stay. A test compares, and wants none empty.
"""

from __future__ import annotations

import ast
import io
from collections.abc import Iterable, Iterator
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.extract import extract
from babel.messages.pofile import write_po

from studio.language import CATALOGUES, FIRST, tags
from studio.language.catalogue import catalogue

PACKAGE = CATALOGUES.parent

Message = tuple[str | tuple[str, str], str | None, str, int]
"""English words (of a plural two), context, file and line."""

_WRITTEN_DOWN = {
    "add": (1,),
    "angle": (1,),
    "area": (1,),
    "bench_rule": (0, 3),
    "count": (1,),
    "length": (1,),
    "mass": (1,),
    "number": (1,),
    "percent": (1,),
    "total": (1,),
    "typed": (1,),
    "typed_count": (1,),
    "volume": (1,),
    "words": (1,),
}
"""Methods of a sheet, and which of their arguments it puts into the language."""

_TOLD = ("label", "rule", "formula", "source", "where")
"""Arguments by name that it does so with."""

_RULE = "Rule"
"""A caution's rule: all its texts but the code, which is the first."""


HEADER = """\
msgid ""
msgstr ""
"Language: {tag}\\n"
"MIME-Version: 1.0\\n"
"Content-Type: text/plain; charset=utf-8\\n"
"Content-Transfer-Encoding: 8bit\\n"
"Plural-Forms: {plurals}\\n"

"""
"""What a catalogue begins with (GNU gettext manual, "Filling in the Header Entry")."""


def messages() -> Iterator[Message]:
    """Every message, in the order of files and lines."""
    for path in sorted(PACKAGE.rglob("*.py")):
        if "shipped" not in path.parts:
            yield from in_python(path)
    for path in sorted(PACKAGE.rglob("*.j2")):
        yield from in_template(path)


def _name(path: Path) -> str:
    return path.relative_to(PACKAGE.parent).as_posix()


def in_python(path: Path) -> Iterator[Message]:
    """Messages of a module."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if not isinstance(node, ast.Call):
            continue
        called = node.func.attr if isinstance(node.func, ast.Attribute) else ""
        called = node.func.id if isinstance(node.func, ast.Name) else called
        at = _name(path), node.lineno
        match called, node.args:
            case (("tr" | "later"), [one, *_]) if isinstance(node.func, ast.Name):
                yield from ((text, None, *at) for text in _texts(one))
            case (("tr_for" | "later_for"), [ast.Constant(str(context)), *rest]):
                yield from ((text, context, *at) for one in rest for text in _texts(one))
            case "tr_many", [ast.Constant(str(one)), ast.Constant(str(many)), *_]:
                yield (one, many), None, *at
            case "Rule", [_, *rest]:
                yield from ((text, None, *at) for one in rest for text in _texts(one))
            case name, args if name in _WRITTEN_DOWN and _is_sheet(node.func):
                told = [args[place] for place in _WRITTEN_DOWN[name] if place < len(args)]
                told += [one.value for one in node.keywords if one.arg in _TOLD]
                yield from ((text, None, *at) for one in told for text in _texts(one))


def _is_sheet(called: ast.expr) -> bool:
    if not isinstance(called, ast.Attribute) or not isinstance(called.value, ast.Name):
        return False
    return called.value.id in ("sheet", "self")


def _texts(node: ast.expr) -> Iterator[str]:
    match node:
        case ast.Constant(str(text)) if text:
            yield text
        case ast.IfExp(_, yes, no):
            yield from _texts(yes)
            yield from _texts(no)


def in_template(path: Path) -> Iterator[Message]:
    """Messages of a template."""
    keywords = {"_": None, "gettext": None, "ngettext": (1, 2), "pgettext": ((1, "c"), 2)}
    options = {"newstyle_gettext": "true", "trimmed": "false", "silent": "false"}
    source = io.BytesIO(path.read_bytes())
    for line, found, _, context in extract(
        "jinja2.ext:babel_extract", source, keywords=keywords, options=options
    ):
        text = found if isinstance(found, str) else (str(found[0]), str(found[1]))
        yield text, context, _name(path), line


def template_catalogue(found: Iterable[Message] | None = None) -> Catalog:
    """All messages without translations."""
    made = Catalog(fuzzy=False)
    for text, context, file, _ in messages() if found is None else found:
        # without lines: a catalogue does not change with every line that moves
        made.add(text, context=context, locations=[(file, 0)])
    return made


def updated(tag: str) -> Catalog:
    """The catalogue of a language with the messages that there are now."""
    found = catalogue(tag)
    found.update(template_catalogue(), no_fuzzy_matching=True, update_creation_date=False)
    found.obsolete.clear()
    return found


def as_text(made: Catalog) -> bytes:
    """A catalogue as its file."""
    file = io.BytesIO()
    write_po(
        file, made, width=100, include_lineno=False, sort_by_file=True, ignore_obsolete=True,
        omit_header=True,
    )  # fmt: skip
    # no day, no person, no version: the same messages make the same file
    head = HEADER.format(tag=made.locale_identifier, plurals=made.plural_forms)
    return head.encode("utf-8") + file.getvalue()


def main() -> None:
    """Bring every catalogue up to date."""
    for tag in tags():
        if tag != FIRST:
            (CATALOGUES / f"{tag}.po").write_bytes(as_text(updated(tag)))


if __name__ == "__main__":
    main()
