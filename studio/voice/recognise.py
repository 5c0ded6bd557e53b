"""The recogniser: what a piece of sound says, and where given words stand in it.

Two passes over PocketSphinx with its shipped English model. The first decodes a piece with a
language model made from the script alone, so that little but the script's own words can be heard.
The second lines a known text up with a piece (alignment mode). Both work on short pieces.
"""

from __future__ import annotations

import contextlib
import math
import os
import re
import tempfile
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence, Set
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING, Any

from studio.errors import WorkFailed
from studio.voice.pieces import FRAME

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

_DISCOUNT = 0.3
"""Taken off each count for what was not written (absolute discounting; Ney, Essen and Kneser,
1994, from memory; the value is ours: a turner who reads keeps to the text)."""

_OTHER_WORDS = 0.15
"""Share of the single words' weight that everyday English has: it takes up asides (ours)."""

_EVERYDAY = 400
"""How many of the commonest English words are listened for beside the script's (ours)."""

_SCRIPT_WEIGHT = 10.0
"""How much the script's order of words counts beside the sound; the library's own 6.5 is meant for
free speech (ours: the best of five on the demo's script; the tests use the
same voices and kinds of noise with other scripts, rates and pauses)."""

_DOUBTFUL = 2
"""So many last words of a text that was lined up in part are not believed (ours)."""

_EXPECTED = 20
"""So many times as likely as any other is a sentence near the place that was reached (ours)."""

_POOL_FROM = 20
"""So many pieces are worth a second process (starting one costs about a second; ours)."""

VARIANT = re.compile(r"\(\d+\)$")
"""What the library writes behind a word that was said in its second way, or its third."""


@dataclass(frozen=True, slots=True)
class Heard:
    """A word with its first frame and the one after its last, in hundredths of a second.

    ``slack`` is by how much its start may be off where it was not heard but reckoned.
    """

    word: str
    start: int
    stop: int
    slack: int = 0


@dataclass(frozen=True, slots=True)
class Setting:
    """What a recogniser is made from; plain data, so that another process can make one too.

    Attributes:
        pronunciations: every word that can be heard, with the ways in which it is said.
        weight: how much the order of words counts beside the sound.
    """

    pronunciations: tuple[tuple[str, tuple[str, ...]], ...]
    weight: float = _SCRIPT_WEIGHT


class Recogniser:
    """One decoder; not to be shared between threads."""

    def __init__(self, setting: Setting):
        import pocketsphinx

        # a language model is fitted to a dictionary word by word: one of a few hundred words makes
        # seconds into milliseconds. The library reads both from files alone.
        with tempfile.TemporaryDirectory() as folder:
            words = Path(folder) / "words.dict"
            words.write_text("\n".join(dictionary_lines(setting)) + "\n", encoding="utf-8")
            self._quick, self._thorough = (
                pocketsphinx.Decoder(
                    dict=str(words), lm=None, loglevel="FATAL", lw=setting.weight,
                    bestpath=thorough, fwdflat=thorough,
                )
                for thorough in (False, True)
            )  # fmt: skip
        self._models: dict[bool, str] = {}

    def hear(
        self, samples: NDArray[np.int16], model: str, *, thorough: bool = False
    ) -> tuple[Heard, ...]:
        """The words of a piece, as far as a language model (ARPA text) has them.

        Args:
            samples: the piece.
            model: what may be said.
            thorough: go over the piece two times more (about half as long again).
        """
        decoder = self._thorough if thorough else self._quick
        if model != self._models.get(thorough):
            with tempfile.TemporaryDirectory() as folder:
                file = Path(folder) / "script.lm"
                file.write_text(model, encoding="utf-8")
                decoder.add_lm_file("script", str(file))
            self._models[thorough] = model
        decoder.activate_search("script")
        return _decoded(decoder, samples)

    def align(self, samples: NDArray[np.int16], words: Sequence[str]) -> tuple[Heard, ...]:
        """Where each of ``words`` stands in a piece.

        Where the sound ends before the text does, or noise hides the end, the words up to there
        are given without the last two; nothing when they cannot be lined up at all.
        """
        try:
            self._quick.set_align_text(" ".join(words))
            found = _decoded(self._quick, samples)
        except RuntimeError:
            return ()
        if [one.word for one in found] != list(words[: len(found)]):
            return ()
        return found if len(found) == len(words) else found[:-_DOUBTFUL]


