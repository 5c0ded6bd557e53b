"""Type on pictures: the faces, and words set on lines of a given width."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from functools import lru_cache
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

from studio.errors import WorkFailed
from studio.measure.together import leads, waits_for
from studio.measure.trace import plain

if TYPE_CHECKING:
    from PIL import ImageFont

BOLD, SEMIBOLD, REGULAR = "SourceSansPro-Bold", "SourceSansPro-Semibold", "SourceSansPro-Regular"
"""The faces, by their files' names."""

# Only spaces at which a line may break: never a no-break space.
_BREAKS = re.compile(r"[ \t\r\n\f\v\x1c-\x1f\x85\u2028\u2029]+")

# More lines than this are running text that cannot fit anyway.
_MOST_EVENED = 4


def clean(marked: str) -> str:
    """Plain text without characters that no font draws and with only encodable ones."""
    text = plain(marked).encode("utf-8", "replace").decode("utf-8")
    return "".join(char for char in text if char >= " " or _BREAKS.match(char))


def set_lines(marked: str, font: ImageFont.FreeTypeFont, room: float) -> list[str]:
    """``marked`` as lines no wider than ``room`` pixels, as even in length as they can be.

    A number stays with its unit wherever both have room. A word wider than ``room`` is cut.
    """
    words = _words(marked, font, room)
    lines = _filled(words, font, room)
    if not 1 < len(lines) <= _MOST_EVENED:
        return lines
    # the narrowest room with as many lines: no single word is left on the last one, and none is cut
    widest = max(length_of(font, word) for word in words)
    low, high = (max(room / 2, widest) if widest <= room else room / 2), room
    while high - low > 1:
        middle = (low + high) / 2
        low, high = (
            (low, middle) if len(_filled(words, font, middle)) == len(lines) else (middle, high)
        )
    return _filled(words, font, high)


@lru_cache(maxsize=16_384)
def length_of(font: ImageFont.FreeTypeFont, text: str) -> float:
    """How wide a text is in pixels; the same few are asked for at many widths and sizes."""
    return font.getlength(text)


def has_to_cut(marked: str, font: ImageFont.FreeTypeFont, room: float) -> bool:
    """Whether a word, or a figure with its unit, is wider than ``room`` pixels."""
    return any(length_of(font, word) > room for word in _words(marked))


def _words(marked: str, font: ImageFont.FreeTypeFont | None = None, room: float = 0.0) -> list[str]:
    """What no line may break inside; with a font, only what has ``room`` in one piece."""
    words = [word for word in _BREAKS.split(clean(marked)) if word]

    def joined(parts: list[str], belongs: Callable[[str, str, str], bool]) -> list[str]:
        out: list[str] = []
        for word in parts:
            before = out[-2] if len(out) > 1 else ""
            if out and belongs(out[-1], word, before):
                both = f"{out[-1]} {word}"
                if font is None or length_of(font, both) <= room:
                    out[-1] = both
                    continue
            out.append(word)
        return out

    # where there is no room for all three, a figure stays rather with its unit than with “approx.”
    figures = joined(words, lambda word, following, _: waits_for(word, following))
    return figures if font is None else joined(figures, leads)


def _filled(words: list[str], font: ImageFont.FreeTypeFont, room: float) -> list[str]:
    """``words`` on lines, each filled as far as it goes."""
    lines: list[str] = []
    line = ""
    for word in words:
        longer = f"{line} {word}" if line else word
        if length_of(font, longer) <= room:
            line = longer
            continue
        if line:
            lines.append(line)
        *whole, line = _cut(word, font, room)
        lines += whole
    if line:
        lines.append(line)
    return lines


def _cut(word: str, font: ImageFont.FreeTypeFont, room: float) -> Iterator[str]:
    """``word`` in pieces that fit, each at least one character long."""
    while length_of(font, word) > room and len(word) > 1:
        low, high = 1, len(word) - 1
        while low < high:
            middle = (low + high + 1) // 2
            low, high = (
                (middle, high) if length_of(font, word[:middle]) <= room else (low, middle - 1)
            )
        yield word[:low]
        word = word[low:]
    yield word


@lru_cache(maxsize=256)
def typeface(face: str, pixels: int) -> ImageFont.FreeTypeFont:
    """A face at a size in pixels.

    Raises:
        WorkFailed: the package's own lettering is missing or cannot be read.
    """
    from PIL import ImageFont

    found = find_spec("font_source_sans_pro")
    if found is None or found.origin is None:
        raise WorkFailed("the lettering is missing; install this package again with its fonts")
    file = Path(found.origin).parent / "files" / f"{face}.ttf"
    try:
        return ImageFont.truetype(str(file), pixels)
    except OSError as error:
        raise WorkFailed(f"the lettering {file} cannot be read; install it again") from error


_NO_SIGN = "\U0010ffff"
"""A place in Unicode that never holds a sign: what is drawn for it is the box."""


@lru_cache(maxsize=16)
def unlettered(signs: frozenset[str]) -> frozenset[str]:
    """Which of some signs the faces of the pictures lack: those for which they draw a box.

    Args:
        signs: single characters.

    Raises:
        WorkFailed: the package's own lettering is missing or cannot be read.
    """
    from PIL import Image, ImageDraw

    font = typeface(SEMIBOLD, 40)

    def drawn(sign: str) -> bytes:
        image = Image.new("L", (120, 80))
        ImageDraw.Draw(image).text((20, 10), sign, fill=255, font=font)
        return image.tobytes()

    box = drawn(_NO_SIGN)
    return frozenset(sign for sign in signs if drawn(sign) == box)
