"""A printed text of the tool, in another language than it was printed in.

What viewers were told is on record as the letters that they read. Its digits are the same in every
language; signs, units and the tool's own words are found again in the catalogue, which is read from
its other side: which message made this text?
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from functools import cache, cached_property

from studio.language import BETWEEN, Language, inside, number_signs, spoken

_NAMES = frozenset({"AWG", "SWG", "CAMI"})
"""Words beside figures that are the same in every language; a letter by itself is one too."""

_ON_DRAWINGS = "drawing"
"""Context of words that no measurement says."""

_LONGEST = 300
"""A longer text is a turner's: no measurement says so much (ours)."""

_PARTED = re.compile(r" \(|, ")
"""Between what a figure is called and its row, and between what names the row."""

_CAPITAL: Callable[[Iterable[str]], str] = min
_SMALL: Callable[[Iterable[str]], str] = max
"""Of texts that differ in their capitals alone: small letters come behind capitals."""

_OF_TURNER = "part"
"""Place of what the turner calls a part, or of a share, which is a number: the catalogue may have
the word for another thing."""

_PLACE = re.compile(r"\{(\w+)\}")


class Reprint:
    """Prints texts of another language as the one does that holds where it is made and used.

    Args:
        told_in: the language that the texts are in.
        pairs: texts that are the same in both, such as what the turner calls a part.
    """

    def __init__(self, told_in: Language, pairs: Iterable[tuple[str, str]] = ()) -> None:
        self._told_in, self._spoken = told_in, spoken()
        self._found: dict[str, str | None] = {}
        self._pairs: dict[str, list[str]] = {}
        for told, ours in pairs:
            self._pairs.setdefault(told, []).append(ours)
        known = dict.fromkeys([*told_in.units, *self._spoken.units])
        self._units = {
            told_in.units.get(one, one): self._spoken.units.get(one, one) for one in known
        }
        signs = re.escape(told_in.group + told_in.decimal)
        unit = "|".join(re.escape(one) for one in sorted(self._units, key=len, reverse=True))
        self._tokens = re.compile(
            rf"(?P<number>\d+(?:[{signs}]\d+)*)"
            rf"|(?<![^\W\d_])(?P<unit>{unit})(?![^\W\d_])"
            rf"|(?P<words>[^\W\d_]+(?:[ '’-][^\W\d_]+)*)|(?s:.)"
        )

    def text(self, printed: str) -> str | None:
        """A text of the tool; None where it holds words that no message of the catalogue made,
        or that several made which this language tells apart.

        >>> from studio.language import ENGLISH, speaking
        >>> with speaking("de"):
        ...     reprint = Reprint(ENGLISH)
        ...     reprint.text("17.5 mm (11/16 in)"), reprint.text("in groove 3, already cut")
        ...     reprint.text("hedge oil") is None
        ('17,5 mm (11/16 Zoll)', 'in Nut 3, schon geschnitten')
        True
        """
        if len(printed) > _LONGEST:
            return None
        if printed not in self._found:
            whole = _only(self._by_message(printed))
            self._found[printed] = self._by_piece(printed) if whole is None else whole
        return self._found[printed]

    def within(self, printed: str) -> str | None:
        """The same of a text that stands within another, and so has no capital of its own.

        >>> from studio.language import ENGLISH, language_of
        >>> reprint = Reprint(language_of("de"))
        >>> reprint.text("Zapfen") is None, reprint.within("Zapfen")
        (True, 'tenon')
        """
        return self._cased(printed, _SMALL)

    def label(self, printed: str) -> str | None:
        """What a figure is called, with what names its row: texts of the tool behind one another.

        >>> from studio.language import ENGLISH, speaking
        >>> with speaking("de"):
        ...     reprint = Reprint(ENGLISH)
        ...     reprint.label("Station, from the free end (fillet, joint end at 40.5 mm)")
        'Messstelle, vom freien Ende (Plättchen, Verbindungsende bei 40,5 mm)'
        """
        return self._parted(printed, _CAPITAL)

    def _parted(self, printed: str, case: Callable[[Iterable[str]], str]) -> str | None:
        told = self._cased(printed, case)
        if told is not None:
            return told
        for part in _PARTED.finditer(printed):
            closed = ")" if part[0] == " (" else ""
            if printed.endswith(closed):
                before = self._cased(printed[: part.start()], case)
                behind = self._parted(printed[part.end() : len(printed) - len(closed)], _SMALL)
                if before is not None and behind is not None:
                    return f"{before}{part[0]}{behind}{closed}"
        return None

    def _cased(self, printed: str, case: Callable[[Iterable[str]], str]) -> str | None:
        """A text, of several that differ in their capitals alone the one of that case."""
        told = self.text(printed)
        if told is None and len(printed) <= _LONGEST:
            found = set(self._by_message(printed))
            return case(found) if len({one.casefold() for one in found}) == 1 else None
        return told

    def named(self, printed: str) -> str | None:
        """What the turner calls something; None where it is not known in both languages."""
        own = self._own(printed)
        return _only(self._pairs.get(printed, ())) if own is None else own

    def places(self, message: str, printed: str) -> dict[str, str]:
        """What stands in the places of a message that made a text; empty where it did not."""
        told = self._told_in.messages.get(message, message)
        found = _pattern(told).fullmatch(printed) if isinstance(told, str) else None
        return {} if found is None else found.groupdict()

    def _by_message(self, printed: str) -> Iterator[str]:
        """What each message that may have made the whole text makes of it here."""
        yield from self._plain_words(printed)
        if printed in self._pairs:
            return
        for told, ours in self._patterns:
            mostly = max(_PLACE.split(told)[::2], key=len)
            if not mostly.strip() or mostly not in printed:
                continue
            found = _pattern(told).fullmatch(printed)
            if found is None:
                continue
            values = {name: self._value(name, text) for name, text in found.groupdict().items()}
            if None not in values.values():
                yield ours.format(**values)

    def _value(self, place: str, printed: str) -> str | None:
        if place in self._placed:
            return _only(self._words[place].get(printed, ()))
        if place == _OF_TURNER and any(map(str.isalpha, printed)):
            return self._called(printed)
        return self.within(printed)

    def _called(self, printed: str) -> str | None:
        """What the turner calls something, as a sentence says it; None where it is not known."""
        own = self._own(printed)
        alike = [told for told in self._pairs if told.casefold() == printed.casefold()]
        found = (own,) if own is not None else (one for told in alike for one in self._pairs[told])
        return _only(map(inside, found))

    def _plain_words(self, printed: str) -> Iterable[str]:
        own = self._own(printed)
        if own is not None:
            return (own,)
        return self._pairs.get(printed, self._words[""].get(printed, ()))

    def _own(self, printed: str) -> str | None:
        return self._spoken.own.get(printed.strip().casefold())

    def _by_piece(self, printed: str) -> str | None:
        """Figures with words before, between and behind them."""
        pieces = []
        for token in self._tokens.finditer(printed):
            text: str | None = token[0]
            if token["number"]:
                text = number_signs(token[0], self._told_in)
            elif token["unit"]:
                text = self._units[token[0]]
            elif token["words"] and len(token[0]) > 1 and token[0] not in _NAMES:
                text = _only(self._plain_words(token[0]))
            if text is None:
                return None
            pieces.append(text)
        return "".join(pieces)

    @cached_property
    def _messages(self) -> tuple[tuple[str, str, str], ...]:
        """Context, text in the language of the record and text in this one, of each message."""
        told, ours = self._told_in.messages, self._spoken.messages
        out = []
        for key in dict.fromkeys([*told, *ours]):
            context, _, english = key.rpartition(BETWEEN)
            there, here = told.get(key, english), ours.get(key, english)
            # nothing that counts stands in a measurement's text
            if isinstance(there, str) and isinstance(here, str) and context != _ON_DRAWINGS:
                out.append((context, there, here))
        return tuple(out)

    @cached_property
    def _placed(self) -> frozenset[str]:
        """Contexts whose words stand only in places of that name: ``crown of the {genitive}``."""
        places = {name for told, _ in self._patterns for name in _PLACE.findall(told)}
        return frozenset(context for context, *_ in self._messages if context in places)

    @cached_property
    def _words(self) -> dict[str, dict[str, list[str]]]:
        """Messages without places, by their place and what was told, without spaces round it."""
        words: dict[str, dict[str, list[str]]] = {place: {} for place in ("", *self._placed)}
        for context, told, ours in self._messages:
            if not _PLACE.search(told):
                place = context if context in self._placed else ""
                words[place].setdefault(told.strip(), []).append(ours.strip())
        return words

    @cached_property
    def _patterns(self) -> tuple[tuple[str, str], ...]:
        """Messages with places; of one that a language leaves out nobody knows what it held."""
        return tuple(
            (told, ours)
            for _, told, ours in self._messages
            if (places := set(_PLACE.findall(told))) and places >= set(_PLACE.findall(ours))
        )


def _only(texts: Iterable[str]) -> str | None:
    """The one text that all are; None where they are several, or none."""
    found = set(texts)
    return found.pop() if len(found) == 1 else None


@cache
def _pattern(message: str) -> re.Pattern[str]:
    """A message with its places open."""
    literal_and_name = _PLACE.split(message)
    pieces, seen = [], set[str]()
    for at, piece in enumerate(literal_and_name):
        if at % 2 == 0:
            pieces.append(re.escape(piece))
        else:
            pieces.append(f"(?P={piece})" if piece in seen else f"(?P<{piece}>.+?)")
            seen.add(piece)
    return re.compile("".join(pieces), re.DOTALL)
