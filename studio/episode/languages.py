"""A design's papers in more than one language: which a folder was built in, and their episodes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

from studio.design.document import dotted
from studio.design.texts import Untranslated
from studio.episode.assemble import open_episode
from studio.episode.records import Alternate, Episode
from studio.errors import BadInput
from studio.language import Language, language_of, tags

WITNESS = "handout.html"
"""The file that, in a language, tells that a folder was built in it too."""


def in_language(name: str, tag: str) -> str:
    """A file's name in a second language.

    >>> in_language("handout.html", "de")
    'handout.de.html'
    """
    stem, dot, ending = name.rpartition(".")
    return f"{stem}.{tag}{dot}{ending}"


def wanted_languages(typed: Iterable[str]) -> tuple[str, ...]:
    """The languages that ``--language`` asks for.

    Raises:
        BadInput: one that the tool has no words for.
    """
    asked = tuple(dict.fromkeys(one.strip() for one in typed))
    for one in asked:
        if one not in tags():
            raise BadInput.of(
                f"--language {one[:40]}: there are no words for this language",
                f"write one of: {', '.join(tags())}",
            )
    return asked


def languages_in(out: Path) -> tuple[str, ...]:
    """The languages that a folder was built in besides its design's own."""
    return tuple(tag for tag in tags() if (out / in_language(WITNESS, tag)).is_file())


def in_languages(
    design: Path,
    asked: Iterable[str],
    *,
    pieces: int | None = None,
    master_ms: int | None = None,
) -> tuple[Episode, ...]:
    """The design's episode in its own language, then in each of those asked for.

    Args: as of :func:`studio.episode.assemble.open_episode`.

    Raises:
        BadInput: the design has faults, or there are no texts of it in one of them.
    """
    first = open_episode(design, pieces=pieces, master_ms=master_ms)
    others = [
        open_episode(design, language=tag, first=first)
        for tag in asked
        if tag != first.language.tag
    ]
    every = (first, *others)
    alternates = [_alternate(one.language, one is first) for one in every]
    return tuple(
        replace(
            one,
            alternates=tuple(other for other in alternates if other.tag != own.tag),
            translated=tuple((other.language, other.cues) for other in others)
            if one is first
            else (),
        )
        for one, own in zip(every, alternates, strict=True)
    )


def _alternate(language: Language, is_own: bool) -> Alternate:
    return Alternate(language.page, language.name, "" if is_own else f".{language.tag}")


def told_untranslated(tag: str, found: Iterable[Untranslated]) -> list[str]:
    """A line for each text that is not there in a language, with its file and line."""
    name = language_of(tag).name
    return [
        f"{one.node.file}, line {one.node.line} ({dotted(one.keys)}): not there in {name}, so it "
        f"stands as it is; write {one.write}"
        for one in found
    ]
