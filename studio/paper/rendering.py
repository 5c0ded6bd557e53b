"""How every paper is set: one sandboxed template environment and the marks that trace its numbers.

Templates hold words and layout. They receive the episode's own texts and lay them out; the only
things that they may do to a text are the filters below.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from functools import cache, wraps
from pathlib import Path
from typing import Any, TypeVar, cast

from jinja2 import FileSystemLoader, StrictUndefined
from jinja2.sandbox import ImmutableSandboxedEnvironment
from markupsafe import Markup

from studio.episode import stamps
from studio.episode.records import Episode
from studio.episode.stamps import day, stamp
from studio.language import speaking
from studio.measure import trace
from studio.measure.trace import has_marks, mark, spans
from studio.paper import markup, views, wording
from studio.paper.compiled import Compiled
from studio.paper.looks import (
    DARK,
    OURS_ALONE,
    STYLE,
    on_dark_screens,
    read_look,
    rendered,
    templates_in,
)
from studio.paper.markup import ITEM, printable, safe_url, to_html, to_markdown, to_text
from studio.paper.unbroken import parted, unbroken, unbroken_page
from studio.paper.wording import worded

_TEMPLATES = Path(__file__).parent / "templates"

ORIGINS: dict[str, str] = {
    "bench": "a measurement's rule of thumb: its words, what it gives, what it leaves",
    "caution-source": "where a caution comes from; the caution's code follows",
    "chapter": "a chapter's stamp; its place in the list follows",
    "corrected": "how many changes of a correction are not listed; its place follows",
    "credit": "the design's own credit",
    "dated": "the day of a correction; its place in the record follows",
    "deference": "what stands above the paper's cautions",
    "demo-note": "the note that people, workshop and design are invented",
    "formula": "how a measurement was computed, in words",
    "groove": "a groove's number on its strip",
    "group": "the heading over measurements that share the first part of their names",
    ITEM: "the number of an item of a list; it follows",
    "label": "what a turner calls a measurement",
    "licence": "the design's licence",
    "limit": "a limit of ours that a schedule's note names; what it limits follows",
    "link": "a link's words or address; its place in the list follows",
    "mark": "an index mark's number on the drawing",
    "quoted": "a corrected sentence, or a number of it, on a note; the text's name follows",
    "reason": "why something was corrected; the correction's place in the record follows",
    "ring": "a ring's number on its templates",
    "rule": "how a measurement was rounded, in words",
    "ruler": "a ruler on a true-scale sheet, and the scale to print it at",
    "schedule": "a schedule's heading or the name of a column; the schedule's name follows",
    "size": "for another size of the ball: a common blank, a rim, the reply; which follows",
    "source": "where a measurement's formula or value comes from",
    "species": "the wood",
    "station": "a station's number on its gauge",
    "step": "a step's number",
    "tile": "which part of a template a sheet shows",
    "told": "what viewers had been told, or were told since; the measurement's name follows",
    "where": "where on the piece a measurement is taken",
    "workshop": "the workshop's name",
}
"""What a mark's name means that is not a plain measurement's: the part before its colon."""


_MEASURED = re.compile(f"{trace.START}([^{trace.SEP}:]*){trace.SEP}([^{trace.END}]*){trace.END}")
"""A measurement's own mark: its name has no colon."""

_LIMITING = re.compile(
    f"{trace.START}((?:bench|limit):[^{trace.SEP}]*){trace.SEP}([^{trace.END}]*){trace.END}"
)
"""The mark of a sentence whose figures are no measurement's: what a bench rule leaves, a limit."""

_AMOUNT = re.compile(r"(?<![^ (])(?:[^ ()<>&]*\d[^ ()<>&]*)(?<![.,;:])")
"""A figure with its unit, kept together by a space at which no line breaks."""

_DIGIT = re.compile(r"\d")


def origin(text: object, name: str) -> str | Markup:
    """``text`` marked as drawn from ``name``; nothing when there is no text.

    Raises:
        ValueError: the part of ``name`` before its colon is not in ``ORIGINS``.
    """
    if name.partition(":")[0] not in ORIGINS:
        raise ValueError(f"no origin {name!r}")
    if not text:
        return ""
    if isinstance(text, Markup):
        return Markup(mark(str(Markup.escape(name)), str(text)))
    return mark(name, str(text))


