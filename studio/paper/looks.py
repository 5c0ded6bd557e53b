"""A look of a turner's own: templates and a style sheet in a folder under ``looks/``.

Such a folder may come from a stranger, like a design. Its templates run in a sandbox of their own:
they reach the episode and the views and nothing else, call what is named here, and may neither loop
nor print without end. No file outside the folder is read. What comes out is looked through: a page
asks nothing of the network and runs no script that ours does not.
"""

from __future__ import annotations

import difflib
import re
import traceback
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from html.parser import HTMLParser
from pathlib import Path
from types import FunctionType, MethodType
from typing import Any

from jinja2 import BaseLoader, StrictUndefined, TemplateError, TemplateNotFound, TemplateSyntaxError
from jinja2 import nodes as jinja
from jinja2.exceptions import SecurityError
from jinja2.runtime import BlockReference, LoopContext, Macro
from jinja2.sandbox import ImmutableSandboxedEnvironment
from jinja2.utils import Namespace
from jinja2.visitor import NodeTransformer
from markupsafe import Markup, escape

from studio.errors import BadInput, Fault
from studio.measure.trace import plain
from studio.paper import views
from studio.paper.hiding import Taken, hiding, tidied
from studio.paper.markup import VOID
from studio.paper.wording import EXTENSION, WORDING

STYLE, EXTRA, DARK = "paper.css", "extra.css", "dark.css"
"""A style sheet instead of ours, one that comes after whichever of the two is used, and one that
comes last, on dark screens alone."""

MOST_FILES = 24
MOST_BYTES = 200_000
"""Files of a look, and bytes of one of them (ours; the largest of ours has a tenth)."""

MOST_WORK = 40_000_000
"""What a template may spend on one paper: a unit for each sign printed, and ``_TURN``, ``_CALL`` or
``_VIEW`` for a turn of a loop, a call and a call of a view (ours; ours spend a twentieth)."""

_TURN, _CALL, _VIEW = 200, 200, 20_000

MOST_TEXT = 1_000_000
"""Signs that may be joined to one text (ours)."""

_LARGEST = 10**9
_NEARLY = 0.8
"""How alike a name has to be to one of ours to be told as that, misspelt (ours)."""

_NAME = re.compile(r"[a-z][a-z0-9-]{0,40}\.(?:html|md|txt)\.j2")

OURS_ALONE = frozenset({"check.html.j2"})
"""What a look cannot replace: the report that judges it."""

