"""Which of a few ways a stretch of sound was said in: the recogniser with a small grammar.

A grammar is a row of parts, each of which can be said in some ways. The words of a sentence around
a figure are parts with one way, so that the figure stands where it stands and nothing can shift.
"""

from __future__ import annotations

import math
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from studio.voice.recognise import VARIANT, Setting, dictionary_lines

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

Words = tuple[str, ...]
Part = Sequence[Words]

_BEAM, _WORD_BEAM = 1e-80, 1e-60
"""How much less likely than the best a way may be and still be followed (the library gives up at
1e-48 and 7e-29, which loses a right one that begins badly; ours)."""

_NAME = "figures"

_BASE = math.log(1.0001)
"""The library counts scores in powers of this and gives them back as numbers (its manual, -logbase;
it has left out a factor of 1024 by then, so that no number is too small)."""


@dataclass(frozen=True, slots=True)
class Reading:
    """What was heard.

    Attributes:
        ways: of each part the way that was heard.
        score: how likely the sound is so, in the library's units; two of one stretch may be
            compared, and their difference is the logarithm of a ratio.
        start: first frame of the first word, in hundredths of a second from the stretch's start.
        stop: the frame after the last word's last.
    """

    ways: tuple[Words, ...]
    score: float
    start: int
    stop: int


class Chooser:
    """One decoder for grammars; not to be shared between threads."""

    def __init__(self, setting: Setting):
        import pocketsphinx

        with tempfile.TemporaryDirectory() as folder:
            words = Path(folder) / "words.dict"
            words.write_text("\n".join(dictionary_lines(setting)) + "\n", encoding="utf-8")
            # compallsen: else sounds are scored against those that the grammar holds, and the
            # scores of two grammars cannot be compared
            self._decoder = pocketsphinx.Decoder(
                dict=str(words), lm=None, loglevel="FATAL", compallsen=True,
                bestpath=False, fwdflat=False, beam=_BEAM, pbeam=_BEAM, wbeam=_WORD_BEAM,
            )  # fmt: skip
        self._used = False

    def choose(self, samples: NDArray[np.int16], parts: Sequence[Part]) -> Reading | None:
        """The likeliest way through the parts; None when the sound fits none to its end.

        Args:
            samples: one channel at :data:`studio.voice.sound.RATE`.
            parts: at least one; each holds at least one way, no way is without a word.
        """
        decoder = self._decoder
        moves, last = _moves(parts)
        if self._used:
            # the library keeps a grammar until it is told to forget it
            decoder.remove_search(_NAME)
        decoder.add_fsg(_NAME, decoder.create_fsg(_NAME, 0, last, moves))
        decoder.activate_search(_NAME)
        self._used = True
        decoder.start_utt()
        try:
            decoder.process_raw(samples.tobytes(), full_utt=True)
        finally:
            decoder.end_utt()
        return _reading(decoder, parts)


def _reading(decoder: Any, parts: Sequence[Part]) -> Reading | None:
    found = decoder.hyp()
    if found is None or found.score <= 0:
        return None
    heard = [
        (VARIANT.sub("", one.word), one.start_frame, one.end_frame + 1)
        for one in decoder.seg()
        if not one.word.startswith(("<", "[", "+", "("))
    ]
    ways = _ways([word for word, _, _ in heard], parts)
    if ways is None:
        return None
    return Reading(ways, math.log(found.score) / _BASE, heard[0][1], heard[-1][2])


def _moves(parts: Sequence[Part]) -> tuple[list[tuple[int, int, float, str]], int]:
    """The grammar's states and words; ways that begin alike share their beginning."""
    moves: list[tuple[int, int, float, str]] = []
    at, states = 0, 1
    for part in parts:
        end, states = states, states + 1
        inner: dict[Words, int] = {(): at}
        for way in dict.fromkeys(part):
            for size in range(1, len(way)):
                if way[:size] not in inner:
                    inner[way[:size]], states = states, states + 1
                    moves.append((inner[way[: size - 1]], states - 1, 1.0, way[size - 1]))
            moves.append((inner[way[:-1]], end, 1.0, way[-1]))
        at = end
    return moves, at


def _ways(heard: Sequence[str], parts: Sequence[Part]) -> tuple[Words, ...] | None:
    """Which way of each part the words are; None when they are not a whole way through."""
    if not parts:
        return None if heard else ()
    for way in parts[0]:
        if tuple(heard[: len(way)]) == way:
            rest = _ways(heard[len(way) :], parts[1:])
            if rest is not None:
                return (way, *rest)
    return None
