"""``chapters-disagree``, ``captions-disagree``, ``title-disagrees``, ``film-changed``,
``stale-film``, ``faint-overlay``, ``film-is-out``: the burnt film; ``late-caption``: the film to
be burnt.

What it does: reads title, chapters and captions out of ``film.mp4`` and compares them with the
design's, and the stamps of the description with the chapter file's; sees whether the film was
burnt from what design and look say now; looks at one picture under each card, and at many under a
plate that is as clear as the footage seemed to allow. Tells words of the narration for which the
film, by the design's marks and length, leaves too little time (a note) or none. The very film
that was published is let be where all that it says otherwise is on record as corrected.
Why it matters: the film is what viewers see; a page can be mended, a film is published once.
Use instead: run ``studio burn`` again; for words without time put the film's marks or length right.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from itertools import zip_longest
from pathlib import Path

from studio.check.context import Context
from studio.check.findings import Finding, Outcome, Severity
from studio.check.papers import read_output
from studio.episode.digest import said_digest
from studio.episode.filmed import FILM
from studio.episode.published import film_digest, read_record
from studio.episode.records import Episode
from studio.episode.stamps import day, stamp
from studio.episode.takes import LENGTH_SLACK_MS
from studio.film.look import LEAST_CONTRAST, Look, load_look
from studio.film.probe import probe
from studio.film.reading_back import (
    SETTLED_MS,
    FilmContents,
    cards_not_shown,
    faint_cards,
    film_contents,
)
from studio.measure.trace import plain
from studio.paper.description import without_corrections

_STAMP_LINE = re.compile(r"^((?:\d+:)?\d{1,2}:\d{2}) (\S.*)$", re.MULTILINE)
_CUE_START = re.compile(r"^(?:(\d+):)?(\d{2}):(\d{2})\.(\d{3}) -->", re.MULTILINE)


def check(context: Context) -> Outcome:
    """Chapters everywhere, and the film when there is one."""
    outcome = Outcome(findings=(*_late(context.episode), *_stamps(context)))
    path = context.out_dir / FILM
    if not path.exists():
        return outcome
    contents = film_contents(path)
    if contents is None:
        broken = _finding("stale-film", FILM, "(not a film that can be read)", "studio burn again")
        return outcome + Outcome(findings=(broken,))
    found = inside(context.episode, path, contents, _CODES)
    if found and (days := _corrected_since(context, path)):
        found = [_out(days)]
    return outcome + Outcome(findings=tuple(found))


def _corrected_since(context: Context, film: Path) -> tuple[str, ...]:
    """Days of the corrections since this very film was published, where all that differs is on
    record; else none.

    A host lets nobody change a film that is out: it is put right by a text under it, and is as it
    was told to be.
    """
    record = read_record(context.episode.design_file)
    films = [one.film for one in record.publications]
    if not any(films):
        return ()
    try:
        digest = film_digest(film)
    except OSError:
        return ()
    if digest not in films:
        return ()
    days = tuple(one.on for one in record.corrections if one.after > films.index(digest))
    if not days or record.changed(context.episode, without_corrections(context.episode)):
        return ()
    return days


def _out(days: tuple[str, ...]) -> Finding:
    return Finding(
        code="film-is-out",
        severity=Severity.NOTE,
        where=FILM,
        at="",
        said="(the film as it was published, before it was corrected on "
        f"{', '.join(day(one) for one in dict.fromkeys(days))})",
        expected="correction.txt pinned under it; studio burn makes one that says what is right, "
        "for a film that goes up anew",
    )


def _late(episode: Episode) -> list[Finding]:
    """Words of the narration that have too little time in the film, or none."""
    return [
        Finding(
            code="late-caption",
            severity=Severity.ERROR if late.is_lost else Severity.NOTE,
            where=str(episode.design_file),
            at=f"film, step {late.step_id}",
            said=late.what,
            expected=late.write,
        )
        for late in episode.late_captions
    ]


def _stamps(context: Context) -> list[Finding]:
    """Chapters printed in the description: titles as the design has them, stamps as the file."""
    description = read_output(context.out_dir / "description.txt")
    track = read_output(context.out_dir / "chapters.vtt")
    if description is None or track is None:
        return []
    ours = _STAMP_LINE.findall(plain(context.paper("description.txt")))
    theirs = _STAMP_LINE.findall(description)
    if [at for at, _ in ours] == [at for at, _ in theirs] and ours != theirs:
        return [_finding("chapters-disagree", "description.txt", _listed(theirs), _listed(ours))]
    printed = [at for at, _ in theirs]
    starts = [
        stamp(((int(h or 0) * 60 + int(m)) * 60 + int(s)) * 1000 + int(ms))
        for h, m, s, ms in _CUE_START.findall(track)
    ]
    if printed == starts:
        return []
    said = f"description {', '.join(printed)}; chapters.vtt {', '.join(starts)}"
    return [_finding("chapters-disagree", "description.txt", said, "the same stamps in both")]


@dataclass(frozen=True, slots=True)
class Codes:
    """What a kind of film calls its findings, and the command that makes it anew."""

    stale: str
    changed: str
    again: str


_CODES = Codes("stale-film", "film-changed", "run studio burn again")


def inside(episode: Episode, path: Path, contents: FilmContents, codes: Codes) -> list[Finding]:
    """What a film holds, against the episode that it was burnt from.

    Args:
        episode: made afresh, its cards where they stand in this film.
        path: the film.
        contents: as read from it.
        codes: of its findings.
    """
    name = path.name
    look = load_look(episode.look, beside=episode.design_file.parent)
    findings = []
    ours = [(stamp(one.start_ms), plain(one.title)) for one in episode.chapters]
    theirs = [(stamp(one.start_ms), one.text) for one in contents.chapters]
    if ours != theirs:
        findings.append(_finding("chapters-disagree", name, _listed(theirs), _listed(ours)))
    spoken = [(cue.start_ms, " ".join(plain(cue.text).split())) for cue in episode.cues]
    held = [(one.start_ms, " ".join(one.text.split())) for one in contents.captions]
    if spoken != held:
        said, expected = _first_difference(held, spoken)
        findings.append(_finding("captions-disagree", name, said, expected))
    for language, cues in episode.translated:
        spoken = [(cue.start_ms, " ".join(plain(cue.text).split())) for cue in cues]
        there = contents.translated.get(language.track, ())
        held = [(one.start_ms, " ".join(one.text.split())) for one in there]
        if spoken != held:
            said, expected = _first_difference(held, spoken)
            findings.append(_finding("captions-disagree", name, said, expected))
    title = " ".join(plain(episode.title).split())
    if contents.title != title:
        findings.append(_finding("title-disagrees", name, contents.title or "(none)", title))
    if contents.said_digest != said_digest(episode, look.model_dump_json()):
        said = "(burnt from an earlier state of the design or the look)"
        findings.append(_finding(codes.stale, name, said, codes.again))
    else:
        findings += _pictures(episode, path, look, codes)
    return findings


def _pictures(episode: Episode, path: Path, look: Look, codes: Codes) -> list[Finding]:
    """Length, sound, and under each card a picture that shows it."""
    footage = probe(path)
    findings = []
    # reads films with heavy libraries, which a design without one does without
    from studio.film.last_burn import was_written_on

    if was_written_on(path):
        # sound that was put in place of the master's shows in nothing else
        said = "(written on since it was burnt)"
        findings.append(_finding(codes.changed, path.name, said, codes.again))
    if episode.length_ms and abs(footage.duration_ms - episode.length_ms) > LENGTH_SLACK_MS:
        said, expected = f"{footage.duration_ms} ms", f"{episode.length_ms} ms"
        findings.append(_finding(codes.changed, path.name, f"{said} long", f"{expected} long"))
    if not footage.has_sound and not episode.silent:
        findings.append(_finding(codes.changed, path.name, "(no sound)", "the master's sound"))
    missed = cards_not_shown(path, episode, look)
    for card in missed:
        said = f"(another picture at {stamp((card.start_ms or 0) + SETTLED_MS)})"
        expected = f"the card {card.file_name}: {codes.again}"
        findings.append(_finding(codes.changed, path.name, said, expected))
    there = replace(episode, cards=tuple(card for card in episode.cards if card not in missed))
    for faint in faint_cards(path, there, look):
        said = (
            f"{faint.contrast:.1f}:1 between lettering and plate of {faint.card.file_name} at "
            f"{stamp(faint.at_ms)}"
        )
        expected = f"{LEAST_CONTRAST}:1 at least: {codes.again}"
        findings.append(_finding("faint-overlay", path.name, said, expected))
    return findings


def _first_difference(
    said: list[tuple[int, str]], expected: list[tuple[int, str]]
) -> tuple[str, str]:
    nothing = (-1, "(no caption)")
    for one, other in zip_longest(said, expected, fillvalue=nothing):
        if one != other:
            return _caption(one), _caption(other)
    return "", ""


def _caption(cue: tuple[int, str]) -> str:
    start, text = cue
    return text if start < 0 else f"{stamp(start)} {text} ({start} ms)"


def _listed(chapters: list[tuple[str, str]]) -> str:
    return "; ".join(f"{at} {title}" for at, title in chapters) or "(no chapters)"


def _finding(code: str, where: str, said: str, expected: str) -> Finding:
    return Finding(
        code=code, severity=Severity.ERROR, where=where, at="", said=said, expected=expected
    )