_FILTERS = frozenset(
    {"capitalize", "count", "d", "default", "e", "escape", "first", "join", "last", "length"}
    | {"list", "lower", "map", "reject", "rejectattr", "reverse", "select", "selectattr", "sort"}
    | {"string", "title", "trim", "unique", "upper"}
)
_METHODS = frozenset(
    {"marked", "marked_other", "marked_both", "reading", "get", "group", "names", "items", "keys"}
    | {"values", "startswith", "endswith", "cycle", "changed"}
)
_SAFETY = re.compile(r"caution|deference|demo-note|\.sign", re.IGNORECASE)
_GUARDED = frozenset(
    {"caution-text", "cautions", "cautions-head", "demo-note", "deference", "short-cautions"}
)
"""Classes of elements whose words have to be seen."""
_OUTSIDE = re.compile(
    r"@import|(?:image-set|(?<![\w-])src)\s*\(|expression\s*\(|url\s*\((?!\s*[\"']?\s*(?:data:|#))",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class PageLook:
    """A folder's files as read.

    Attributes:
        folder: where they lie.
        files: texts by file name.
    """

    folder: Path
    files: Mapping[str, str]

    def fault(self, name: str, line: int | None, what: str, write: str) -> BadInput:
        """An error of one of its files."""
        column = 1 if line is not None else None
        place = self.folder / name
        return BadInput([Fault(file=place, line=line, column=column, what=what, write=write)])

    def style(self, ours: str, ours_dark: str) -> Markup | None:
        """The style sheet to use instead of ours; None where the look has none of its own.

        A look that says nothing of dark screens stays light on them: its colours were chosen for
        one ground, and letters of ours for the other could not be read on it.
        """
        if not self.files.keys() & {STYLE, EXTRA, DARK}:
            return None
        light = self.files.get(STYLE, ours) + self.files.get(EXTRA, "")
        if DARK not in self.files:
            return Markup(light)
        return Markup(f"{light}{on_dark_screens(ours_dark)}{on_dark_screens(self.files[DARK])}")


def on_dark_screens(css: str) -> str:
    """A style sheet that holds on dark screens alone; its lines stay where they are."""
    return f"@media screen and (prefers-color-scheme: dark) {{ {css}}}\n"


def read_look(folder: Path, shipped: frozenset[str]) -> PageLook:
    """Everything in a look's folder that is a template or a style sheet.

    Args:
        folder: under ``looks/``.
        shipped: names of our own templates.

    Raises:
        BadInput: a file is no template of ours by its name, too large, not text, leads out of the
            folder, or a style sheet asks for something outside or hides a caution.
    """
    place = folder.resolve()
    there = sorted(one.name for one in folder.iterdir())
    names = [one for one in there if one.endswith((".j2", ".css"))]
    if len(names) > MOST_FILES:
        raise BadInput.of(
            f"{len(names)} templates and style sheets; {MOST_FILES} are the most",
            "take away what no page needs", file=folder,
        )  # fmt: skip
    files: dict[str, str] = {}
    look = PageLook(folder, files)
    for name in names:
        path = folder / name
        if path.resolve().parent != place or not path.is_file():
            what = "this leads out of the folder of the look, or is no file"
            raise look.fault(name, None, what, "copy the file itself into the folder")
        if path.suffix == ".css" and name not in (STYLE, EXTRA, DARK):
            write = f"call it {STYLE} (for ours), {EXTRA} (after it) or {DARK} (on dark screens)"
            raise look.fault(name, None, "no page uses a style sheet of this name", write)
        if path.suffix == ".j2" and (not _NAME.fullmatch(name) or name in OURS_ALONE):
            known = ", ".join(sorted(shipped - OURS_ALONE))
            what = "not the name of a template that can be replaced"
            raise look.fault(
                name, None, what, f"write one of: {known}; or of one that these include"
            )
        files[name] = _text(look, path)
        if path.suffix == ".css":
            _check_style(look, name, files[name])
    for name in there:
        _check_name(look, name, shipped)
    return look


def _check_name(look: PageLook, name: str, shipped: frozenset[str]) -> None:
    """A file that no page uses is told where its name is nearly one of ours."""
    known = {*(shipped - OURS_ALONE), STYLE, EXTRA, DARK}
    if name in known:
        return
    others = (text for other, text in look.files.items() if other != name)
    if name in look.files and any(f'"{name}"' in one or f"'{name}'" in one for one in others):
        return
    near = difflib.get_close_matches(name, sorted(known), n=1, cutoff=_NEARLY)
    if name in look.files:
        write = f"call it {near[0]}" if near else "include it in a template, or take it away"
        raise look.fault(name, None, "no page uses a template of this name", write)
    if near:
        raise look.fault(name, None, "no page uses a file of this name", f"call it {near[0]}")


def _text(look: PageLook, path: Path) -> str:
    try:
        with path.open("rb") as handle:
            data = handle.read(MOST_BYTES + 1)
        if len(data) > MOST_BYTES:
            write = f"write at most {MOST_BYTES:,} bytes"
            raise look.fault(path.name, None, "this file is too large for a look", write)
        return data.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError:
        write = "save it as UTF-8"
        raise look.fault(path.name, None, "this is no text in UTF-8", write) from None
    except OSError as error:
        what = f"this cannot be read ({error.strerror or error})"
        raise look.fault(path.name, None, what, "make it readable") from error


def style_fault(css: str) -> tuple[int, str, str] | None:
    """What a style sheet may not do: its line, what, what to write; or None."""
    plain = tidied(css)
    if (outside := _OUTSIDE.search(plain)) is not None:
        write = "put pictures and faces into the sheet as data: addresses, or leave them out"
        return plain.count("\n", 0, outside.start()) + 1, "this asks for something outside", write
    if (at := plain.find("</")) >= 0:
        return (
            plain.count("\n", 0, at) + 1,
            "this ends the style sheet within the page",
            "leave </ out of the style sheet",
        )
    hidden = hiding(css)
    if hidden.broken:
        what = "a bracket or quotation mark here is never closed, or stands too deep in others"
        return hidden.broken, what, "close it, or take it out of some of them"
    for line, said in hidden.roundabout:
        write = (
            "let whatever stands on a page be read; display: none takes away what nobody needs, "
            "which no caution is"
        )
        return line, f"this hides what it reaches ({said[:60]})", write
    for one in hidden.taken:
        if any(map(_SAFETY.search, one.subject.classes)):
            return one.line, _HIDDEN_CAUTION, _SEEN_CAUTION
    return None


_HIDDEN_CAUTION = "this hides a caution, the deference or the note"
_SEEN_CAUTION = "give cautions, deference and notes any look that can be read"


def _check_style(look: PageLook, name: str, css: str) -> None:
    if (found := style_fault(on_dark_screens(css) if name == DARK else css)) is not None:
        line, what, write = found
        raise look.fault(name, line, what, write)


class _TooMuch(Exception):
    """A template that prints or loops without end."""


class _Loader(BaseLoader):
    def __init__(self, look: PageLook, ours: Path):
        self.look = look
        self.ours = ours
        self.used: set[str] = set()

    def get_source(self, environment: Any, template: str) -> tuple[str, str, Callable[[], bool]]:
        if template in self.look.files and template.endswith(".j2"):
            self.used.add(template)
            path = self.look.folder / template
            return self.look.files[template], str(path), lambda: True
        if not _NAME.fullmatch(template) or not (self.ours / template).is_file():
            raise TemplateNotFound(template)
        path = self.ours / template
        return path.read_text(encoding="utf-8"), str(path), lambda: True


class _Metered(NodeTransformer):
    """Puts a meter into every loop, macro and template, and one round every joining of texts."""

    def __init__(self, environment: Any):
        self._environment = environment

    def _call(self, name: str, arguments: list[jinja.Expr], line: int) -> jinja.Call:
        call = jinja.Call(jinja.EnvironmentAttribute(name), arguments, [], None, None)
        call.set_lineno(line)
        call.set_environment(self._environment)
        return call

    def _metered(self, node: Any) -> Any:
        node = self.generic_visit(node)
        size = sum(len(one.data) for one in node.find_all(jinja.TemplateData))
        call = self._call("spend", [jinja.Const(_TURN + size)], node.lineno)
        tick = jinja.ExprStmt(call, lineno=node.lineno)
        tick.set_environment(self._environment)
        node.body.insert(0, tick)
        return node

    def visit(self, node: jinja.Node, *args: Any, **kwargs: Any) -> Any:
        """The node as it is run."""
        if isinstance(node, jinja.For | jinja.Macro | jinja.CallBlock | jinja.Template):
            return self._metered(node)
        changed = self.generic_visit(node, *args, **kwargs)
        if isinstance(changed, jinja.Concat):
            return self._call("joined", list(changed.nodes), changed.lineno)
        return changed


class LookEnvironment(ImmutableSandboxedEnvironment):
    """The sandbox of a look's templates."""

    intercepted_binops = frozenset({"+", "*", "**", "%"})

    def __init__(self, look: PageLook, ours: Path, filters: Mapping[str, Any], is_page: Any):
        self.reader = _Loader(look, ours)
        super().__init__(
            loader=self.reader,
            autoescape=is_page,
            undefined=StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
            keep_trailing_newline=True,
            finalize=self._printed,
            extensions=[EXTENSION],
        )
        self.newstyle_gettext = True
        self.filters = {name: self.filters[name] for name in _FILTERS} | dict(filters)
        self.filters["join"] = self._join
        self.globals = {"range": self.counted, "namespace": Namespace, **WORDING}
        self.spent = 0

    def _parse(self, source: str, name: str | None, filename: str | None) -> jinja.Template:
        made: jinja.Template = _Metered(self).visit(super()._parse(source, name, filename))
        return made

    def spend(self, amount: int) -> None:
        """Count work done.

        Raises:
            _TooMuch: it is more than a paper may take.
        """
        self.spent += amount
        if self.spent > MOST_WORK:
            raise _TooMuch

    def _printed(self, value: Any) -> Any:
        self.spend(len(value) if isinstance(value, str) else 16)
        return value

    def counted(self, *ends: int) -> range:
        """``range`` of at most a thousand numbers."""
        made = range(*ends)
        if len(made) > 1000:
            raise SecurityError("a range of more than a thousand numbers")
        return made

    def joined(self, *parts: Any) -> Any:
        """What ``~`` makes, within bounds."""
        if any(isinstance(one, Markup) for one in parts):
            return self._bounded(Markup("").join(escape(one) for one in parts))
        return self._bounded("".join(str(one) for one in parts))

    def _join(self, value: Any, separator: str = "") -> Any:
        parts: list[Any] = []
        for one in value:
            parts += [separator, one] if parts else [one]
        return self.joined(*parts)

    def _bounded(self, value: Any) -> Any:
        if isinstance(value, str | list | tuple):
            self.spend(len(value))
            if len(value) > MOST_TEXT:
                raise SecurityError("a text of too many signs")
        elif isinstance(value, int | float) and abs(value) > _LARGEST:
            raise SecurityError("a number that is too large")
        return value

    def call_binop(self, context: Any, operator: str, left: Any, right: Any) -> Any:
        """Sums and products, within bounds."""
        if operator == "+":
            return self._bounded(super().call_binop(context, operator, left, right))
        if operator == "**" or not all(isinstance(one, int | float) for one in (left, right)):
            raise SecurityError(f"{operator} between these")
        return self._bounded(super().call_binop(context, operator, left, right))

    def is_safe_attribute(self, obj: Any, attr: str, value: Any) -> bool:
        """Nothing that leads to the disk: no path, and no more than a sandbox gives."""
        return not isinstance(value, Path) and super().is_safe_attribute(obj, attr, value)

    def is_safe_callable(self, obj: Any) -> bool:
        """What a template may call."""
        if isinstance(obj, Macro | BlockReference | LoopContext) or obj is Namespace:
            self.spend(_CALL)
            return True
        if isinstance(obj, FunctionType):
            self.spend(_VIEW)
            if any(obj is one for one in WORDING.values()):
                return True
            return obj.__module__ == views.__name__ and not obj.__name__.startswith("_")
        self.spend(_CALL)
        name = getattr(obj, "__name__", "")
        if isinstance(obj, MethodType) and obj.__self__ is self:
            return name in ("spend", "joined", "counted")
        return name in _METHODS and getattr(obj, "__self__", None) is not None


def rendered(
    look: PageLook, template: str, ours: Path, filters: Mapping[str, Any], is_page: Any,
    values: Mapping[str, Any], as_shipped: Callable[[], str],
) -> str:  # fmt: skip
    """A paper by a look's template, or by ours with its parts and style sheet.

    Args:
        look: the turner's own.
        template: its name.
        ours: folder of our templates.
        filters: the papers' own filters.
        is_page: tells by a template's name whether it escapes what it prints.
        values: what templates are given.
        as_shipped: the same paper by our own templates.

    Raises:
        BadInput: a template is wrong, spends too much, or its page asks for something outside.
    """
    key = tuple(sorted(look.files.items()))
    environment = _environment(look.folder, key, ours, tuple(filters.items()), is_page)
    environment.spent = 0
    environment.reader.used.clear()
    try:
        text = environment.get_template(template).render(values)
    except TemplateSyntaxError as error:
        name = Path(error.filename).name if error.filename else (error.name or template)
        write = "see docs/paper.md, Your own look, for what a template may hold"
        raise look.fault(name, error.lineno, f"{error.message}", write) from None
    except TemplateNotFound as error:
        what = f"there is no template {str(error)[:60]!r}"
        write = "include or import one of ours, or one that lies in this folder"
        raise look.fault(*_place(error, look, template), what, write) from None
    except _TooMuch as error:
        what = "this loops or prints without end"
        write = "take out loops within loops; ours need a small part of what is allowed"
        raise look.fault(*_place(error, look, template), what, write) from None
    except RecursionError as error:
        what = "templates or macros here call themselves"
        write = "let none include, import or call itself"
        raise look.fault(*_place(error, look, template), what, write) from None
    except SecurityError as error:
        what = f"a template may not do this ({error})"
        write = "print what the episode and the views hold; see docs/paper.md, Your own look"
        raise look.fault(*_place(error, look, template), what, write) from None
    except (TemplateError, TypeError, ValueError, AttributeError, KeyError, LookupError,
            ArithmeticError, AssertionError) as error:  # fmt: skip
        what = f"this cannot be printed ({str(error)[:120] or type(error).__name__})"
        write = "look at how our template says it, in the folder studio/paper/templates"
        raise look.fault(*_place(error, look, template), what, write) from None
    if is_page(template):
        if any(name.endswith(".j2") for name in look.files):
            _check_page(look, template, text, as_shipped)
        _check_seen(look, template, text, values["e"])
    elif template.endswith(".md.j2") and any(name.endswith(".j2") for name in look.files):
        # a club's website makes a page of it, in which Markdown lets HTML through
        _check_page(look, template, _as_page(text), lambda: _as_page(as_shipped()))
    return text


def _as_page(marked: str) -> str:
    """The page that a reader of Markdown makes of a text, raw HTML and all."""
    import markdown

    return markdown.markdown(plain(marked))


@lru_cache(maxsize=4)
def _environment(
    folder: Path, files: tuple[tuple[str, str], ...], ours: Path,
    filters: tuple[tuple[str, Any], ...], is_page: Any,
) -> LookEnvironment:  # fmt: skip
    return LookEnvironment(PageLook(folder, dict(files)), ours, dict(filters), is_page)


def _place(error: BaseException, look: PageLook, template: str) -> tuple[str, int | None]:
    """The file of the look and its line from which an error came."""
    found = [
        (Path(frame.filename).name, frame.lineno)
        for frame in traceback.extract_tb(error.__traceback__)
        if Path(frame.filename).parent == look.folder
    ]
    if found:
        # what calls itself stands there most often; else the innermost place is meant
        return max(reversed(found), key=found.count)
    return (template if template in look.files else next(iter(look.files), template)), None


@dataclass(slots=True)
class _Asked:
    """What a page does that no page of a look may do: the tag, what, what instead."""

    tag: str
    what: str


@dataclass(slots=True)
class _Found:
    scripts: list[str] = field(default_factory=list)
    asked: list[_Asked] = field(default_factory=list)
    styles: list[str] = field(default_factory=list)


_NEVER = frozenset({"iframe", "frame", "object", "embed", "link", "base", "applet", "portal"})
_ADDRESSES = frozenset(
    {"src", "srcset", "poster", "data", "background", "action", "formaction", "xlink:href"}
    | {"manifest", "ping", "cite", "longdesc", "href"}
)


class _Watch(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.found = _Found()
        self._inside = ""
        self._text: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        if tag in _NEVER:
            self.found.asked.append(_Asked(tag, f"<{tag}> brings in something from outside"))
        if tag == "meta" and given.get("http-equiv", "").lower() in ("refresh", "set-cookie"):
            self.found.asked.append(_Asked(tag, "this leads a reader elsewhere"))
        for name, value in given.items():
            if name.startswith("on"):
                self.found.asked.append(_Asked(name, f"{name}= runs a script"))
            if name in _ADDRESSES and not _is_inside(tag, name, value):
                self.found.asked.append(_Asked(name, f"{name}= asks for something outside"))
        if "style" in given:
            self.found.styles.append(given["style"])
            hidden = hiding(given["style"], inline=True)
            if hidden.roundabout or hidden.taken or hidden.broken:
                self.found.asked.append(_Asked("style", "this hides what stands here"))
        if tag in ("script", "style"):
            self._inside, self._text = tag, []
            if tag == "script" and "src" in given:
                self.found.asked.append(_Asked("script", "a script from elsewhere"))

    def handle_data(self, data: str) -> None:
        if self._inside:
            self._text.append(data)

    def handle_endtag(self, tag: str) -> None:
        if tag and tag == self._inside:
            whole = "".join(self._text)
            (self.found.scripts if tag == "script" else self.found.styles).append(whole)
            self._inside = ""


def _is_inside(tag: str, name: str, value: str) -> bool:
    """Whether an address asks for nothing: a link to follow, a place on the page, a file beside."""
    tidy = value.strip().lower()
    if name == "cite" or tidy.startswith(("#", "data:")) or not tidy:
        return True
    if tag == "a" and name == "href":
        return tidy.startswith(("http://", "https://", "mailto:")) or _is_beside(tidy)
    return name != "href" and _is_beside(tidy)


def _is_beside(address: str) -> bool:
    return re.fullmatch(r"[a-z0-9][\w.#?=&, -]*", address) is not None


def _watched(page: str) -> _Found:
    watch = _Watch()
    watch.feed(page)
    watch.close()
    return watch.found


def _check_page(look: PageLook, template: str, page: str, as_shipped: Callable[[], str]) -> None:
    found = _watched(page)
    if not found.scripts and not found.asked:
        wrong = [css for css in found.styles if style_fault(css) is not None]
        if not wrong:
            return
    ours = _watched(as_shipped())
    for script in found.scripts:
        if script not in ours.scripts:
            found.asked.append(_Asked("script", "a page of a look runs no script of its own"))
    for css in found.styles:
        if css not in ours.styles and (fault := style_fault(css)) is not None:
            found.asked.append(_Asked("style", fault[1]))
    for one in found.asked:
        if one not in ours.asked:
            name, line = _searched(look, template, one.tag)
            raise look.fault(
                name, line, one.what, "leave it out: a page asks nothing of the network, runs no "
                "script and hides nothing",
            )  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Open:
    """An element that is open, and the rule that takes it away, if one does."""

    tag: str
    classes: frozenset[str]
    ident: str
    by: Taken | None


class _Sight(HTMLParser):
    """Looks whether a rule that takes elements away may reach one of some texts."""

    def __init__(self, taken: Iterable[Taken], texts: frozenset[str]):
        super().__init__(convert_charrefs=True)
        self.hit: Taken | None = None
        self._taken = tuple(taken)
        self._texts = texts
        self._open: list[_Open] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        classes = frozenset(given.get("class", "").split())
        ident = given.get("id", "")
        by = next((one for one in self._taken if self._reaches(one, tag, classes, ident)), None)
        if tag not in VOID:
            self._open.append(_Open(tag, classes, ident, by))

    def _reaches(self, one: Taken, tag: str, classes: frozenset[str], ident: str) -> bool:
        return one.subject.may_be(tag, classes, ident) and all(
            any(above.may_be(each.tag, each.classes, each.ident) for each in self._open)
            for above in one.above
        )

    def handle_endtag(self, tag: str) -> None:
        if any(tag == one.tag for one in self._open):
            while self._open.pop().tag != tag:
                pass

    def handle_data(self, data: str) -> None:
        by = next((one.by for one in self._open if one.by is not None), None)
        if self.hit is None and by is not None and data.strip():
            said = " ".join(plain(data).split())
            if any(_GUARDED & one.classes for one in self._open) or any(
                one in said for one in self._texts
            ):
                self.hit = by


def _check_seen(look: PageLook, template: str, page: str, episode: Any) -> None:
    """No rule of the page's sheets takes a caution, the deference or the note away.

    A selector counts by the names in it; what else it asks for is taken as given.
    """
    sheets = _watched(page).styles
    taken = [one for css in sheets if "{" in css for one in hiding(css).taken]
    due = [text for step in episode.steps for c in step.cautions for text in (c.short, c.text)]
    texts = [*due, episode.deference, episode.demo_note]
    sight = _Sight(taken, frozenset(filter(None, (" ".join(plain(one).split()) for one in texts))))
    sight.feed(page)
    sight.close()
    if sight.hit is None:
        return
    for name, css in look.files.items():
        if name.endswith(".css"):
            for one in hiding(css).taken:
                if one.subject == sight.hit.subject:
                    raise look.fault(name, one.line, _HIDDEN_CAUTION, _SEEN_CAUTION)
    own = template if template in look.files else next(iter(look.files))
    raise look.fault(own, None, _HIDDEN_CAUTION, _SEEN_CAUTION)


def _searched(look: PageLook, template: str, word: str) -> tuple[str, int | None]:
    """Where a look's templates first say a word, those of the page itself first."""
    for name in sorted(look.files, key=lambda one: one != template):
        text = look.files[name].lower()
        hit = re.search(rf"<{re.escape(word)}\b|\b{re.escape(word)}\s*=", text)
        if name.endswith(".j2") and hit is not None:
            return name, text.count("\n", 0, hit.start()) + 1
    return template if template in look.files else next(iter(look.files)), None


def templates_in(folder: Path) -> Iterator[str]:
    """Names of the templates in a folder of ours."""
    return (path.name for path in folder.glob("*.j2"))
