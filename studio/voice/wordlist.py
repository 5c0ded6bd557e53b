"""How words outside the model's dictionary are said: a list that the turner can correct."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence, Set
from dataclasses import dataclass
from pathlib import Path

from studio.episode.beside import WORDS
from studio.errors import BadInput, Fault
from studio.files import write_whole
from studio.voice.phones import PHONES, from_ipa

FILE_NAME = f"workshop{WORDS}"
"""One list for all designs of a folder: a workshop says its words the same way each week."""

_HEAD = """\
# How words are said that the recogniser's dictionary does not hold. studio time adds a line for
# each new one and never changes a line that stands here: correct them as you say them. A second
# way goes behind a comma. The sounds: AA (odd) AE (at) AH (hut) AO (ought) AW (cow) AY (hide) EH
# (red) ER (hurt) EY (ate) IH (it) IY (eat) OW (oat) OY (toy) UH (hood) UW (two); B CH D DH (thee)
# F G HH (he) JH (gee) K L M N NG (ping) P R S SH T TH (theta) V W Y Z ZH (seizure).
"""

_LINE = re.compile(r"^(?P<word>[^\s:#][^:#]*?)\s*:\s*(?P<ways>[^#]*?)\s*(?:#.*)?$")


@dataclass(frozen=True, slots=True)
class WordList:
    """Words and the ways in which each is said; ``text`` is the file as it stands."""

    ways: dict[str, tuple[str, ...]]
    text: str


def read_words(path: Path) -> WordList:
    """The list at ``path``; empty when there is none.

    Raises:
        BadInput: a line that is no word with its sounds; every such line is told.
    """
    if not path.is_file():
        return WordList({}, "")
    try:
        text = path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        raise BadInput.of("this list cannot be read as text", "save it as UTF-8", file=path) from (
            error
        )
    ways: dict[str, tuple[str, ...]] = {}
    faults: list[Fault] = []
    for number, line in enumerate(text.splitlines(), 1):
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        match = _LINE.match(line)
        said = [way.split() for way in match["ways"].upper().split(",")] if match else []
        wrong = sorted({sound for way in said for sound in way if sound not in PHONES})
        if match is None or not said or not all(said) or wrong:
            what = (
                f"there is no sound {wrong[0][:20]!r}" if wrong else "this is no word with sounds"
            )
            write = "write a line like tenon: T EH N AH N, with the sounds named at the head"
            faults.append(Fault(file=path, line=number, column=1, what=what, write=write))
            continue
        word = match["word"].strip("\"'").casefold()
        if word in ways:
            what = f"{word[:40]!r} stands here a second time"
            write = f"keep one line for it; two ways go into one, like {word[:40]}: A, B"
            faults.append(Fault(file=path, line=number, column=1, what=what, write=write))
            continue
        ways[word] = tuple(" ".join(way) for way in said)
    if faults:
        raise BadInput(faults)
    return WordList(ways, text)


def proposed(word: str, known: dict[str, tuple[str, ...]]) -> tuple[str, ...]:
    """How a word is probably said.

    A possessive takes the sounds of its owner where those are known, anything else those that
    eSpeak NG gives.
    """
    from studio.voice.espeak import ipa

    owner = word.removesuffix("'s")
    if owner != word and owner in known:
        return tuple(f"{way} {_ending(way)}" for way in known[owner])
    sounds = from_ipa(ipa(word))
    # a word of which nothing is known still has to be passed over somehow
    return (" ".join(sounds or ("AH",)),)


def british(word: str) -> str:
    """How a British voice says a word; the model's dictionary is American."""
    from studio.voice.espeak import BRITISH, ipa

    return " ".join(from_ipa(ipa(word, BRITISH)))


def _ending(way: str) -> str:
    """The sounds of a possessive s: IH Z behind a hiss, S behind an unvoiced sound, else Z."""
    last = way.split()[-1]
    if last in {"S", "Z", "SH", "ZH", "CH", "JH"}:
        return "IH Z"
    return "S" if last in {"P", "T", "K", "F", "TH"} else "Z"


def told_words(words: Sequence[tuple[str, str]]) -> tuple[str, ...]:
    """What to tell of words that were added to the list, with their sounds; nothing for none."""
    if not words:
        return ()
    said = "; ".join(f"{word}: {ways}" for word, ways in words)
    return (f"{FILE_NAME} has new words; correct them if you say them otherwise: {said}",)


def ways_of(
    words: Iterable[str],
    own: Set[str],
    shipped: Mapping[str, tuple[str, ...]],
    listed: Mapping[str, tuple[str, ...]],
) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """How each word is said: as the turner lists it, else American, and British in the script."""
    out: list[tuple[str, tuple[str, ...]]] = []
    for word in sorted(set(words)):
        ways = listed.get(word) or shipped[word]
        if word in own and word not in listed and (said := british(word)):
            ways = tuple(dict.fromkeys((*ways, said)))
        out.append((word, ways))
    return tuple(out)


def add_words(path: Path, before: WordList, words: Iterable[str]) -> dict[str, tuple[str, ...]]:
    """Add a line for each word that the list lacks; returns what was added.

    Raises:
        WorkFailed: the list cannot be written.
    """
    added: dict[str, tuple[str, ...]] = {}
    for word in sorted(set(words) - before.ways.keys()):
        added[word] = proposed(word, {**before.ways, **added})
    if added:
        text = before.text or _HEAD
        text += "" if text.endswith("\n") else "\n"
        lines = [f"{word}: {', '.join(ways)}\n" for word, ways in added.items()]
        write_whole(path, (text + "".join(lines)).encode("utf-8"))
    return added
