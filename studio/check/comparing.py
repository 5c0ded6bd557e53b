"""A text on disk against the same text made afresh with its marks."""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from functools import partial

from studio.check.findings import Finding, Outcome, Severity
from studio.episode.notes import QUOTED, quotations
from studio.episode.records import Change, Episode
from studio.episode.stamps import day, stamp
from studio.episode.texts import ways_to_say
from studio.language import spoken
from studio.measure.measurement import Measurement, in_a_sentence
from studio.measure.numbers import Found, find_numbers
from studio.measure.numbers import figures as find_figures
from studio.measure.trace import Span, plain, spans
from studio.paper.addresses import ADDRESS
from studio.paper.markup import ITEM
from studio.said.words import word_set
from studio.turning.sphere import figure_sides

_WORD = re.compile(r"\S+")
_SHOWN_WORDS = 12
"""A finding quotes at most so many words of each side (ours)."""


@dataclass(frozen=True, slots=True)
class _Word:
    start: int
    stop: int
    text: str


def _words(text: str) -> list[_Word]:
    return [_Word(match.start(), match.end(), match[0]) for match in _WORD.finditer(text)]


def printed_texts(episode: Episode, name: str) -> frozenset[str] | None:
    """What a mark called ``name`` may say; None when it is no figure (a credit, a tool's name)."""
    kind, _, rest = name.partition(":")
    if not rest:
        measurement = episode.table.get(name)
        if measurement is None:
            return None
        return frozenset(
            {measurement.text, measurement.other, measurement.both, measurement.metric.text}
            | {measurement.imperial.text}
        )
    if kind == "chapter":
        return frozenset({stamp(episode.chapters[int(rest) - 1].start_ms)})
    if kind == "step":
        return frozenset({rest})
    if kind == ITEM:
        return frozenset({f"{rest}."})
    if kind == "dated":
        return frozenset({day(episode.corrections[int(rest) - 1].on)})
    if kind == "told":
        return frozenset(text for c in _changes(episode, rest) for text in (c.label, c.old, c.new))
    if kind == QUOTED:
        return frozenset(text for c in _changes(episode, rest) for text in quotations(c))
    if kind == "spoken":
        measurement = episode.table.get(rest)
        if measurement is None:
            return None
        ways = ways_to_say(measurement)
        # at the start of a sentence with a capital
        return frozenset(ways | {words[:1].upper() + words[1:] for words in ways})
    if kind in ("bench", "formula", "rule", "source", "label", "where"):
        measurement = episode.table.get(rest)
        return None if measurement is None else _told(measurement, kind)
    return None


def _changes(episode: Episode, name: str) -> Iterator[Change]:
    """Every change of the figures that were told under a name in some correction.

    A row's number may be another one in the next: there the same figure stands under that.
    """
    every = [(one.figure(c), c) for one in episode.corrections for c in one.changes]
    figures = {figure for figure, change in every if change.name == name}
    return (change for figure, change in every if figure in figures)


def _told(measurement: Measurement, kind: str) -> frozenset[str]:
    if kind == "bench":
        bench = measurement.bench
        if bench is None:
            return frozenset()
        readings = (bench.metric.text, bench.imperial.text)
        return frozenset({bench.words, bench.consequence, *readings})
    text = str(getattr(measurement, kind))
    return frozenset({text, in_a_sentence(text)}) if kind == "label" else frozenset({text})


def compare(
    episode: Episode,
    where: str,
    fresh_marked: str,
    found: str,
    written: Callable[[str], str] = str,
) -> Outcome:
    """Every number of ``found`` traced to the design through ``fresh_marked``.

    Args:
        episode: made afresh.
        where: the file's name, for findings.
        fresh_marked: the same text as the design makes it now, with marks.
        found: the text on disk.
        written: how the file's format writes a text that holds signs of its own, such as ``&``.
    """
    fresh, marks = spans(fresh_marked)
    findings = list(_false_marks(episode, where, marks, written))
    findings += _untraced(where, fresh, marks, tuple(map(written, episode.plain_words)))
    untraced = len(findings)
    if found != fresh:
        findings += _differences(where, fresh, found, marks, _cautions_in(episode, fresh, written))
    numbers = sum(1 for _ in find_figures(found))
    wrong = sum(finding.code in ("wrong-number", "untraced-number") for finding in findings)
    return Outcome(
        findings=tuple(findings), traced=max(numbers - wrong, 0), untraced=max(untraced, wrong)
    )


