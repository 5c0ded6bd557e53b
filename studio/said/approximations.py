"""Approximating words beside a number: "about", "just under", "or so"."""

from __future__ import annotations

from studio.said.amounts import Reader

_NEAR, _UNDER, _OVER = "near", "under", "over"


_Sides = dict[str, list[tuple[tuple[str, ...], str]]]


def _sides(pairs: dict[str, str], nearest: int) -> _Sides:
    """The phrases, the longest first, by the word that stands nearest to the figure."""
    out: _Sides = {}
    for words, side in sorted(pairs.items(), key=lambda pair: -len(pair[0].split())):
        phrase = tuple(words.split())
        out.setdefault(phrase[nearest], []).append((phrase, side))
    return out


_LITTLE = (
    "just", "slightly", "a shade", "a touch", "a hair", "a whisker", "a tad", "a bit", "a little",
    "a fraction", "a smidge", "a gnat's", "only just", "a little bit", "a tiny bit", "a hairs",
    "a hair's breadth", "fractionally", "well",
)  # fmt: skip
_BEFORE = _sides(
    {
        **{f"{little} {side}": _UNDER for little in _LITTLE
           for side in ("under", "below", "less than", "short of", "shy of", "beneath")},
        **{f"{little} {side}": _OVER for little in _LITTLE
           for side in ("over", "above", "more than", "past", "bigger than")},
        "about": _NEAR, "around": _NEAR, "roughly": _NEAR, "approximately": _NEAR, "circa": _NEAR,
        "approx": _NEAR,
        "roughly speaking": _NEAR, "say roughly": _NEAR, "or about": _NEAR, "as good as": _NEAR,
        "somewhere near": _NEAR, "in the neighbourhood of": _NEAR, "something around": _NEAR,
        "i'd say about": _NEAR, "of the order of": _NEAR, "within a whisker of": _NEAR,
        "some": _NEAR, "near": _NEAR, "close to": _NEAR, "near to": _NEAR,
        "in the region of": _NEAR,
        "somewhere around": _NEAR, "something like": _NEAR, "call it": _NEAR, "or so": _NEAR,
        "about a": _NEAR, "round about": _NEAR, "more or less": _NEAR, "near enough": _NEAR,
        "give or take": _NEAR, "roundabout": _NEAR, "say about": _NEAR, "ish": _NEAR,
        "pretty much": _NEAR, "as near as": _NEAR,
        "nearly": _UNDER, "almost": _UNDER, "not quite": _UNDER, "a bare": _UNDER,
        "getting on for": _UNDER, "barely": _UNDER, "shy of": _UNDER, "a scant": _UNDER,
        "a good": _OVER, "a full": _OVER, "a fat": _OVER, "a generous": _OVER,
    },
    -1,
)  # fmt: skip
_BEHIND = _sides(
    {
        "give or take": _NEAR, "odd": _NEAR, "something": _NEAR, "or something": _NEAR,
        "or something like that": _NEAR, "or as near as makes no difference": _NEAR,
        "or close to it": _NEAR, "or close enough": _NEAR, "close enough": _NEAR,
        "as near as": _NEAR, "approx": _NEAR, "or something like it": _NEAR,
        "or a bit less": _UNDER, "or a bit under": _UNDER, "or a touch under": _UNDER,
        "or a touch over": _OVER, "or a bit over": _OVER, "and a touch": _OVER, "plus a bit": _OVER,
        "and a hair": _OVER, "and a little": _OVER, "less a bit": _UNDER, "less a touch": _UNDER,
        "or so": _NEAR, "or thereabouts": _NEAR, "thereabouts": _NEAR, "ish": _NEAR,
        "near enough": _NEAR, "more or less": _NEAR, "or near it": _NEAR, "or near enough": _NEAR,
        "roughly": _NEAR, "approximately": _NEAR, "or about": _NEAR, "or there abouts": _NEAR,
        "or nearly": _UNDER, "bare": _UNDER, "and a bit": _OVER, "or a bit more": _OVER,
        "or a shade under": _UNDER, "or a shade over": _OVER, "or just under": _UNDER,
        "or just over": _OVER,
    },
    0,
)  # fmt: skip
ADJECTIVES = frozenset(
    {"deep", "wide", "long", "thick", "across", "square", "high", "tall", "apart", "proud"}
    | {"diameter", "off", "thin", "round", "either"}
)
"""What may stand between a figure and the word that says how near it is."""

_SPEAKERS = frozenset({"my", "the", "i", "they", "he", "she", "it", "says", "said", "i'm"})


def about_of(read: Reader, first: int, after: int) -> str:
    """Which side an approximating word beside the span says."""
    before = [read.word(place) for place in range(max(0, first - 4), first)]
    if before and before[-1] in ("~", "≈"):
        return _NEAR
    for words, side in _BEFORE.get(before[-1], ()) if before else ():
        if tuple(before[-len(words) :]) == words:
            return side
    behind = [read.word(place) for place in range(after, min(len(read.tokens), after + 6))]
    if behind[:1] == ["-"]:
        behind = behind[1:]
    inside = {read.word(place) for place in range(first, after)}
    if inside & {"ish", "odd", "something"}:
        return _NEAR
    if "bit" in inside:
        return _OVER
    while behind[:1] and (behind[0] in ADJECTIVES or behind[0] in (",", "–", "—")):
        behind = behind[1:]
    for words, side in _BEHIND.get(behind[0], ()) if behind else ():
        if tuple(behind[: len(words)]) == words:
            rest = behind[len(words)] if len(behind) > len(words) else ""
            # "twenty-six, or so my notes tell me" says who says so, not how near
            if words == ("or", "so") and rest in _SPEAKERS:
                return ""
            return side
    return ""
