"""The catalogues hold every word of the tool, and nothing else."""

from __future__ import annotations

import json
import re
from string import Formatter

import pytest
from babel.messages.catalog import Catalog, Message
from babel.messages.plurals import get_plural

from studio.language import CATALOGUES, FIRST, language_of, number_signs, speaking, tags, tr_many
from studio.language.catalogue import catalogue
from studio.language.extract import as_text, template_catalogue, updated
from studio.resources import shipped

SECOND = [tag for tag in tags() if tag != FIRST]

PERCENT_NAMES = re.compile(r"%\((\w+)\)s")


def words(message: Message) -> list[tuple[str, str]]:
    """A message's English words with those that stand for them; of a plural, each pair."""
    if isinstance(message.id, str):
        return [(message.id, str(message.string))]
    return list(zip(message.id, message.string, strict=True))


def told(made: Catalog) -> list[Message]:
    return [one for one in made if one.id]


def test_german_is_the_second_language() -> None:
    assert "de" in SECOND


@pytest.mark.parametrize("tag", SECOND)
def test_every_word_of_the_tool_is_translated(tag: str) -> None:
    found = catalogue(tag)
    lacking = [
        one.id
        for one in told(template_catalogue())
        if (there := found.get(one.id if isinstance(one.id, str) else one.id[0], one.context))
        is None
        or there.fuzzy
        or not all(text.strip() for _, text in words(there))
    ]
    assert not lacking, "run python -m studio.language.extract, and translate these"


@pytest.mark.parametrize("tag", SECOND)
def test_the_catalogue_is_as_the_source_makes_it(tag: str) -> None:
    file = CATALOGUES / f"{tag}.po"
    assert file.read_bytes() == as_text(updated(tag)), "run python -m studio.language.extract"


def keys_of(schema: object) -> set[str]:
    """Every key that a file of the turner's may have."""
    if isinstance(schema, list):
        return set().union(*map(keys_of, schema))
    if not isinstance(schema, dict):
        return set()
    inside: set[str] = set().union(*map(keys_of, schema.values()))
    return inside | set(schema.get("properties", ()))


def test_viewers_are_told_nothing_by_keys_of_the_turners_files() -> None:
    """In <code> they are the turner's own: on the sheet for a batch alone."""
    files = [shipped("designs") / f"{name}.schema.json" for name in ("design", "workshop")]
    keys = set().union(*(keys_of(json.loads(one.read_text("utf-8"))) for one in files))
    path = re.compile(rf"\b(?:{'|'.join(keys)}): ?(?:{'|'.join(keys)}):")
    long = re.compile(rf"\b(?:{'|'.join(one for one in keys if '_' in one)}):")
    assert path.search("as chuck: clearance: says")
    assert long.search("write it under as_measured:.")
    said = [
        re.sub("<code>.*?</code>", "", text)
        for one in told(template_catalogue())
        for text in ([one.id] if isinstance(one.id, str) else one.id)
    ]
    assert [one for one in said if path.search(one) or long.search(one)] == []


def names(text: str) -> list[str]:
    """What a message leaves open."""
    braces = [
        name for _, name, _, _ in Formatter().parse(text.replace("%", "")) if name is not None
    ]
    return sorted([*braces, *PERCENT_NAMES.findall(text)])


@pytest.mark.parametrize("tag", SECOND)
def test_a_translation_leaves_open_what_the_message_does(tag: str) -> None:
    differing = [
        (ours, theirs)
        for one in told(catalogue(tag))
        for ours, theirs in words(one)
        if names(ours) != names(theirs)
    ]
    assert not differing


@pytest.mark.parametrize("tag", SECOND)
def test_a_translation_has_the_messages_own_figures(tag: str) -> None:
    def figures(text: str) -> list[str]:
        return sorted(re.findall(r"\d+(?:[.,]\d+)*", text))

    with speaking(tag):
        differing = [
            (ours, theirs)
            for one in told(catalogue(tag))
            for ours, theirs in words(one)
            if not re.search(r"Eq\. |Table|CFR|FPL|ISO|BS |ASTM|ASME|CAS|Hansard", ours)
            and sorted(map(number_signs, figures(ours))) != figures(theirs)
        ]
    assert not differing


@pytest.mark.parametrize("tag", SECOND)
def test_the_edges_of_a_message_stay(tag: str) -> None:
    """A message that begins or ends with a space is joined to another one."""
    differing = [
        (ours, theirs)
        for one in told(catalogue(tag))
        if one.context != "unit"
        for ours, theirs in words(one)
        if (ours[:1] == " ", ours[-1:] == " ") != (theirs[:1] == " ", theirs[-1:] == " ")
        or (ours.rstrip()[-1:] in ".:" and ours.rstrip()[-1:] != theirs.rstrip()[-1:])
    ]
    assert not differing


@pytest.mark.parametrize("tag", SECOND)
def test_plurals_part_as_unicode_says(tag: str) -> None:
    """Outside: the plural rules of CLDR, which Babel carries."""
    rule = get_plural(tag)
    assert rule.num_plurals == 2
    with speaking(tag):
        forms = language_of(tag).messages["{number} groove"]
        assert len(forms) == 2
        for count in range(0, 30):
            said = tr_many("{number} groove", "{number} grooves", count, number="X")
            form = eval(rule.plural_expr, {"n": count})
            assert said == forms[int(form)].format(number="X")