def _cautions_in(episode: Episode, text: str, written: Callable[[str], str]) -> tuple[range, ...]:
    """Where cautions, whole or in short, and what they defer to stand in a text."""
    said = {plain(t) for step in episode.steps for c in step.cautions for t in (c.text, c.short)}
    places = []
    for words in filter(None, (written(one).split() for one in (*said, plain(episode.deference)))):
        pattern = r"\s+".join(map(re.escape, words))
        places += [range(*match.span()) for match in re.finditer(pattern, text)]
    return tuple(places)


def _differences(
    where: str, fresh: str, found: str, marks: tuple[Span, ...], cautions: tuple[range, ...]
) -> Iterator[Finding]:
    """Each stretch of words that is not as the design makes it."""
    ours, theirs = _words(fresh), _words(found)
    texts = ([word.text for word in words] for words in (ours, theirs))
    for i1, i2, j1, j2 in changed_stretches(*texts):
        # words that were only put in stand where the next ones of ours begin
        at = ours[i1].start if i1 < len(ours) else len(fresh)
        inside = any(at in one and (i2 > i1 or at > one.start) for one in cautions)
        yield _difference(where, fresh, found, marks, ours[i1:i2], theirs[j1:j2], j1, warns=inside)


def changed_stretches(
    ours: Sequence[str], theirs: Sequence[str]
) -> Iterator[tuple[int, int, int, int]]:
    """Each stretch of words that differs: where it begins and ends in ours, and in theirs.

    What both begin and end with is laid aside first: most often that is all but a word, while the
    comparing of the rest takes time by the square of its length.
    """
    least = min(len(ours), len(theirs))
    head = next((n for n in range(least) if ours[n] != theirs[n]), least)
    rest = range(1, least - head + 1)
    tail = next((n - 1 for n in rest if ours[-n] != theirs[-n]), least - head)
    one, other = (words[head : len(words) - tail] for words in (ours, theirs))
    for tag, i1, i2, j1, j2 in SequenceMatcher(None, one, other, autojunk=False).get_opcodes():
        if tag != "equal":
            yield head + i1, head + i2, head + j1, head + j2


def _false_marks(
    episode: Episode, where: str, marks: tuple[Span, ...], written: Callable[[str], str]
) -> Iterator[Finding]:
    """A mark that does not say what its measurement says: a fault of a template or renderer."""
    for span in marks:
        texts = printed_texts(episode, span.name)
        if texts is None:
            continue
        allowed = {" ".join(written(text).split()) for text in texts}
        # a page may break a text over lines or spell a sign out
        said = " ".join(span.text.split())
        if said not in allowed:
            yield Finding(
                code="untraced-number",
                severity=Severity.ERROR,
                where=where,
                at=f"character {span.start}",
                said=span.text,
                expected=" or ".join(sorted(text for text in allowed if text)),
                measurement=span.name,
            )


def _untraced(
    where: str, fresh: str, marks: tuple[Span, ...], plain_words: tuple[str, ...]
) -> Iterator[Finding]:
    marked = [(span.start, span.stop) for span in marks]
    # an address is compared whole, and what stands in it measures nothing
    addresses = [hit.span() for hit in ADDRESS.finditer(fresh)]
    for number in find_figures(fresh, plain_words):
        if not any(_lies_in(places, number) for places in (marked, addresses)):
            yield Finding(
                code="untraced-number",
                severity=Severity.ERROR,
                where=where,
                at=_line(fresh, number.start),
                said=number.written,
                expected="a number that comes from the design's table",
            )


def _lies_in(places: Sequence[tuple[int, int]], number: Found) -> bool:
    """Whether a figure stands in one of some places, which are in order and apart."""
    # only the last that begins before the figure's end may hold it
    before = bisect_left(places, number.stop, key=lambda place: place[0])
    return before > 0 and number.start < places[before - 1][1]


