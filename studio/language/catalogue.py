"""Catalogues of the tool's words: gettext's ``.po`` files, read as they are.

There is no compiled copy that could be older than its source: a catalogue is read once in a
process, which takes some hundredths of a second, and only for a second language.
"""

from __future__ import annotations

from babel import Locale
from babel.messages.catalog import Catalog
from babel.messages.pofile import read_po

from studio.language import BETWEEN, CATALOGUES, Language

REGIONS = {"de": "DE"}
"""The region whose usage a language's pages follow."""


def catalogue(tag: str) -> Catalog:
    """The catalogue of a language as it stands in its file."""
    with (CATALOGUES / f"{tag}.po").open("rb") as file:
        return read_po(file, locale=tag)


def read_language(tag: str) -> Language:
    """A language from its catalogue; signs and names are those of CLDR, which Babel carries."""
    messages: dict[str, str | tuple[str, ...]] = {}
    for one in catalogue(tag):
        if not one.id or one.fuzzy:
            continue
        key = one.id if isinstance(one.id, str) else one.id[0]
        if one.context:
            key = f"{one.context}{BETWEEN}{key}"
        text = one.string if isinstance(one.string, str) else tuple(one.string or ())
        if text and all(text):
            messages[key] = text
    locale = Locale.parse(tag)
    symbols = locale.number_symbols["latn"]
    return Language(
        tag=tag,
        page=f"{tag}-{REGIONS[tag]}" if tag in REGIONS else tag,
        name=str(locale.get_display_name(tag)),
        decimal=symbols["decimal"],
        group=symbols["group"],
        messages=messages,
    )
