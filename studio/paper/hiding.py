"""Style sheets that hide what a reader has to see, told without a browser.

A sheet is taken apart by a library, as CSS Syntax Module Level 3 (W3C) says. Two kinds of
hiding are told apart. *Taking away* (``display: none`` and its kin) has honest uses, so a rule
of that kind matters where it can reach a caution. What hides *in a roundabout way* (letters of
no size, off the page, transparent, cut off, scaled to nothing) has none that a paper needs, so
it is refused on whatever element: a caution or a figure could be it.

What this cannot see is told in docs/paper.md: colours that are alike, something laid over a
text, faces with blank letters, sums in ``calc()``.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

import tinycss2

LEAST_OPACITY = 0.3
LEAST_SCALE = 0.3
LEAST_ADJUST = 0.3
LEAST_LETTER_PX = 5.0
LEAST_ROOM_PX = 5.0
LEAST_TALL_PX = 40.0
FARTHEST_PX = 500.0
FARTHEST_INDENT_PX = 100.0
"""Where hiding begins (ours): parts of what is opaque, of full size, and of a letter's size that
its ``x`` is tall, about half in usual faces; CSS pixels of letters, of room for a text, of its
height where the rest is cut off, and off the place where it would stand."""

HEARD = "thead.heard th"
"""Our selector of table headings that a screen reader says and that nobody sees."""

_PX = {
    "px": 1.0, "pt": 4 / 3, "pc": 16.0, "mm": 96 / 25.4, "cm": 960 / 25.4, "q": 24 / 25.4,
    "in": 96.0, "em": 16.0, "rem": 16.0, "ex": 8.0, "ch": 8.0, "lh": 24.0, "rlh": 24.0, "ic": 16.0,
    "cap": 11.0, "vw": 8.0, "vh": 8.0, "vmin": 8.0, "vmax": 8.0, "dvh": 8.0, "svh": 8.0,
    "lvh": 8.0, "dvw": 8.0, "cqw": 8.0, "cqi": 8.0, "cqh": 8.0, "%": 8.0, "": 1.0,
}  # fmt: skip
"""Units of CSS Values and Units Level 4 in pixels; those that hang on letters or on the window as
on a page of 800 pixels in letters of 16 (ours)."""

_PARTS_OF_LETTERS = {**_PX, "%": 0.16}
_NUMBER = re.compile(
    r"(?<![#\w])([+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?)(%|[a-z]*)(?![\w.])", re.IGNORECASE
)
_VAR = re.compile(r"var\(\s*(--[\w-]+)\s*(?:,([^()]*))?\)")
_AWAY = re.compile(r"display:none|visibility:(?:hidden|collapse)|content-visibility:hidden")
_GENERATED = re.compile(r":{1,2}(?:before|after)\b|::(?:marker|placeholder|backdrop)\b")
_ROOM = re.compile(r"(?:max-)?(?:height|width|block-size|inline-size)")
_PLACE = re.compile(
    r"(?:inset|left|right|top|bottom|margin|padding|translate)(?:-[a-z-]+)?"
    r"|border(?!-image|.*radius)(?:-[a-z-]+)?"
)
_CUT = frozenset({"hidden", "clip", "auto", "scroll"})
_CUT_WITHIN = frozenset({"paint", "content", "strict"})
_NEVER_NEEDED = frozenset({
    "clip", "clip-path", "line-clamp", "mask", "mask-border", "mask-border-source",
    "mask-box-image", "mask-box-image-source", "mask-image", "offset", "offset-path",
    "text-security",
})  # fmt: skip
"""What hides whatever it is set to, unless to one of these."""
_UNSET = frozenset({"none", "auto", "initial", "unset", "inherit"})


@dataclass(frozen=True, slots=True)
class Compound:
    """What the last part of a selector names; nothing of it means any element."""

    tag: str = ""
    classes: frozenset[str] = frozenset()
    ident: str = ""

    def may_be(self, tag: str, classes: frozenset[str], ident: str) -> bool:
        """Whether it may match such an element, whatever else the selector asks for."""
        return (
            self.tag in ("", tag)
            and self.classes <= classes
            and (not self.ident or self.ident == ident)
        )


@dataclass(frozen=True, slots=True)
class Taken:
    """A rule that takes elements away.

    Attributes:
        line: of the sheet.
        subject: which elements.
        above: what each of them stands in, in any order.
    """

    line: int
    subject: Compound
    above: tuple[Compound, ...] = ()


@dataclass(slots=True)
class Hiding:
    """What a sheet hides.

    Attributes:
        roundabout: line and words of each declaration that hides in a roundabout way.
        taken: rules that take elements away.
        broken: the line of a bracket or quotation mark that is never closed, or stands too deep in
            others to be looked into; 0 for none.
    """

    roundabout: list[tuple[int, str]] = field(default_factory=list)
    taken: list[Taken] = field(default_factory=list)
    broken: int = 0


@dataclass(frozen=True, slots=True)
class _Declaration:
    line: int
    name: str
    value: str
    selectors: tuple[str, ...]
    moving: bool


def tidied(css: str) -> str:
    """A sheet without comments and with its escapes written out; lines stay lines."""
    plain = re.sub(r"/\*.*?(?:\*/|$)", lambda hit: "\n" * hit[0].count("\n"), css, flags=re.DOTALL)
    plain = re.sub(r"\\([0-9a-fA-F]{1,6})[ \t\n\f\r]?", _unescaped, plain)
    return re.sub(r"\\([^\n])", r"\1", plain)


def _unescaped(hit: re.Match[str]) -> str:
    code = int(hit[1], 16)
    return chr(code) if 0 < code < 0x110000 and not 0xD800 <= code < 0xE000 else "?"


def hiding(css: str, *, inline: bool = False) -> Hiding:
    """What a sheet hides.

    Args:
        css: the sheet.
        inline: it is what a ``style=`` holds: declarations alone.
    """
    found = Hiding()
    found.broken = _never_closed(css)
    if found.broken:
        return found
    tokens = tinycss2.parse_component_value_list(css, skip_comments=True)
    nodes = tinycss2.parse_blocks_contents(tokens) if inline else tinycss2.parse_stylesheet(tokens)
    # a style= is about the element that it stands on, whatever that is
    declared = list(_within(nodes, ("x",) if inline else (), moving=False))
    named = [one for one in declared if one.name.startswith("--")]
    own: dict[str, list[str]] = {}
    for one in named:
        own.setdefault(one.name, []).append(one.value)
    cuts = any(_may_cut(one.name, each) for one in declared for each in _meant(one.value, own))
    for one in declared:
        values = _meant(one.value, own)
        seen = [
            each
            for each in one.selectors
            for last in _subjects(each)
            if not _GENERATED.search(last)
        ]
        if not seen and not one.moving:
            continue
        if set(one.selectors) == {HEARD}:
            # a heading for ears alone is taken away from eyes
            found.taken.append(_taken(one.line, HEARD))
            continue
        if any(_AWAY.fullmatch(f"{one.name}:{value}") for value in values):
            found.taken += [_taken(one.line, each) for each in seen]
            if one.moving:
                found.roundabout.append((one.line, f"{one.name}: {one.value}"))
        elif any(_hides(one.name, value, cuts) for value in values):
            found.roundabout.append((one.line, f"{one.name}: {one.value}"))
    return found


def _may_cut(name: str, value: str) -> bool:
    """Whether what is larger than its room may be cut off by a declaration."""
    words = set(value.split())
    if name == "contain":
        return not words.isdisjoint(_CUT_WITHIN)
    return name.startswith("overflow") and not words.isdisjoint(_CUT)


_END = "studio-end"
"""A word behind the sheet: it stands in no bracket unless one is never closed."""


_DEEPEST = 32
"""So many brackets within one another are looked into (ours; our own sheets have five)."""


def _never_closed(css: str) -> int:
    """The line of a bracket or quotation mark that is never closed, or stands deeper in others than
    is looked into; 0 for none.

    A sheet's last curly brackets may be left open, as browsers close them.
    """
    whole = tinycss2.parse_component_value_list(f"{css}\n {_END}")
    level = whole
    for _ in range(_DEEPEST):
        level = [node for each in level for node in _held(each)]
    if level:
        return int(level[0].source_line)
    nodes = list(_all_of(whole))
    errors = [node for node in nodes if node.type == "error"]
    for node in nodes:
        in_brackets = node.type in ("() block", "[] block", "function")
        if node in errors and node.kind in ("bad-string", "eof-in-string"):
            return int(node.source_line)
        if in_brackets and any(map(_is_end, _all_of(_held(node)))):
            return int(node.source_line)
    # an address took in all that follows
    return 0 if any(map(_is_end, nodes)) or not errors else int(errors[-1].source_line)


def _held(node: Any) -> list[Any]:
    held = getattr(node, "arguments" if node.type == "function" else "content", None)
    return list(held or ())


def _all_of(nodes: list[Any]) -> Iterator[Any]:
    for node in nodes:
        yield node
        yield from _all_of(_held(node))


def _is_end(node: Any) -> bool:
    return bool(node.type == "ident" and node.value == _END)


def _within(
    nodes: list[Any], selectors: tuple[str, ...], *, moving: bool
) -> Iterator[_Declaration]:
    """Every declaration with the selectors that it stands under, innermost first."""
    for node in nodes:
        if node.type == "declaration":
            value = " ".join(tinycss2.serialize(node.value).split()).lower()
            yield _Declaration(node.source_line, node.lower_name, value, selectors, moving)
        elif node.type in ("qualified-rule", "at-rule") and node.content is not None:
            own, still = selectors, moving
            if node.type == "qualified-rule":
                own = _nested(" ".join(tinycss2.serialize(node.prelude).split()), selectors)
            else:
                still = moving or node.lower_at_keyword.endswith("keyframes")
            yield from _within(tinycss2.parse_blocks_contents(node.content), own, moving=still)


def _nested(prelude: str, outer: tuple[str, ...]) -> tuple[str, ...]:
    """A rule's selectors; one that says only ``&`` means what it stands in."""
    own = _split(prelude, ",")
    if not outer or "&" not in prelude:
        return tuple(own)
    around = [last for each in outer for last in _subjects(each)] or [""]
    return tuple(each.replace("&", last) for each in own for last in around)