def _difference(
    where: str,
    fresh: str,
    found: str,
    marks: tuple[Span, ...],
    ours: list[_Word],
    theirs: list[_Word],
    place: int,
    *,
    warns: bool,
) -> Finding:
    touched = [
        span for span in marks if ours and span.start < ours[-1].stop and ours[0].start < span.stop
    ]
    figures = [span for span in touched if ":" not in span.name or any(find_numbers(span.text))]
    said, expected = _quoted(theirs), _quoted(ours)
    at = _line(found, theirs[0].start) if theirs else f"after word {place}"
    changed = partial(
        Finding, where=where, at=at, said=said or "(nothing)", expected=expected or "(nothing)"
    )
    if _sides(theirs) != _sides(ours):
        # which end of the lathe is meant is as much a fact as a figure
        return changed(code="wrong-side", severity=Severity.ERROR)
    if _links(theirs) != _links(ours):
        return changed(code="wrong-link", severity=Severity.ERROR)
    same = not figures and _numbers(theirs) == _numbers(ours)
    if same and warns:
        return changed(code="missing-caution", severity=Severity.ERROR)
    # a figure under another label is another figure's
    labelled = any(span.name.startswith("label:") for span in touched)
    if same and (labelled or _turns(theirs) != _turns(ours)):
        return changed(code="wrong-word", severity=Severity.ERROR)
    if same:
        return changed(code="text-changed", severity=Severity.NOTE)
    return Finding(
        code="wrong-number",
        severity=Severity.ERROR,
        where=where,
        at=at,
        said=said or "(nothing)",
        expected=expected or "no number here",
        measurement=", ".join(dict.fromkeys(span.name for span in figures)),
    )


def _sides(words: list[_Word]) -> list[str]:
    """Every mention of an end of the lathe or of a pole, in order."""
    text = " ".join(word.text.lower() for word in words)
    return _SIDES[spoken().tag].findall(text)


_SIDES = {
    "en": re.compile(r"headstock|tailstock|\btop\b|\bbottom\b"),
    "de": re.compile(r"spindelstock|reitstock|\boben\b|\bunten\b|\bobere[nrs]?\b|\buntere[nrs]?\b"),
}

_LIMITS = {
    "en": word_set(
        "not no never without above below over under most least more less before after inside "
        "outside longer shorter thicker thinner every each both all any only half on off deep wide "
        "across along slowly fast other twice thrice double triple first second third fourth fifth "
        "sixth"
    ),
    "de": word_set(
        "nicht kein keine keinen nie niemals ohne über unter oberhalb unterhalb höchstens "
        "mindestens mehr weniger vor nach bevor nachdem innen außen länger kürzer dicker dünner an "
        "aus jede jeder jedem jeden jedes beide beiden alle allen nur halb tief breit quer längs "
        "langsam schnell andere anderer anderen anderes doppelt zweimal dreimal erste ersten "
        "zweite zweiten dritte dritten vierte vierten fünfte fünften sechste sechsten"
    ),
}
"""Words one of which turns a sentence into its opposite (ours)."""


def _turns(words: list[_Word]) -> list[str]:
    """Every word that a limit or a figure's sides hang on, in order."""
    bare = (word.text.lower().strip(".,;:!?()[]“”\"'*_").removesuffix("'s") for word in words)
    return [
        word for word in bare if word in _LIMITS[spoken().tag] or figure_sides(word) is not None
    ]


def _links(words: list[_Word]) -> list[str]:
    """Every address, in order."""
    return [link for word in words for link in ADDRESS.findall(word.text)]


def _numbers(words: list[_Word]) -> list[str]:
    """All numbers of a changed stretch, talk too: there any number word counts."""
    text = " ".join(word.text for word in words)
    return [number.written.lower() for number in find_numbers(text)]


def _quoted(words: list[_Word]) -> str:
    more = " …" if len(words) > _SHOWN_WORDS else ""
    return " ".join(word.text for word in words[:_SHOWN_WORDS]) + more


def _line(text: str, at: int) -> str:
    return f"line {text.count(chr(10), 0, at) + 1}"
