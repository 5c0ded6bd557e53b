"""Texts that viewers were told, laid against today's: which sentence names another number now.

A number that follows from a changed measurement is told once, with the measurement; here are those
that a text names otherwise although no measurement changed.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from difflib import SequenceMatcher, get_close_matches
from functools import cache

from studio.episode.records import Change, Episode, Told
from studio.episode.stamps import stamp
from studio.episode.times import sentences
from studio.episode.told_moves import moved
from studio.language import later, tr
from studio.measure.measurement import Measurement, System, in_both
from studio.measure.numbers import find_numbers, find_positions, portion_before
from studio.measure.speech import spoken
from studio.measure.trace import plain, spans
from studio.measure.units import QuantityError, parse_value
from studio.turning.sphere import figure_sides

DESCRIPTION, CHAPTERS = "description", "chapters"
FIELDS = {"title": later("title"), "do": later("instruction"), "say": later("narration")}
"""What a step's texts are called."""

STEP, STEP_TEXT = later("Step “{title}”"), later("Step “{title}”, {field}")
"""What a step, and a text of it, is called in a correction."""

_SPOKEN = "spoken:"

_UNIT = re.compile(r"\s?([^\W\d_]+|[°%″])")

_FIGURE = re.compile(r"\b([a-z]+gon)(?:s|al)?\b", re.IGNORECASE)
"""An octagon is a number too: so many sides."""

ALIKE = 0.5
"""Share of common letters from which two sentences, or two steps, are taken for the same (ours)."""


def step_key(step_id: str, field: str) -> str:
    """The name under which a step's text is told."""
    return f"step:{step_id}:{field}"


def is_text(name: str) -> bool:
    """Whether a change of that name is of a sentence in a text, and not of a measurement."""
    return ":" in name or name in (CHAPTERS, DESCRIPTION)


def texts_of(episode: Episode, description: str) -> dict[str, str]:
    """Every text that is told now, marked, by its name.

    Args:
        episode: the design's.
        description: the text under the film, marked, without its list of corrections.
    """
    told = {
        step_key(step.id, field): str(getattr(step, field))
        for step in episode.steps
        for field in FIELDS
    }
    told[CHAPTERS] = "\n".join(f"{stamp(one.start_ms)} {one.title}" for one in episode.chapters)
    told[DESCRIPTION] = description
    return told


def named_in(marked: str) -> tuple[str, ...]:
    """The measurements that a text names, each once."""
    return tuple(dict.fromkeys(one.name.removeprefix(_SPOKEN) for one in spans(marked)[1]))


def as_then(
    marked: str, table: Mapping[str, Measurement], told: Mapping[str, Told], first: System
) -> str:
    """Today's text with every measurement as it was told then, plain.

    Args:
        marked: the text.
        table: of today.
        told: what was told then; a measurement that was not keeps its figure.
        first: the system that was printed first then.
    """
    text, marks = spans(marked)
    pieces, at = [], 0
    for one in marks:
        name = one.name.removeprefix(_SPOKEN)
        said = _then(one.text, table.get(name), told, first, aloud=name != one.name)
        pieces += [text[at : one.start], said]
        at = one.stop
    return "".join([*pieces, text[at:]])


def _then(
    text: str,
    now: Measurement | None,
    told: Mapping[str, Told],
    first: System,
    *,
    aloud: bool,
) -> str:
    then = told.get(now.name) if now is not None else None
    if now is None or then is None:
        return text
    systems = {System.METRIC: then.metric, System.IMPERIAL: then.imperial}
    main, second = systems[first], systems[first.other]
    if aloud:
        return spoken(main)
    alike = then.metric == then.imperial
    # what was told later, in a correction, may have been told in the other order
    both = then.text if alike else in_both(main, second)
    roles = {now.other: second, now.text: main, now.both: both}
    return roles.get(text, text)


def otherwise(
    old: Mapping[str, str],
    now: Mapping[str, str],
    steps: Mapping[str, str],
    withdrawn: Iterable[str] = (),
) -> Iterator[Change]:
    """Every sentence of the texts told that names another number now.

    Args:
        old: as told, by name.
        now: as today's would have been told then, by name.
        steps: titles of the steps as told, by their names.
        withdrawn: figures that are told to be withdrawn already.
    """
    without = Counter(number for text in withdrawn for number in numbers(text))
    renamed = _renamed(old, now, steps)
    seen: set[tuple[str, str]] = set()
    for step_id, title in steps.items():
        if renamed[step_id] is None:
            said = " ".join(old[step_key(step_id, field)] for field in ("title", "do"))
            yield Change(
                name=f"step:{step_id}",
                label=str(tr(STEP, title=title)),
                old=_quoted(said),
                new="",
            )
    for name, text in old.items():
        label, today = _place(name, steps, renamed)
        if today is None:
            continue
        for was, new in changed_sentences(text, now.get(today, "")):
            # the description says again what chapters and steps say
            if (was, new) in seen or _only_lacks(was, new, without):
                continue
            seen.add((was, new))
            yield Change(name=name, label=label, old=_quoted(was), new=_quoted(new))