def _split(text: str, signs: str) -> list[str]:
    """Parts of a selector between signs that stand in no bracket."""
    parts, depth, begin = [], 0, 0
    for at, sign in enumerate(text):
        depth += (sign in "([") - (sign in ")]")
        if sign in signs and depth == 0:
            parts.append(text[begin:at])
            begin = at + 1
    parts.append(text[begin:])
    return [one.strip() for one in parts if one.strip()]


def _subjects(selector: str) -> list[str]:
    """The last compound of a selector: the elements that it is about."""
    parts = _split(selector, " >+~")
    return parts[-1:]


def _taken(line: int, selector: str) -> Taken:
    parts = _split(selector, " >")
    above: list[Compound] = []
    beside = False
    for part in reversed(parts[:-1]):
        # what stands before a sign for brothers is beside, not above
        if part in ("+", "~"):
            beside = True
        elif beside or re.search(r"[+~]", re.sub(r"\([^()]*\)|\[[^\]]*\]", "", part)):
            beside = False
        else:
            above.append(_compound(part))
    return Taken(line, _compound(_subjects(selector)[-1]), tuple(above))


def _compound(text: str) -> Compound:
    bare = re.sub(r"\[[^\]]*\]", "", text)
    while (shorter := re.sub(r"::?[\w-]+(?:\([^()]*\))?", "", bare)) != bare:
        bare = shorter
    # what a pseudo-class in brackets left over says nothing for certain
    if re.search(r"[()&:]", bare):
        return Compound()
    tag = re.match(r"[a-zA-Z][\w-]*", bare)
    ident = re.search(r"#([\w-]+)", bare)
    return Compound(
        tag[0].lower() if tag else "",
        frozenset(re.findall(r"\.([\w-]+)", bare)),
        ident[1] if ident else "",
    )


