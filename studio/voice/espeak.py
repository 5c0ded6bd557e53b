"""The eSpeak NG library: how an English word is said, and a synthetic voice that says it.

The library comes in the package espeakng-loader and is called through ctypes. It keeps one global
state, so one thread at a time may use it.
"""

from __future__ import annotations

import ctypes
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

from studio.errors import WorkFailed

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

# speak_lib.h of eSpeak NG 1.52
_SYNCHRONOUS, _DO_NOT_EXIT = 2, 0x8000
_UTF8, _RATE, _PITCH, _WORD_EVENT = 1, 1, 3, 1
_IPA = 0x02

AMERICAN = "gmw/en-US"
BRITISH = "gmw/en"
"""The library's files of these two voices."""


class _Name(ctypes.Union):
    _fields_ = [("number", ctypes.c_int), ("name", ctypes.c_char_p), ("string", ctypes.c_char * 8)]


class _Event(ctypes.Structure):
    _fields_ = [
        ("type", ctypes.c_int),
        ("unique_identifier", ctypes.c_uint),
        ("text_position", ctypes.c_int),
        ("length", ctypes.c_int),
        ("audio_position", ctypes.c_int),
        ("sample", ctypes.c_int),
        ("user_data", ctypes.c_void_p),
        ("id", _Name),
    ]


@dataclass(frozen=True, slots=True)
class SpokenWord:
    """A word of a synthetic voice: where it stands in the text, and when it begins in seconds.

    Parts of a hyphenated word are reported as one.
    """

    place: int
    start: float


@cache
def _library() -> tuple[Any, int]:
    import espeakng_loader

    try:
        library = ctypes.CDLL(espeakng_loader.get_library_path())
        data = espeakng_loader.get_data_path().encode()
    except (OSError, RuntimeError) as error:
        raise WorkFailed(f"the speech library cannot be loaded ({error})") from error
    library.espeak_Initialize.argtypes = [
        ctypes.c_int, ctypes.c_int, ctypes.c_char_p, ctypes.c_int,
    ]  # fmt: skip
    library.espeak_TextToPhonemes.argtypes = [ctypes.c_void_p, ctypes.c_int, ctypes.c_int]
    library.espeak_TextToPhonemes.restype = ctypes.c_char_p
    rate = library.espeak_Initialize(_SYNCHRONOUS, 0, data, _DO_NOT_EXIT)
    if rate <= 0:
        raise WorkFailed("the speech library does not start; install espeakng-loader again")
    return library, rate


def unload() -> None:
    """Forget the library, so that what is said next sounds as it does first in a process.

    It carries its flutter on from one text to the next, so that a sentence's samples depend on all
    that was said before; recordings that shall be the same each time begin here. POSIX alone.
    """
    import _ctypes

    if _library.cache_info().currsize:
        library, _ = _library()
        library.espeak_Terminate()
        _library.cache_clear()
        _ctypes.dlclose(library._handle)


def _choose(library: Any, voice: str) -> None:
    if library.espeak_SetVoiceByName(voice.encode()) != 0:
        raise ValueError(f"there is no voice {voice!r}")


def ipa(word: str, voice: str = AMERICAN) -> tuple[str, ...]:
    """A word's sounds in the International Phonetic Alphabet, as the library spells them.

    Args:
        word: one English word.
        voice: the accent; American by default, which is what the acoustic model speaks.

    >>> ipa("kerf")
    ('k', 'ˈɜː', 'f')
    """
    library, _ = _library()
    _choose(library, voice)
    text = ctypes.c_char_p(word.encode())
    found = library.espeak_TextToPhonemes(ctypes.byref(text), _UTF8, _IPA | ord("_") << 8)
    return tuple(part for part in (found or b"").decode().replace(" ", "_").split("_") if part)


def speak(
    text: str, *, voice: str = AMERICAN, words_per_minute: int = 150, pitch: int = 50
) -> tuple[NDArray[np.int16], int, tuple[SpokenWord, ...]]:
    """Say a text with the synthetic voice.

    Args:
        text: plain.
        voice: the accent, by the library's file of it.
        words_per_minute: 80 to 450.
        pitch: 0 to 100; 50 is the library's usual one.

    Returns:
        The samples, how many there are in a second, and when each word begins, as the
        synthesiser itself reports it.
    """
    import numpy as np

    library, rate = _library()
    blocks: list[NDArray[np.int16]] = []
    words: list[SpokenWord] = []
    encoded = text.encode() + b"\0"

    def take(wave: Any, count: int, events: Any) -> int:
        if count > 0:
            blocks.append(np.ctypeslib.as_array(wave, (count,)).copy())
        place = 0
        while events[place].type != 0:
            event = events[place]
            if event.type == _WORD_EVENT:
                words.append(SpokenWord(event.text_position - 1, event.audio_position / 1000))
            place += 1
        return 0

    kind = ctypes.CFUNCTYPE(
        ctypes.c_int, ctypes.POINTER(ctypes.c_short), ctypes.c_int, ctypes.POINTER(_Event)
    )
    callback = kind(take)
    library.espeak_SetSynthCallback(callback)
    _choose(library, voice)
    library.espeak_SetParameter(_RATE, words_per_minute, 0)
    library.espeak_SetParameter(_PITCH, pitch, 0)
    library.espeak_Synth(encoded, len(encoded), 0, 1, 0, _UTF8, None, None)
    return (np.concatenate(blocks) if blocks else np.zeros(0, np.int16)), rate, tuple(words)
