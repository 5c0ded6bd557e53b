"""No word of a template is forgotten: its syntax tree holds none that no catalogue knows."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from jinja2 import nodes

from studio.paper.rendering import _TEMPLATES, _environment
from studio.site import pages as site_pages

OURS_ALONE = {"check.html.j2"}
"""The report of the check is for whoever makes the designs: English, like what it tells of."""

NO_WORDS = re.compile(
    r"\.?[a-z0-9]+(?:[-_.:][a-z0-9]*)*(?: [a-z]+(?:-[a-z]+)*)*"
)  # names of measurements, origins, classes
SAID = {"gettext", "ngettext", "pgettext", "_"}
ATTRIBUTES = re.compile(r"\b(?:alt|aria-label|title|placeholder|label)=\"([^\"]*)\"")
CLASSES_AND_NAMES = {
    "figure", "figure other", "other", "words", "narrow", "wide", "big", "label", "where",
}  # fmt: skip


SITE = Path(site_pages.__file__).parent / "templates"


def templates() -> list[Path]:
    every = [*sorted(_TEMPLATES.glob("*.j2")), *sorted(SITE.glob("*.j2"))]
    return [path for path in every if path.name not in OURS_ALONE]


def tree_of(path: Path) -> nodes.Template:
    environment = site_pages._environment() if path.parent == SITE else _environment()
    return environment.parse(path.read_text(encoding="utf-8"))


def prose(path: Path) -> str:
    """What a template prints by itself, each expression as one sign."""
    out: list[str] = []

    def walk(node: nodes.Node) -> None:
        for child in node.iter_child_nodes():
            if isinstance(child, nodes.TemplateData):
                out.append(child.data)
            elif isinstance(child, nodes.Expr):
                out.append("\N{REPLACEMENT CHARACTER}")
            else:
                walk(child)

    walk(tree_of(path))
    text = re.sub(r"\]\([^)]*\)", "]", "".join(out))  # addresses of Markdown
    text = re.sub(r"<(style|script)\b.*?</\1>", "", text, flags=re.DOTALL)
    return re.sub(r"<svg\b.*?</svg>", "", text, flags=re.DOTALL)


def unmarked(path: Path) -> list[str]:
    text = prose(path)
    shown: list[str] = list(ATTRIBUTES.findall(text))
    shown += re.sub(r"<[^>]*>", "\n", text).split("\n")
    return [one.strip() for one in shown if re.search(r"[^\W\d_]{2}", one)]


@pytest.mark.parametrize("path", templates(), ids=lambda path: path.name)
def test_no_text_stands_outside_the_catalogue(path: Path) -> None:
    assert unmarked(path) == []


@pytest.mark.parametrize("path", templates(), ids=lambda path: path.name)
def test_no_words_hide_in_an_expression(path: Path) -> None:
    """A text inside an expression is a name or a class; words go through the catalogue."""
    tree = tree_of(path)
    said = {
        id(inside)
        for call in tree.find_all(nodes.Call)
        if isinstance(call.node, nodes.Name) and call.node.name in SAID
        for inside in call.find_all(nodes.Const)
    }
    found = [
        one.value
        for one in tree.find_all(nodes.Const)
        if isinstance(one.value, str) and id(one) not in said and one.value.strip()
    ]
    words = [one for one in found if re.search(r"[^\W\d_]{2}", one)]
    strange = [one for one in words if not NO_WORDS.fullmatch(one.strip())]
    assert strange == []
    # a class may be two words; a heading handed to a macro looks alike, so these are all known
    several = {one.strip() for one in words if " " in one.strip()}
    assert several <= CLASSES_AND_NAMES


def test_the_search_finds_what_is_forgotten(tmp_path: Path) -> None:
    path = tmp_path / "one.html.j2"
    path.write_text('<p class="x">Sand it</p><img alt="A ball">{{ e.title }}', encoding="utf-8")
    assert unmarked(path) == ["A ball", "Sand it"]
