"""How long the film is, and who tells it."""

from __future__ import annotations

from dataclasses import dataclass

from studio.episode.stamps import stamp
from studio.episode.times import Times


@dataclass(frozen=True, slots=True, kw_only=True)
class FilmLength:
    """A film's length.

    Attributes:
        ms: None where nothing tells it at all.
        is_told: whether somebody tells it, so that a master has to agree; else a burn takes its
            master's.
        note: plain; what the turner should know about one that is reckoned; may be empty.
    """

    ms: int | None
    is_told: bool
    note: str = ""


def film_length(
    told_ms: int | None, times: Times | None, *, master_ms: int | None, burnt_ms: int | None
) -> FilmLength:
    """The film's length, by the surest that is there.

    A recorder is switched on and off when it pleases, and captions end before the film does, so
    their end is the film's only as long as there is no film.

    Args:
        told_ms: typed in the design, or made by its takes.
        times: from the recording or from captions.
        master_ms: of the master at hand.
        burnt_ms: of the one that was burnt last.
    """
    if told_ms is None and times is not None:
        told_ms = times.film_ms
    if told_ms is not None:
        return FilmLength(ms=told_ms, is_told=True)
    if times is None:
        return FilmLength(ms=None, is_told=False)
    if master_ms is not None:
        return FilmLength(ms=master_ms, is_told=False)
    if burnt_ms is not None:
        # what was heard since then belongs to a longer film, which is not burnt yet
        return FilmLength(ms=max(burnt_ms, times.last_ms), is_told=False)
    return FilmLength(
        ms=times.length_ms,
        is_told=False,
        note=f"nothing tells the film's length yet, and it is reckoned until "
        f"{stamp(times.length_ms)}, where {times.source} ends; studio burn takes its master's, or "
        "write it under film: length:",
    )