def _meant(value: str, own: Mapping[str, list[str]], depth: int = 0) -> list[str]:
    """What a value may be once its variables are put in."""
    hit = _VAR.search(value)
    if hit is None or depth > 4:
        return [value]
    put = [*own.get(hit[1], ()), *([hit[2].strip()] if hit[2] else ())] or ["inherit"]
    return [
        each
        for one in put
        for each in _meant(value[: hit.start()] + one + value[hit.end() :], own, depth + 1)
    ]


def _sizes(value: str, units: Mapping[str, float] = _PX) -> list[float]:
    return [float(one) * units.get(unit.lower(), 1.0) for one, unit in _NUMBER.findall(value)]


def _hides(name: str, value: str, cuts: bool) -> bool:
    """Whether a declaration hides in a roundabout way; ``cuts``: what runs over may be cut off."""
    name = re.sub(r"^-(?:webkit|moz|ms)-", "", name)
    if name == "opacity":
        return any(one < LEAST_OPACITY for one in _shares(value)) or "calc(" in value
    if name in ("font-size", "font"):
        return _lettering(name, value)
    if name in ("color", "text-fill-color"):
        return _is_clear(value)
    if name == "font-size-adjust":
        return any(one < LEAST_ADJUST for one in _shares(value)) or "calc(" in value
    if name in _NEVER_NEEDED:
        return value not in _UNSET
    if name in ("contain", "container", "container-type"):
        return _is_collapsed(name, value)
    if name in ("transform", "scale", "zoom", "rotate"):
        return _is_shrunk(name, value)
    if name == "filter":
        return re.search(r"opacity|blur|brightness|contrast|url", value) is not None
    if name == "content":
        # on an element itself a picture takes the place of what it holds
        return value not in ("normal", "none", "initial", "inherit", "unset")
    if name in ("position", "z-index"):
        return value == "fixed" or (name == "z-index" and value.startswith("-"))
    if name == "text-indent":
        return any(abs(one) >= FARTHEST_INDENT_PX for one in _sizes(value))
    if name in ("letter-spacing", "word-spacing"):
        return any(one <= -LEAST_LETTER_PX for one in _sizes(value))
    if name == "line-height":
        units = {**_PARTS_OF_LETTERS, "": 16.0}
        return any(0 <= one < LEAST_LETTER_PX for one in _sizes(value, units))
    if _ROOM.fullmatch(name) and cuts:
        least = LEAST_TALL_PX if name in ("max-height", "max-block-size") else LEAST_ROOM_PX
        units = {**_PX, "%": 100.0}
        return any(one < least for one in _sizes(value, units))
    if _PLACE.fullmatch(name):
        return any(abs(one) >= FARTHEST_PX for one in _sizes(value))
    return False


