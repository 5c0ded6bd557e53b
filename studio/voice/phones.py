"""From the sounds of the International Phonetic Alphabet to those of the acoustic model.

The model's set is that of the Carnegie Mellon pronouncing dictionary: 39 sounds of American
English, named by the ARPAbet.
"""

from __future__ import annotations

from collections.abc import Sequence

# fmt: off
PHONES = frozenset((
    "AA", "AE", "AH", "AO", "AW", "AY", "B", "CH", "D", "DH", "EH", "ER", "EY", "F", "G", "HH",
    "IH", "IY", "JH", "K", "L", "M", "N", "NG", "OW", "OY", "P", "R", "S", "SH", "T", "TH", "UH",
    "UW", "V", "W", "Y", "Z", "ZH",
))
"""Every sound of the model (the set listed by the Carnegie Mellon pronouncing dictionary)."""

_SOUNDS = {
    "p": "P", "b": "B", "t": "T", "d": "D", "k": "K", "ɡ": "G", "g": "G", "f": "F", "v": "V",
    "θ": "TH", "ð": "DH", "s": "S", "z": "Z", "ʃ": "SH", "ʒ": "ZH", "h": "HH", "m": "M", "n": "N",
    "ŋ": "NG", "l": "L", "ɫ": "L", "ɹ": "R", "r": "R", "w": "W", "j": "Y", "tʃ": "CH", "dʒ": "JH",
    "ɾ": "T", "ʔ": "T", "x": "K", "ɬ": "L", "ʍ": "W", "n̩": "AH N", "l̩": "AH L",
    "i": "IY", "ɪ": "IH", "ᵻ": "IH", "eɪ": "EY", "e": "EH", "ɛ": "EH", "æ": "AE",
    "a": "AE", "ɑ": "AA", "ɒ": "AA", "ɔ": "AO", "o": "AO", "oʊ": "OW", "əʊ": "OW", "u": "UW",
    "ʊ": "UH", "ʌ": "AH", "ə": "AH", "ɐ": "AH", "ɜ": "ER", "ɚ": "ER", "ɝ": "ER", "aɪ": "AY",
    "aʊ": "AW", "ɔɪ": "OY", "eə": "EH R", "iə": "IY AH", "ʊə": "UH R",
}
# fmt: on
_SIGNS = str.maketrans("", "", "ˈˌː̃|-.'")


def from_ipa(sounds: Sequence[str]) -> tuple[str, ...]:
    """The model's sounds for a word; stress and length are dropped, the model has neither.

    >>> from_ipa(("k", "ˈɜː", "f"))
    ('K', 'ER', 'F')
    """
    out: list[str] = []
    for sound in sounds:
        rest = sound.translate(_SIGNS)
        while rest:
            size = next((n for n in (3, 2, 1) if rest[:n] in _SOUNDS), 0)
            if size:
                out += _SOUNDS[rest[:size]].split()
            # a sign that is not known is passed over: the rest of the word still helps
            rest = rest[size or 1 :]
    return tuple(_without_doubled_r(out))


def _without_doubled_r(phones: Sequence[str]) -> list[str]:
    """ER holds its own R; one written after it would be said twice."""
    return [
        phone
        for place, phone in enumerate(phones)
        if not (phone == "R" and place and phones[place - 1] == "ER")
    ]