def _origin_of(text: str, name: str) -> str | Markup:
    """``text`` as it is when it has marks of its own, else marked as drawn from ``name``."""
    return text if has_marks(text) else origin(text, name)


def _figures(text: object) -> Markup:
    """``text`` with every measurement's figure in an element of its own, which a sheet for the
    bench sets large."""

    def own(found: re.Match[str]) -> str:
        kind = "words" if views.is_words(found[2]) else "figure"
        return f'<span class="{kind}">{found[0]}</span>' if _DIGIT.search(found[2]) else found[0]

    def inside(found: re.Match[str]) -> str:
        told = _AMOUNT.sub(r'<span class="figure">\g<0></span>', unbroken(found[2]))
        return mark(found[1], parted(told))

    return Markup(_LIMITING.sub(inside, _MEASURED.sub(own, str(Markup.escape(text)))))


def _html(marked: str, name: str = "") -> Markup:
    return Markup(to_html(marked, name))  # to_html() writes allowed elements only


_FILTERS: dict[str, Any] = {
    "origin": origin,
    "origin_of": _origin_of,
    "figures": _figures,
    "html": _html,
    "lines": to_text,
    "markdown": to_markdown,
    "address": safe_url,
    "stamp": stamp,
    "day": day,
}
"""What templates may do to a text."""


_CALLED = (__file__, markup.__file__, wording.__file__, stamps.__file__, trace.__file__)
"""What the filters are made of."""


def _is_page(template: str | None) -> bool:
    return template is not None and template.endswith(".html.j2")


@cache
def _environment() -> ImmutableSandboxedEnvironment:
    environment = ImmutableSandboxedEnvironment(
        loader=FileSystemLoader(_TEMPLATES),
        bytecode_cache=Compiled(map(Path, _CALLED)),
        autoescape=_is_page,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    environment.filters.update(_FILTERS)
    worded(environment)
    return environment


Render = TypeVar("Render", bound=Callable[..., Any])


def in_its_language(make: Render) -> Render:
    """What makes a paper of an episode, its first argument, in that episode's language."""

    @wraps(make)
    def made(episode: Episode, *more: Any, **named: Any) -> Any:
        with speaking(episode.language):
            return make(episode, *more, **named)

    return cast(Render, made)


def render(template: str, episode: Episode, **more: Any) -> str:
    """The marked text of ``template`` for ``episode``; on a page numbers stay with their units.

    Args:
        template: file name under ``templates/``; ``.html.j2`` files escape what they print.
        episode: what the paper tells.
        more: further values that the template names; in a look of the turner's own its style sheet
            takes the place of ``style``.

    Raises:
        BadInput: the look's folder, a template or a style sheet in it is wrong.
    """

    made = _rendered(template, episode, more)
    return unbroken_page(made) if _is_page(template) else made


def printed_by(template: str, episode: Episode) -> frozenset[str]:
    """Names of what a text prints beside its corrections; empty where there are none to tell.

    Raises:
        BadInput: as for :func:`render`.
    """
    if not episode.corrections:
        return frozenset()
    text = render(template, replace(episode, corrections=()))
    return frozenset(span.name for span in spans(text)[1])


def _rendered(template: str, episode: Episode, more: dict[str, Any]) -> str:
    def as_shipped() -> str:
        return _environment().get_template(template).render(e=episode, views=views, **more)

    if episode.pages is None or template in OURS_ALONE:
        return printable(as_shipped())
    look = read_look(episode.pages, frozenset(templates_in(_TEMPLATES)))
    own = look.style(str(style(STYLE)), str(style(DARK)))
    values = {"e": episode, "views": views, **more, **({"style": own} if own is not None else {})}
    return printable(rendered(look, template, _TEMPLATES, _FILTERS, _is_page, values, as_shipped))


@cache
def style(name: str) -> Markup:
    """A style sheet of ours, ready to stand inside a page."""
    return Markup((_TEMPLATES / name).read_text(encoding="utf-8"))


@cache
def page_style() -> Markup:
    """The style sheet of our pages, with the colours of dark screens."""
    return style(STYLE) + Markup(on_dark_screens(str(style(DARK))))