def _shares(value: str) -> list[float]:
    return [float(one) / (100 if unit == "%" else 1) for one, unit in _NUMBER.findall(value)]


def _lettering(name: str, value: str) -> bool:
    if "calc(" in value or "min(" in value:
        return True
    sized = [(one, unit) for one, unit in _NUMBER.findall(value) if unit or name == "font-size"]
    if name == "font":
        # weight and slant have no unit; a size of nothing needs none
        bare = re.search(r"(?:^| )0*\.?0*(?:/| )", value)
        sized = sized[:1] or ([("0", "px")] if bare is not None else [])
    pixels = [_sizes(f"{one}{unit}", _PARTS_OF_LETTERS)[0] for one, unit in sized[:1]]
    return any(one < LEAST_LETTER_PX for one in pixels)


def _is_clear(value: str) -> bool:
    """Whether a colour lets nearly all through (CSS Color Module Level 4)."""
    if "transparent" in value:
        return True
    if (hexed := re.search(r"#([0-9a-f]{4}|[0-9a-f]{8})\b", value)) is not None:
        alpha = hexed[1][3] * 2 if len(hexed[1]) == 4 else hexed[1][6:]
        return int(alpha, 16) / 255 < LEAST_OPACITY
    if (told := re.search(r"\((.*)\)", value)) is not None:
        parts = re.split(r"[,/]", told[1])
        if "/" in told[1] or len(parts) == 4:
            return any(one < LEAST_OPACITY for one in _shares(parts[-1])[:1])
    return False


def _is_collapsed(name: str, value: str) -> bool:
    """Whether an element is as tall as if it held nothing (CSS Containment Module Level 3)."""
    # a container's name comes first, and may be any word
    words = value.rpartition("/")[2] if name == "container" else value
    return not {"size", "strict"}.isdisjoint(words.split())


def _is_shrunk(name: str, value: str) -> bool:
    if name in ("scale", "zoom"):
        return any(abs(one) < LEAST_SCALE for one in _shares(value))
    if name == "rotate":
        return re.search(r"[xyz]|\d \d", value) is not None
    if re.search(r"rotate[xy3]|perspective|matrix", value):
        return True
    scaled = re.findall(r"scale\w*\(([^()]*)\)", value)
    moved = re.findall(r"translate\w*\(([^()]*)\)", value)
    return any(abs(one) < LEAST_SCALE for told in scaled for one in _shares(told)) or any(
        abs(one) >= FARTHEST_PX for told in moved for one in _sizes(told)
    )
