"""``studio time``: when each step and each sentence was said."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

from studio.commands.telling import columns, note, say, say_json
from studio.design.schema import FASTEST_RATE, SLOWEST_RATE
from studio.episode.assemble import open_episode
from studio.episode.film_length import film_length
from studio.episode.pace import ENOUGH_WORDS, USUAL_RATE, Pace, learned_pace
from studio.episode.places import read_master_ms
from studio.episode.records import Episode
from studio.episode.stamps import stamp
from studio.episode.times import (
    UNTIMED,
    Times,
    as_text,
    beyond_length,
    is_as_written,
    said_words,
    times_file,
)
from studio.errors import BadInput, WorkFailed
from studio.files import keep_aside, write_whole
from studio.measure.trace import plain
from studio.measure.units import QuantityError, parse_time

FEWEST_HEARD = 0.2
"""A recording in which less than a fifth of the narration is heard does not follow it (ours)."""


def time(
    design: Path,
    voice: Path | None,
    captions: Path | None,
    begins: str | None,
    *,
    slate: str | None = None,
    as_json: bool,
) -> int:
    """Find the narration in a recording or in captions, and write the times beside the design.

    Spoken slates are listened for when ``slate`` names their word, and with the usual word when the
    design has no narration or the recording does not follow it.

    Returns:
        1 when a mark is asked for, or when sentences were left out or said elsewhere.

    Raises:
        BadInput: the design has faults, or what was given cannot be read.
        WorkFailed: the times cannot be written.
    """
    from studio.voice.timing import time_captions

    if (voice is None) == (captions is None):
        raise BadInput.of("a voice or captions are needed", "give --voice FILE or --captions FILE")
    begins_ms = _begins(begins) if begins is not None else 0
    path = times_file(design)
    episode = open_episode(design, timed=False)
    if slate is not None and voice is None:
        raise BadInput.of("--slate needs a recording", "give --voice FILE too")
    if voice is not None:
        times, told, complete = _listened(episode, voice, slate, begins_ms)
    else:
        assert captions is not None
        timing = time_captions(episode, captions, begins_ms=begins_ms)
        times, told, complete = timing.times, timing.notes(), timing.is_complete
    if episode.cut is not None and times.film_ms is None:
        times = replace(times, film_ms=episode.cut.length_ms)
    notes = [*_written(path, times), *told, *_length_notes(episode, times)]
    titles = {step.id: plain(step.title) for step in episode.steps}
    learned = learned_pace(design)
    if as_json:
        say_json(_record(path, times, learned, notes))
    else:
        lines = _listing(times, titles)
        if any(step.sentences for step in times.steps.values()):
            lines += _rates(times, learned)
        for line in lines:
            say(line.rstrip())
        say(str(path))
        for text in notes:
            note(f"note: {text}")
    return 0 if complete else 1


def _begins(typed: str) -> int:
    """Where in the film the recording begins; with a minus, how long before it.

    Raises:
        BadInput: it is no time.
    """
    before = typed.strip().startswith("-")
    try:
        return (-1 if before else 1) * parse_time(typed.strip().removeprefix("-"))
    except QuantityError as error:
        raise BadInput.of(
            f"--begins: {typed.strip()!r} is not a time in the film",
            f"{error.write}; -0:03 for a recording that was begun three seconds before the film",
        ) from error


def _length_notes(episode: Episode, times: Times) -> tuple[str, ...]:
    """What the turner should know about the film's length, typed or not."""
    if episode.length_ms not in (None, UNTIMED.length_ms):
        return beyond_length(times, episode.length_ms)
    length = film_length(None, times, master_ms=None, burnt_ms=read_master_ms(episode.design_file))
    return (length.note,) if length.note else ()


