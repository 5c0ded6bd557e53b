"""The language of what viewers read: the tool's own words, and the signs in numbers.

A text is written in English where it is needed and looked up when it is made: :func:`tr`, as
gettext does. What language holds is said once, around the work (:func:`speaking`). English needs no
catalogue and reads none.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

FIRST = "en"
"""The language that the tool is written in."""

BETWEEN = "\x04"
"""Stands between a context and a message (GNU gettext manual, "The Format of GNU MO Files")."""

CATALOGUES = Path(__file__).parent


@dataclass(frozen=True, slots=True)
class Language:
    """A language that the tool writes.

    Attributes:
        tag: its BCP 47 tag.
        page: the tag that pages carry, with the region whose usage they follow.
        name: what its speakers call it.
        decimal: the sign before decimals.
        group: the sign between thousands.
        messages: the tool's words, by their English ones; of a plural, by the first of them.
        own: names of things as the turner's own file of texts has them, by what the design calls
            them in small letters.
    """

    tag: str
    page: str
    name: str
    decimal: str = "."
    group: str = ","
    messages: Mapping[str, str | tuple[str, ...]] = field(default_factory=dict)
    own: Mapping[str, str] = field(default_factory=dict)

    @property
    def track(self) -> str:
        """Its tag in a film's tracks (ISO 639-2/T, which ISO/IEC 14496-12 asks for)."""
        return {"en": "eng", "de": "deu"}[self.tag]

    @property
    def units(self) -> Mapping[str, str]:
        """Units by what English prints."""
        begins = f"unit{BETWEEN}"
        return {
            key.removeprefix(begins): str(text)
            for key, text in self.messages.items()
            if key.startswith(begins)
        }

    @property
    def is_first(self) -> bool:
        """Whether it is the language that the tool is written in."""
        return self.tag == FIRST


ENGLISH = Language(tag=FIRST, page="en-GB", name="English")

_SPOKEN: ContextVar[Language] = ContextVar("language", default=ENGLISH)


class Said(str):
    """A text that is in the language already: no Sheet looks it up once more."""

    __slots__ = ()


def tags() -> tuple[str, ...]:
    """Every language that the tool has words for, English first."""
    return FIRST, *sorted(path.stem for path in CATALOGUES.glob("*.po"))


@cache
def language_of(tag: str) -> Language:
    """The language of a tag.

    Raises:
        KeyError: there is no catalogue for it.
    """
    if tag == FIRST:
        return ENGLISH
    if tag not in tags():
        raise KeyError(tag)
    # Babel is loaded for a second language alone
    from studio.language.catalogue import read_language

    return read_language(tag)


def spoken() -> Language:
    """The language that holds here."""
    return _SPOKEN.get()


@contextmanager
def speaking(language: Language | str) -> Iterator[Language]:
    """Texts made inside are in that language.

    Raises:
        KeyError: there is no catalogue for it.
    """
    one = language_of(language) if isinstance(language, str) else language
    before = _SPOKEN.set(one)
    try:
        yield one
    finally:
        _SPOKEN.reset(before)


def tr(message: str, **values: object) -> str:
    """A message in the language that holds here, its ``{names}`` replaced by the values.

    >>> print(tr("Left proud after the {round} round", round="first"))
    Left proud after the first round
    """
    return Said(_in_language(message, message).format(**values) if values else
                _in_language(message, message))  # fmt: skip


def tr_for(context: str, message: str, **values: object) -> str:
    """A message that has two meanings, in the one that ``context`` names."""
    text = _in_language(f"{context}{BETWEEN}{message}", message)
    return Said(text.format(**values) if values else text)


def tr_many(one: str, many: str, count: int, **values: object) -> str:
    """A message that counts; ``{count}`` is the number.

    >>> print(tr_many("{count} cut", "{count} cuts", 2))
    2 cuts
    """
    return Said(_counted(one, many, count).format(count=count, **values))


def words_for(message: str, context: str = "", *, many: str = "", count: int = 1) -> str:
    """A message as the catalogue has it, for a template that fills its names in itself.

    Args:
        message: in English; of a plural, for one.
        context: which of two meanings it has.
        many: of a plural, for any other count.
        count: how many there are.
    """
    if many:
        return _counted(message, many, count)
    return _in_language(f"{context}{BETWEEN}{message}" if context else message, message)


def later(message: str) -> str:
    """A message that is looked up where it is used: marks it for the catalogue."""
    return message


def _in_language(key: str, message: str) -> str:
    language = _SPOKEN.get()
    if language.tag == FIRST:
        return message
    found = language.messages.get(key)
    if found is None:
        return missed(key, message)
    return found if isinstance(found, str) else found[0]


def _counted(one: str, many: str, count: int) -> str:
    language = _SPOKEN.get()
    if language.tag == FIRST:
        return one if count == 1 else many
    found = language.messages.get(one)
    if found is None:
        return missed(one, one if count == 1 else many)
    # both languages that there are have two forms and part them alike; a test holds that
    return found if isinstance(found, str) else found[0 if count == 1 else 1]


def later_for(context: str, *messages: str) -> tuple[str, ...]:
    """The same of messages that :func:`tr_for` looks up."""
    return messages


MISSED: set[str] = set()
"""Words of the tool that were asked for and have no translation: a test wants none."""


def missed(key: str, message: str) -> str:
    """The English words, where a catalogue has none."""
    MISSED.add(key)
    return message


def translated(text: str) -> str:
    """A constant text of the tool, looked up unless it is in the language already; a plain one."""
    return str(text if not text or isinstance(text, Said) else tr(text))


def own_word(text: str, otherwise: str = "") -> str:
    """A thing's name as the turner's texts have it in the language; as it is, or ``otherwise``."""
    return _SPOKEN.get().own.get(text.strip().casefold(), otherwise or text)


def inside(text: str) -> str:
    """A label as it stands inside a sentence: small in English, as it is in languages that
    write nouns with a capital."""
    return text.lower() if _SPOKEN.get().is_first else text


def unit_word(unit: str) -> str:
    """A unit as it is printed behind a number."""
    return unit if _SPOKEN.get().is_first or not unit else tr_for("unit", unit)


def number_signs(number: str, printed_in: Language = ENGLISH) -> str:
    """A number as another language prints it, ``1,260.5``, with the signs of the one that holds."""
    language = _SPOKEN.get()
    if language.tag == printed_in.tag:
        return number
    signs = {ord(printed_in.group): language.group, ord(printed_in.decimal): language.decimal}
    return number.translate(signs)


def plain_number(number: str) -> str:
    """A number of the language as Python reads it: no sign between thousands, a decimal point.

    >>> plain_number("1,260.5")
    '1260.5'
    """
    language = _SPOKEN.get()
    return number.replace(language.group, "").replace(language.decimal, ".")