def _only_lacks(was: str, new: str, withdrawn: Container[str]) -> bool:
    """Whether all that a sentence says otherwise is that it leaves out withdrawn figures."""
    here = numbers(new)
    missing = {one for one in numbers(was) if one not in here}
    kept = [one for one in numbers(was) if one not in missing]
    return bool(missing) and all(one in withdrawn for one in missing) and _in_order(kept, here)


def _in_order(said: Iterable[str], among: Iterable[str]) -> bool:
    """Whether all of some numbers are said among others, in their order."""
    rest = iter(among)
    return all(one in rest for one in said)


def _place(
    name: str, steps: Mapping[str, str], renamed: Mapping[str, str | None]
) -> tuple[str, str | None]:
    """What a text is called, and its name today; None with a step that is gone."""
    kind, _, rest = name.partition(":")
    if kind != "step":
        called = {CHAPTERS: tr("Chapters"), DESCRIPTION: tr("Description")}.get(name, name)
        return str(called), name
    step_id, _, field = rest.rpartition(":")
    today = renamed.get(step_id)
    label = tr(STEP_TEXT, title=steps.get(step_id, step_id), field=tr(FIELDS[field]))
    return str(label), None if today is None else step_key(today, field)


def _renamed(
    old: Mapping[str, str], now: Mapping[str, str], steps: Mapping[str, str]
) -> dict[str, str | None]:
    """Today's name of each step, found by its words where its own is gone; None without one."""
    here = [name.split(":")[1] for name in now if name.endswith(":do")]
    new = {now[step_key(one, "do")]: one for one in here if one not in steps}
    out: dict[str, str | None] = {}
    for step_id in steps:
        out[step_id] = step_id if step_id in here else None
        if step_id not in here:
            near = get_close_matches(old[step_key(step_id, "do")], new, n=1, cutoff=ALIKE)
            out[step_id] = new.pop(near[0]) if near else None
    return out


def changed_sentences(old: str, new: str) -> Iterator[tuple[str, str]]:
    """Sentences of ``old`` whose numbers ``new`` does not say any more, each with today's.

    Words alone may change, sentences move, and new ones come; none of that changes a number, as
    long as each one stands at its own words: two numbers exchanged are changed.

    >>> list(changed_sentences("Mark 12 mm. Turn it.", "Turn it round. Mark 14 mm."))
    [('Mark 12 mm.', 'Mark 14 mm.')]
    >>> list(changed_sentences("Drill 2 mm, 12 mm deep.", "Drill 12 mm, and 2 mm deep."))
    [('Drill 2 mm, 12 mm deep.', 'Drill 12 mm, and 2 mm deep.')]
    """
    today = Counter(_sentences(new))
    was: list[str] = []
    for one in _sentences(old):
        if today[one]:
            today[one] -= 1
        else:
            was.append(one)
    left = list(today.elements())
    pairs: dict[int, str] = {}
    shapes = {_shape(one): one for one in reversed(left)}
    for place, one in enumerate(was):
        same = shapes.pop(_shape(one), None) if numbers(one) else None
        if same is not None:
            pairs[place] = same
            left.remove(same)
    rest = [place for place in range(len(was)) if place not in pairs]
    elsewhere = moved(
        [(was[place], _found(was[place])) for place in rest], [(one, _found(one)) for one in left]
    )
    moves = {rest[place]: left[at] for place, at in elsewhere.items()}
    pool = Counter(number for one in left for number in numbers(one))
    for place, one in enumerate(was):
        said = Counter(numbers(one))
        if place in pairs:
            if numbers(one) != numbers(pairs[place]) or _turned(one, [pairs[place]]):
                yield one, pairs[place]
        elif said <= pool:
            pool -= said
            now = moves.get(place) or _turned(one, left)
            if now:
                yield one, now
        else:
            near = _nearest(one, left)
            # what several sentences said may be said once for all of them
            if not _in_order(numbers(one), numbers(near)):
                yield one, near
                if near:
                    left.remove(near)


