"""``wrong-number``, ``untraced-number``, ``wrong-time``, ``page-changed``, ``missing-file``: texts.

What it does: renders every paper, caption and chapter file afresh from the design, with marks that
say where each number comes from, and lays the file on disk against it word by word.
Why it matters: a file made from last month's design, or mended by hand, says old numbers.
A changed sentence without a number is only a note.
Use instead of mending a file: change the design and run ``studio build`` again.
"""

from __future__ import annotations

import re
from dataclasses import replace
from functools import partial
from itertools import zip_longest
from pathlib import Path

from studio.check.comparing import compare
from studio.check.context import Context
from studio.check.findings import Finding, Outcome, Severity
from studio.episode.batches import as_batch
from studio.episode.records import Episode
from studio.film.captions import CAPTION_FILES, CHAPTER_FILES, caption_renders, in_format
from studio.film.look import load_look
from studio.film.shots import SHOT_LIST, shot_list
from studio.measure.trace import plain
from studio.paper import handout
from studio.paper.markup import visible_text, within_markdown
from studio.paper.papers import BATCH, CORRECTED

CHAPTERS = "chapters."
"""What the names of chapter files begin with, in every language."""

MAX_BYTES = 20_000_000
"""A larger output is not one of ours."""


def read_output(path: Path) -> str | None:
    """The text of an output, None when there is no such file or it cannot be read as text."""
    try:
        if path.stat().st_size > MAX_BYTES:
            return None
        return path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError):
        return None


def missing(where: str) -> Finding:
    """The finding for a file that should be there."""
    return Finding(
        code="missing-file",
        severity=Severity.ERROR,
        where=where,
        at="",
        said="(no readable file)",
        expected="run studio build again",
    )


def check(context: Context) -> Outcome:
    """Papers, captions and chapter files against fresh ones."""
    outcome = Outcome()
    renders = caption_renders(context.episode)
    papers = context.papers()
    for name in (*papers, SHOT_LIST, *renders):
        outcome += check_file(context, name)
    possible = (CAPTION_FILES | CHAPTER_FILES | CORRECTED | BATCH).keys()
    for name in possible - renders.keys() - set(papers):
        if (context.out_dir / name).exists():
            outcome += Outcome(findings=(_left_over(name),))
    return outcome


def check_in_language(context: Context) -> Outcome:
    """The same of what viewers read in a second language."""
    outcome = Outcome()
    for name in context.papers():
        outcome += _paper(context, name, context.episode)
    for name, timed in caption_renders(context.episode).items():
        found = read_output(context.out_dir / context.name(name))
        if found is None:
            outcome += Outcome(findings=(missing(context.name(name)),))
        else:
            outcome += _timed(context, context.name(name), timed(context.episode), found)
    return outcome


def _paper(context: Context, name: str, episode: Episode) -> Outcome:
    fresh = context.paper(name)
    found = read_output(context.out_dir / name)
    if found is None:
        return Outcome(findings=(missing(name),))
    is_handout = name == context.name("handout.html")
    if is_handout and found != plain(fresh) and found == _otherwise_filmed(episode):
        return Outcome(findings=(_film_came_or_went(episode, name),))
    if name.endswith(".html"):
        return _page(episode, name, fresh, found)
    return compare(episode, name, fresh, found, within_markdown if name.endswith(".md") else str)


def _otherwise_filmed(episode: Episode) -> str:
    """The handout as it would be if the film were not there, or were."""
    return plain(handout.render(replace(episode, filmed=not episode.filmed)))


def _film_came_or_went(episode: Episode, name: str) -> Finding:
    said = "(no player, but a film lies here)" if episode.filmed else "(a player, but no film here)"
    return Finding(
        code="page-changed",
        severity=Severity.ERROR,
        where=name,
        at="",
        said=said,
        expected="a player only where film.mp4 is: run studio build again",
    )


