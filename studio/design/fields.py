"""How each kind of typed scalar in a design is read; the schema is built from these.

Scalars reach the schema as the text that was typed. Every field type below turns that text into a
quantity or says what to write instead.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from difflib import get_close_matches
from fractions import Fraction
from typing import Annotated, Any

from pydantic_core import CoreSchema
from pydantic_core.core_schema import no_info_plain_validator_function

from studio.measure.rounding import FINE, Direction, length_reading
from studio.measure.units import (
    GRIT_LABEL,
    Length,
    Plain,
    QuantityError,
    parse_angle,
    parse_coverage,
    parse_duration,
    parse_grit_label,
    parse_length,
    parse_percent,
    parse_speed,
    parse_temperature,
    parse_time,
    parse_value,
)


@dataclass(frozen=True)
class Typed:
    """How one kind of typed text is read, and what an editor is told about it."""

    read: Callable[[object], object]
    schema: Mapping[str, Any]

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> CoreSchema:
        return no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(self, schema: Any, handler: Any) -> dict[str, Any]:
        return dict(self.schema)


def text_of(value: object, example: str) -> str:
    """The typed text.

    Raises:
        QuantityError: a list, a section or nothing at all; ``example`` is what to write.
    """
    if isinstance(value, str):
        return value
    if isinstance(value, dict | list):
        raise QuantityError("a list or section where one value is due", f"write {example}")
    raise QuantityError("nothing is written here", f"write {example}")


# the schema takes the spellings an editor can check; the reader says the rest
_LENGTH_PATTERN = r"^\s*[0-9½¼¾⅛⅜⅝⅞⅓⅔.].*([A-Za-z\"″'′])\s*$|^\s*[0-9]+\s*['′].*$"


def length_from(low: str, high: str, example: str) -> Typed:
    """A length from ``low`` to ``high``."""
    least, most = parse_length(low), parse_length(high)

    def read(value: object) -> Length:
        found = parse_length(text_of(value, example))
        if not least.mm <= found.mm <= most.mm:
            size = "small" if found.mm < least.mm else "large"
            ends = low, high
            if found.system is not least.system:
                ends = (
                    length_reading(least.mm, found.system, FINE, Direction.UP).text,
                    length_reading(most.mm, found.system, FINE, Direction.DOWN).text,
                )
            raise QuantityError(
                f"{found.typed!r} is too {size} here", "write a length from {} to {}".format(*ends)
            )
        return found

    return Typed(read, {"type": "string", "pattern": _LENGTH_PATTERN, "examples": [example]})


def parsed(parse: Callable[[str], object], example: str, pattern: str) -> Typed:
    """A text that ``parse`` reads."""
    schema = {"type": "string", "pattern": pattern, "examples": [example]}
    return Typed(lambda value: parse(text_of(value, example)), schema)


def count(low: int, high: int, what: str) -> Typed:
    """A whole number from ``low`` to ``high``."""

    def read(value: object) -> int:
        text = text_of(value, f"a whole number of {what}").strip()
        if not re.fullmatch(r"[0-9]{1,6}", text) or not low <= int(text) <= high:
            raise QuantityError(
                f"{text[:40]!r} is not a number of {what} that works here",
                f"write a whole number from {low} to {high}",
            )
        return int(text)

    number = {"type": "integer", "minimum": low, "maximum": high}
    return Typed(read, {"anyOf": [number, {"type": "string", "pattern": r"^\s*[0-9]{1,6}\s*$"}]})


def choice(*words: str) -> Typed:
    """One of a few words; the nearest is told when it is none of them."""

    def read(value: object) -> str:
        text = text_of(value, " or ".join(words)).strip()
        if text not in words:
            near = get_close_matches(text, words, n=1, cutoff=0.4)
            hint = f"did you mean {near[0]}? " if near else ""
            raise QuantityError(
                f"{text[:40]!r} is not known here", f"{hint}write one of: {', '.join(words)}"
            )
        return text

    return Typed(read, {"type": "string", "enum": list(words)})


def _word(value: object) -> str:
    text = text_of(value, "a short name such as mark-octagon")
    if not re.fullmatch(_WORD, text) or len(text) > 40:
        raise QuantityError(
            f"{text[:50]!r} does not serve as a name",
            "write small letters, digits and hyphens, such as mark-octagon",
        )
    return text


_FORMS = ("text", "other", "both", "spoken", "bench")
"""Forms that a text can ask for; a value of that name could not be told from one."""


def _name(value: object) -> str:
    text = text_of(value, "a short name such as first_coat")
    if not re.fullmatch(_NAME, text) or len(text) > 40 or text in _FORMS:
        raise QuantityError(
            f"{text[:50]!r} does not serve as a name in texts",
            "write small letters and underscores, no digits, such as first_coat",
        )
    return text


def _line(value: object) -> str:
    text = text_of(value, "a line of text").strip()
    if not text or len(text.splitlines()) > 1 or len(text) > 200:
        raise QuantityError("not one line of text", "write one line of at most 200 characters")
    return text


def unfilled(value: object) -> str:
    """One line of plain words, without names of measurements.

    Raises:
        QuantityError: more than a line, or braces.
    """
    text = _line(value)
    if "{{" in text or "{%" in text or "{#" in text:
        raise QuantityError("braces in a line that names no measurements", "write plain words")
    return text


def _url(value: object) -> str:
    text = text_of(value, "a link such as https://example.org/page").strip()
    if not re.fullmatch(r"https?://[^\s<>\"'\\]{3,500}", text):
        raise QuantityError(
            f"{text[:60]!r} is not a link", "write a link that starts with https://"
        )
    return text


def site_address(value: object) -> str:
    """A site's address, which names of pages can be put behind; empty when there is none.

    Raises:
        QuantityError: it is no address, or has a question or a place in a page behind it.
    """
    if value in ("", None):
        return ""
    text = _url(value)
    if "?" in text or "#" in text:
        raise QuantityError(
            f"{text[:60]!r} ends in a question or a place in a page",
            "write the folder's address alone, such as https://example.org/ornaments/",
        )
    return text.rstrip("/") + "/"


def _flag(value: object) -> bool:
    text = text_of(value, "yes or no").lower()
    if text not in ("yes", "no", "true", "false"):
        raise QuantityError(f"{text[:40]!r} is neither yes nor no", "write yes or no")
    return text in ("yes", "true")


def _day(value: object) -> date:
    text = text_of(value, "a day such as 2026-11-27").strip()
    try:
        return date.fromisoformat(text if re.fullmatch(_DAY, text) else "")
    except ValueError:
        raise QuantityError(
            f"{text[:40]!r} is not a day", "write year, month and day, such as 2026-11-27"
        ) from None


def _file_name(value: object) -> str:
    text = text_of(value, "a file's name such as bench.mp4").strip()
    if (
        not text
        or len(text) > 120
        or text[0] in ".-"
        or any(sign in "/\\:" or not sign.isprintable() for sign in text)
    ):
        raise QuantityError(
            f"{text[:60]!r} is not the name of a file in the footage folder",
            "write the file's name alone, such as bench.mp4, and its folder with --footage",
        )
    return text


SLOWEST, FASTEST = Fraction(1, 4), Fraction(64)
"""How slow or fast a take may be played (ours)."""


def _pace(value: object) -> Fraction:
    text = text_of(value, "how many times as fast it is played, such as 8").strip()
    found = re.fullmatch(r"([0-9]{1,3}(?:\.[0-9]{1,3})?)\s*[x×]?", text)
    if found is None or not SLOWEST <= Fraction(found[1]) <= FASTEST:
        raise QuantityError(
            f"{text[:40]!r} is not a speed that a take can have",
            f"write how many times as fast it is played, from {float(SLOWEST)} to {FASTEST}, "
            "such as 8",
        )
    return Fraction(found[1])


def _moments(value: object) -> tuple[int, ...]:
    typed = value if isinstance(value, list) else [value]
    if not 1 <= len(typed) <= 2:
        raise QuantityError("more than two claps", "write one, or the first and the last")
    found = tuple(parse_time(text_of(one, "a time such as 0:03.2")) for one in typed)
    if list(found) != sorted(set(found)):
        raise QuantityError("the second clap is not after the first", "write them in order")
    return found


def _size(value: object) -> tuple[int, int]:
    text = text_of(value, "a size in pixels such as 1920x1080")
    match = re.fullmatch(r"\s*([0-9]{3,4})\s*[x×]\s*([0-9]{3,4})\s*", text)
    if not match or not all(180 <= int(side) <= 4320 for side in match.groups()):
        raise QuantityError(
            f"{text[:40]!r} is not a picture size",
            "write width and height in pixels, such as 1920x1080, each from 180 to 4320",
        )
    return int(match[1]), int(match[2])


_DAY = "^[0-9]{4}-[0-9]{2}-[0-9]{2}$"
_WORD = "^[a-z][a-z0-9]*([-_][a-z0-9]+)*$"
_NAME = "^[a-z]+(_[a-z]+)*$"
STRING = {"type": "string"}
LINE = Typed(_line, {**STRING, "maxLength": 200})
Line = Annotated[str, LINE]
Unfilled = Annotated[str, Typed(unfilled, {**STRING, "maxLength": 200})]
Prose = Annotated[str, Typed(lambda value: text_of(value, "a text").strip(), STRING)]
WORD = Typed(_word, {**STRING, "pattern": _WORD})
Word = Annotated[str, WORD]
Name = Annotated[str, Typed(_name, {**STRING, "pattern": _NAME})]
Url = Annotated[str, Typed(_url, {**STRING, "pattern": "^https?://"})]
Flag = Annotated[bool, Typed(_flag, {"anyOf": [{"type": "boolean"}, {"enum": ["yes", "no"]}]})]
Day = Annotated[
    date,
    Typed(_day, {**STRING, "format": "date", "pattern": _DAY, "examples": ["2026-11-27"]}),
]
SPEED = parsed(parse_speed, "1200 rpm", r"^\s*[0-9.]+\s*[rR][pP][mM]\s*$")
Speed = Annotated[float, SPEED]
TIME = parsed(parse_time, "0:35", r"^([0-9]{1,2}:)?[0-9]{1,2}:[0-9]{2}(\.[0-9]{1,3})?$")
Time = Annotated[int, TIME]
FileName = Annotated[
    str, Typed(_file_name, {**STRING, "pattern": r"^[^./\\:-][^/\\:]*$", "examples": ["bench.mp4"]})
]
PACE = Typed(
    _pace,
    {
        "anyOf": [
            {"type": "number", "minimum": float(SLOWEST), "maximum": float(FASTEST)},
            {**STRING, "pattern": r"^\s*[0-9]{1,3}(\.[0-9]{1,3})?\s*[x×]?\s*$"},
        ],
        "examples": ["8"],
    },
)
Moments = Annotated[
    tuple[int, ...],
    Typed(
        _moments,
        {
            "anyOf": [
                dict(TIME.schema),
                {"type": "array", "items": dict(TIME.schema), "maxItems": 2},
            ],
            "examples": ["0:03.2"],
        },
    ),
]
Value = Annotated[
    Length | Plain,
    Typed(
        lambda value: parse_value(text_of(value, "15 min")),
        {"anyOf": [{**STRING, "pattern": r"^\s*[0-9½¼¾⅛⅜⅝⅞.]"}, {"type": "number"}]},
    ),
]
TEMPERATURE = parsed(parse_temperature, "18 °C", r"^\s*-?[0-9]+(\.[0-9]+)?\s*°?[CF]\s*$")
PERCENT = parsed(parse_percent, "60 %", r"^\s*[0-9]+(\.[0-9]+)?\s*%\s*$")
ANGLE = parsed(parse_angle, "60°", r"^\s*[0-9]+(\.[0-9]+)?\s*(°|deg|degrees)\s*$")
DURATION = parsed(parse_duration, "4 h", r"^\s*[0-9]+(\.[0-9]+)?\s*(min|h|d|days?)\s*$")
COVERAGE = parsed(parse_coverage, "10 m²/l", r"^\s*[0-9].*/.*$")
Angle = Annotated[float, ANGLE]
Duration = Annotated[Fraction, DURATION]
Grit = Annotated[str, parsed(parse_grit_label, "P180", rf"^\s*{GRIT_LABEL}\s*$")]
Size = Annotated[
    tuple[int, int], Typed(_size, {**STRING, "pattern": "^[0-9]{3,4} ?[x×] ?[0-9]{3,4}$"})
]