def _turned(one: str, among: Sequence[str]) -> str:
    """The sentence of today that says this one's figures otherwise; empty where none does.

    A limit turned round, "above 800 rpm" for "below 800 rpm", or a way to go that was not there,
    "every fourth mark of the 12" for "the 12 marks".
    """
    now = _nearest(one, among) if numbers(one) else ""
    if not now:
        return ""
    then, today = _limits(one), _limits(now)
    turned = any(figure in today and today[figure] != side for figure, side in then.items())
    more = Counter(_ways(now)) - Counter(_ways(one))
    return now if turned or more else ""


def _ways(text: str) -> list[str]:
    """Which of many are gone to: "fourth" in "every fourth mark"."""
    return [
        found.written.casefold()
        for found in find_positions(text)
        if _EVERY.search(text, 0, found.start)
    ]


def _limits(text: str) -> dict[str, bool]:
    """Figures that are given as a limit, by how they are told: whether it is the least allowed.

    "Never above" keeps below.
    """
    out = {}
    for start, _, told in _found(text):
        limit = _LIMIT.search(text, 0, start)
        if limit is not None:
            least = limit["least"] is not None
            out[told] = least != (_NEVER.search(text, 0, limit.start()) is not None)
    return out


_EVERY = re.compile(r"\b(?:every|each)\s$", re.IGNORECASE)
_LIMIT = re.compile(
    r"\b(?:(?P<least>above|over|past|beyond|at least|more than|faster than|no less than)"
    r"|below|under|at most|less than|slower than|up to|no more than|within)\s+(?:the\s+)?$",
    re.IGNORECASE,
)
_NEVER = re.compile(r"\b(?:never|not|don['’]t|no)\b[^.;:!?]{0,20}$", re.IGNORECASE)


def numbers(text: str) -> tuple[str, ...]:
    """All numbers of a sentence, each with its unit, and all figures that tell a count of sides.

    Positions in words are numbers too: every fourth stop.

    >>> numbers("Mark the octagon 17 mm in, at every fourth stop.")
    ('octagon', '17 mm', 'fourth')
    """
    return tuple(said for _, _, said in _found(text))


def _found(text: str) -> list[tuple[int, int, str]]:
    """Where each number and each figure's name stands, and how it is told."""
    out = [(one.start, one.stop, one.written.casefold()) for one in find_positions(text)]
    positions = tuple(out)
    for found in find_numbers(text):
        if any(found.start < stop and start < found.stop for start, stop, _ in positions):
            continue  # the twenty of "the twenty-first mark"
        behind = _UNIT.match(text, found.stop)
        unit = behind[1] if behind is not None and _is_unit(behind[1]) else ""
        # twice a figure is another one
        start = portion_before(text, found.start)
        written = text[start : found.stop].casefold()
        out.append((start, found.stop, f"{written} {unit}".rstrip()))
    for named in _FIGURE.finditer(text):
        if figure_sides(named[1].casefold()) is not None:
            out.append((named.start(), named.end(), named[1].casefold()))
    return sorted(out)


@cache
def _is_unit(word: str) -> bool:
    try:
        parse_value(f"1 {word}")
    except QuantityError:
        return False
    return True


def _shape(text: str) -> str:
    """The sentence without its numbers."""
    pieces, at = [], 0
    for start, stop, _ in _found(text):
        pieces.append(text[at:start])
        at = max(at, stop)
    return "#".join([*pieces, text[at:]])


def _nearest(one: str, among: Iterable[str]) -> str:
    others = list(among)
    place = alike(one, others)
    return "" if place is None else others[place]


def alike(one: str, among: Sequence[str]) -> int | None:
    """The place of the sentence that is most like another one; None where none is.

    >>> alike("Mark 14 mm.", ["Turn it round.", "Mark 12 mm."])
    1
    """
    likeness = [
        (SequenceMatcher(None, one, other).ratio(), other, place)
        for place, other in enumerate(among)
    ]
    best = max(likeness, default=(0.0, "", 0))
    return best[2] if best[0] >= ALIKE else None


def _sentences(text: str) -> tuple[str, ...]:
    return tuple(
        " ".join(one.split())
        for line in plain(text).splitlines()
        for one in sentences(line)
        if one.strip()
    )


def _quoted(text: str) -> str:
    return f"“{' '.join(text.split())}”" if text else ""