def check_file(context: Context, name: str) -> Outcome:
    """One of them, by its name.

    Raises:
        KeyError: nothing of that name is made from this design.
    """
    if name == SHOT_LIST:
        return _shot_list(context)
    if name in context.papers():
        episode = as_batch(context.episode) if name in BATCH else context.episode
        return _paper(context, name, episode)
    found = read_output(context.out_dir / name)
    if found is None:
        return Outcome(findings=(missing(name),))
    return _timed(context, name, caption_renders(context.episode)[name](context.episode), found)


def _shot_list(context: Context) -> Outcome:
    found = read_output(context.out_dir / SHOT_LIST)
    if found is None:
        return Outcome(findings=(missing(SHOT_LIST),))
    look = load_look(context.episode.look, beside=context.episode.design_file.parent)
    return compare(context.episode, SHOT_LIST, shot_list(context.episode, look), found)


def _as_chapter(finding: Finding) -> Finding:
    if finding.severity is Severity.ERROR:
        return finding
    return replace(finding, code="chapters-disagree", severity=Severity.ERROR)


def _left_over(name: str) -> Finding:
    return Finding(
        code="left-over-file",
        severity=Severity.ERROR,
        where=name,
        at="",
        said="(a file from an earlier build)",
        expected="nothing asks for it now: run studio build again",
    )


def _page(episode: Episode, name: str, fresh: str, found: str) -> Outcome:
    """What a reader sees word by word; and the rest of the page, which can hide or add words."""
    same = found == plain(fresh)
    ours = visible_text(fresh)
    outcome = compare(episode, name, ours, plain(ours) if same else visible_text(found))
    if not outcome.findings and not same:
        changed = Finding(
            code="page-changed",
            severity=Severity.ERROR,
            where=name,
            at=_first_difference(plain(fresh), found),
            said="(the same words, but other markup, styles, links or drawing)",
            expected="the page as the design makes it: run studio build again",
        )
        outcome += Outcome(findings=(changed,))
    return outcome


def _first_difference(ours: str, theirs: str) -> str:
    lines = zip_longest(ours.split("\n"), theirs.split("\n"))
    return f"line {next((n for n, (one, other) in enumerate(lines, 1) if one != other), 1)}"


def _timed(context: Context, name: str, fresh: str, found: str) -> Outcome:
    """Words as in any text; numbering, times and headers to the letter."""
    split = _split_metadata if name.endswith(".ffmeta") else _split_cues
    our_frame, our_words = split(fresh)
    their_frame, their_words = split(found)
    outcome = compare(
        context.episode, name, our_words, their_words, partial(in_format, Path(name).suffix)
    )
    if name.startswith(CHAPTERS):
        # a title is all that a chapter says: no change of it is only a note
        outcome = replace(outcome, findings=tuple(map(_as_chapter, outcome.findings)))
    for place, (ours, theirs) in enumerate(zip_longest(our_frame, their_frame, fillvalue=""), 1):
        if plain(ours) != theirs:
            wrong = Finding(
                code="wrong-time",
                severity=Severity.ERROR,
                where=name,
                at=f"entry {place}",
                said=theirs or "(nothing)",
                expected=plain(ours) or "(nothing)",
            )
            outcome += Outcome(findings=(wrong,))
    return outcome


def _split_cues(text: str) -> tuple[list[str], str]:
    """A caption file's frame (header, cue numbers, times) and the words of its cues.

    A cue is a block between empty lines; its words are what stands below its times.
    """
    frame: list[str] = []
    words: list[str] = []
    for block in re.split(r"\n[ \t]*\n", text.replace("\r\n", "\n").strip("\n")):
        lines = block.split("\n")
        times = next((place for place, line in enumerate(lines) if "-->" in line), None)
        if times is None:
            frame += lines
        else:
            frame += lines[: times + 1]
            words += lines[times + 1 :]
    return frame, "\n".join(words)


def _split_metadata(text: str) -> tuple[list[str], str]:
    """An FFmpeg metadata file's frame and its titles."""
    lines = text.split("\n")
    titles = [line for line in lines if line.startswith("title=")]
    return [line for line in lines if not line.startswith("title=")], "\n".join(titles)