def _listened(
    episode: Episode, voice: Path, slate: str | None, begins_ms: int
) -> tuple[Times, tuple[str, ...], bool]:
    """Times by the narration, or by slates; what to tell; whether nothing is left to do."""
    from studio.voice.slates import SLATE, time_slates
    from studio.voice.timing import time_voice

    why = ""
    if slate is None and any(said_words(step.aloud) for step in episode.steps):
        timing = time_voice(episode, voice, begins_ms=begins_ms)
        if timing.heard >= FEWEST_HEARD:
            return timing.times, timing.notes(), timing.is_complete
        why = "hardly anything of the narration is said in this recording; "
    elif slate is None:
        why = "the design has no narration; "
    word = SLATE if slate is None else slate
    found = time_slates(episode, voice, word, begins_ms=begins_ms)
    told = [f"{why}{_by_slates(found.times, word)}", *found.notes()]
    return found.times, tuple(told), not found.unsure


def _by_slates(times: Times, word: str) -> str:
    """What was heard where slates were listened for."""
    steps = times.steps.values()
    if any(one.start_ms is not None for one in steps):
        return f"the steps are timed by spoken slates (“{word} one”); captions are spread evenly"
    unheard = f"no spoken slate (“{word} one”) was heard"
    if 2 * sum(one.maybe_ms is not None for one in steps) < len(steps):
        return f"{unheard}; is it the right recording?"
    return f"{unheard}; where the steps' titles seem to be said is told below"


def _written(path: Path, times: Times) -> tuple[str, ...]:
    """Write the file; one that somebody has changed is kept aside, which the note tells."""
    notes: tuple[str, ...] = ()
    text = as_text(times)
    if path.exists():
        try:
            before = path.read_text(encoding="utf-8")
        except UnicodeDecodeError:
            before = ""
        except OSError as error:
            raise WorkFailed(f"{path} cannot be read ({error.strerror or error})") from error
        if before != text and not is_as_written(before):
            notes = (keep_aside(path),)
    write_whole(path, text.encode("utf-8"))
    return notes


def _listing(times: Times, titles: dict[str, str]) -> list[str]:
    """One line a step: when it starts, how sure that is, and its title."""
    rows = [
        (
            stamp(step.start_ms) if step.start_ms is not None else "?",
            f"{step.confidence:.0%}",
            step.id,
            titles[step.id],
        )
        for step in times.steps.values()
    ]
    lines = columns([("starts", "sure", "step", "title"), *rows])
    return lines


def _rates(times: Times, learned: Pace) -> list[str]:
    """How fast this recording was spoken, and by which rate scripts are reckoned from now on."""
    own = times.pace.words_per_minute
    rate = learned.words_per_minute
    reckoned = (
        f"scripts are reckoned at {rate or USUAL_RATE} words a minute, unless workshop.yaml says "
        "another rate under narration: words_per_minute"
    )
    why = (
        f"learned from {learned.words} words timed in this folder"
        if rate
        else f"your own rate is told from {ENOUGH_WORDS} surely heard words on, and so far there "
        f"are {learned.words} in this folder"
    )
    spoken = f"spoken at {own} words a minute"
    if not times.pace.is_speech:
        spoken += (
            f", and this recording is left aside: a rate of speech counts from {SLOWEST_RATE} to "
            f"{FASTEST_RATE}, and what is beyond was mostly not understood"
        )
    return [*([spoken] if own else []), f"{reckoned}; {why}"]


def _record(path: Path, times: Times, learned: Pace, notes: list[str]) -> dict[str, Any]:
    return {
        "written": [str(path)],
        "words_per_minute": times.pace.words_per_minute,
        "reckoned_words_per_minute": learned.words_per_minute or USUAL_RATE,
        "steps": [
            {
                "id": step.id,
                "start_ms": step.start_ms,
                "end_ms": step.end_ms,
                "confidence": round(step.confidence, 2),
                "sentences": [
                    {
                        "said": one.text,
                        "start_ms": one.start_ms,
                        "end_ms": one.end_ms,
                        "confidence": round(one.confidence, 2),
                    }
                    for one in step.sentences
                ],
            }
            for step in times.steps.values()
        ],
        "notes": notes,
    }