def _decoded(decoder: Any, samples: NDArray[np.int16]) -> tuple[Heard, ...]:
    decoder.start_utt()
    try:
        decoder.process_raw(samples.tobytes(), full_utt=True)
    finally:
        decoder.end_utt()
    if decoder.hyp() is None:
        return ()
    return tuple(
        Heard(VARIANT.sub("", one.word), one.start_frame, one.end_frame + 1)
        for one in decoder.seg()
        if not one.word.startswith(("<", "[", "+"))
    )


def dictionary_lines(setting: Setting) -> Iterator[str]:
    """The lines of a dictionary file: a word with its sounds, and once more for each other way."""
    for word, ways in setting.pronunciations:
        for number, way in enumerate(ways, 1):
            yield f"{word if number == 1 else f'{word}({number})'} {way}"


@cache
def dictionary() -> Mapping[str, tuple[str, ...]]:
    """The shipped dictionary: each word's sounds, in every way in which it is said."""
    import pocketsphinx

    path = Path(pocketsphinx.get_model_path("en-us")) / "cmudict-en-us.dict"
    ways: dict[str, tuple[str, ...]] = {}
    for line in path.read_text(encoding="utf-8").splitlines():
        name, _, way = line.partition(" ")
        word = name.partition("(")[0]
        ways[word] = (*ways.get(word, ()), way.strip())
    return ways


@cache
def everyday_words(number: int = _EVERYDAY) -> Mapping[str, float]:
    """The commonest of the dictionary's words with their share, by the shipped language model."""
    import pocketsphinx

    config = pocketsphinx.Config(lm=None, loglevel="FATAL")
    math_of = pocketsphinx.LogMath()
    file = Path(pocketsphinx.get_model_path("en-us")) / "en-us.lm.bin"
    model = pocketsphinx.NGramModel(config, math_of, str(file))
    words = [word for word in dictionary() if word.isalpha()]
    share = {word: math.exp(math_of.log_to_ln(model.prob([word]))) for word in words}
    most = sorted(words, key=lambda word: (-share[word], word))[:number]
    whole = sum(share[word] for word in most)
    return {word: share[word] / whole for word in most}


def language_model(
    sentences: Sequence[Sequence[str]],
    everyday: Mapping[str, float],
    expected: Set[int] = frozenset(),
    talk: float = _OTHER_WORDS,
) -> str:
    """The script's words, pairs and triples with their chances, in the ARPA format.

    Args:
        sentences: the script, word by word.
        everyday: other words to be listened for, with their shares of one.
        expected: numbers of the sentences that are likely here; they count many times over.
        talk: share of the single words' weight that the other words have.
    """
    singles: Counter[str] = Counter()
    pairs: Counter[tuple[str, str]] = Counter()
    triples: Counter[tuple[str, str, str]] = Counter()
    for number, sentence in enumerate(sentences):
        words = ["<s>", *sentence, "</s>"]
        times = _EXPECTED if number in expected else 1
        for counts, grams in (
            (singles, [*words[1:]]),
            (pairs, [*pairwise(words)]),
            (triples, [*zip(words, words[1:], words[2:], strict=False)]),
        ):
            for gram in grams:
                counts[gram] += times  # type: ignore[index]
    whole = sum(singles.values())
    own = 1 - talk if everyday else 1.0
    chance = {word: own * count / whole for word, count in singles.items()}
    for word, share in everyday.items():
        chance[word] = chance.get(word, 0.0) + talk * share
    after_one: Counter[str] = Counter()
    kinds_one: Counter[str] = Counter()
    for (first, _), count in pairs.items():
        after_one[first] += count
        kinds_one[first] += 1
    after_two: Counter[tuple[str, str]] = Counter()
    kinds_two: Counter[tuple[str, str]] = Counter()
    for (first, second, _), count in triples.items():
        after_two[first, second] += count
        kinds_two[first, second] += 1

    def rest_one(word: str) -> float:
        return _DISCOUNT * kinds_one[word] / after_one[word] if after_one[word] else 1.0

    def rest_two(pair: tuple[str, str]) -> float:
        return _DISCOUNT * kinds_two[pair] / after_two[pair] if after_two[pair] else 1.0

    def of_pair(first: str, second: str) -> float:
        seen = (pairs[first, second] - _DISCOUNT) / after_one[first]
        return seen + rest_one(first) * chance[second]

    lines = ["\\data\\", f"ngram 1={len(chance) + 1}", f"ngram 2={len(pairs)}"]
    lines += [f"ngram 3={len(triples)}", "", "\\1-grams:", f"-99 <s> {_log(rest_one('<s>'))}"]
    lines += [f"{_log(share)} {word} {_log(rest_one(word))}" for word, share in chance.items()]
    lines += ["", "\\2-grams:"]
    lines += [
        f"{_log(of_pair(*pair))} {pair[0]} {pair[1]} {_log(rest_two(pair))}" for pair in pairs
    ]
    lines += ["", "\\3-grams:"]
    for (first, second, third), count in triples.items():
        seen = (count - _DISCOUNT) / after_two[first, second]
        share = seen + rest_two((first, second)) * of_pair(second, third)
        lines.append(f"{_log(share)} {first} {second} {third}")
    return "\n".join([*lines, "", "\\end\\", ""])


def _log(share: float) -> str:
    return f"{math.log10(min(max(share, 1e-9), 1.0)):.4f}"


_own: Recogniser | None = None
"""The recogniser of a process in the pool."""


def _start(setting: Setting) -> None:
    global _own
    import signal

    # Ctrl-C is the parent's to answer; it ends the pool
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _own = Recogniser(setting)


def _hear(job: tuple[str, list[NDArray[np.int16]], bool]) -> list[tuple[Heard, ...]]:
    assert _own is not None
    model, sounds, thorough = job
    return [_own.hear(sound, model, thorough=thorough) for sound in sounds]


def _align(job: tuple[NDArray[np.int16], tuple[str, ...]]) -> tuple[Heard, ...]:
    assert _own is not None
    return _own.align(*job)


class Recognisers:
    """As many recognisers as there are processors, when there is work for them."""

    def __init__(self, setting: Setting, samples: NDArray[np.int16], pool: Any):
        self._samples = samples
        self._pool = pool
        self._single = None if pool is not None else Recogniser(setting)

    def hear(
        self, groups: Sequence[tuple[str, Sequence[tuple[int, int]]]], *, thorough: bool = False
    ) -> list[tuple[Heard, ...]]:
        """The words of each stretch, in frames from the recording's start.

        Args:
            groups: stretches with the language model (ARPA text) that they are heard with.
            thorough: see :meth:`Recogniser.hear`.
        """
        jobs = [(model, [self._sound(span) for span in spans], thorough) for model, spans in groups]
        if self._pool is None:
            assert self._single is not None
            found = [
                self._single.hear(sound, model, thorough=thorough)
                for model, sounds, _ in jobs
                for sound in sounds
            ]
        else:
            found = [words for many in self._pool.map(_hear, jobs) for words in many]
        return _moved(found, [span for _, spans in groups for span in spans])

    def align(
        self, spans: Sequence[tuple[int, int]], texts: Sequence[tuple[str, ...]]
    ) -> list[tuple[Heard, ...]]:
        """Where each text's words stand in its stretch; nothing for one that does not fit."""
        jobs = [(self._sound(span), text) for span, text in zip(spans, texts, strict=True)]
        if self._pool is None:
            assert self._single is not None
            found = [self._single.align(*job) for job in jobs]
        else:
            found = list(self._pool.map(_align, jobs, chunksize=4))
        return _moved(found, spans)

    def _sound(self, span: tuple[int, int]) -> NDArray[np.int16]:
        return self._samples[max(0, span[0]) * FRAME : span[1] * FRAME]


def _moved(
    found: Sequence[tuple[Heard, ...]], spans: Sequence[tuple[int, int]]
) -> list[tuple[Heard, ...]]:
    return [
        tuple(
            Heard(one.word, max(0, span[0]) + one.start, max(0, span[0]) + one.stop)
            for one in words
        )
        for words, span in zip(found, spans, strict=True)
    ]


@contextlib.contextmanager
def recognisers(setting: Setting, samples: NDArray[np.int16], pieces: int) -> Iterator[Recognisers]:
    """Recognisers for a recording of so many pieces; processes are ended on the way out."""
    import multiprocessing
    from concurrent.futures import ProcessPoolExecutor
    from concurrent.futures.process import BrokenProcessPool

    count = min(os.cpu_count() or 1, 8)
    if pieces < _POOL_FROM or count < 2:
        yield Recognisers(setting, samples, None)
        return
    # a fresh start everywhere: copies of a running program would copy its threads' locks too
    context = multiprocessing.get_context("spawn")
    pool = ProcessPoolExecutor(count, context, _start, (setting,))
    try:
        yield Recognisers(setting, samples, pool)
    except BrokenProcessPool as error:
        raise WorkFailed(
            "listening was broken off: a process was ended from outside, mostly for want of memory;"
            " close other programs and try again"
        ) from error
    finally:
        pool.shutdown(cancel_futures=True)
