"""A design's texts name measurements and can do nothing else; Jinja is the outside reader."""

from __future__ import annotations

import pytest
from jinja2.sandbox import ImmutableSandboxedEnvironment

from studio.episode.records import Episode
from studio.episode.texts import Form, TextProblem, filled, parse, ways_to_say
from studio.measure.trace import plain, spans


def test_names_are_replaced_and_traced(episode: Episode) -> None:
    text = "Mark {{ sphere.set_in }} from {{index.marks}} corners."
    words, marks = spans(filled(text, episode.table, Form.TEXT))
    assert words == "Mark 17.5 mm from 12 corners."
    assert [mark.name for mark in marks] == ["sphere.set_in", "index.marks"]


@pytest.mark.parametrize(
    ("written", "form", "printed"),
    [
        ("sphere.set_in", Form.TEXT, "17.5 mm"),
        ("sphere.set_in", Form.BOTH, "17.5 mm (11/16 in)"),
        ("sphere.set_in.other", Form.TEXT, "11/16 in"),
        ("sphere.set_in.both", Form.TEXT, "17.5 mm (11/16 in)"),
        ("sphere.set_in.text", Form.BOTH, "17.5 mm"),
        ("sphere.second_mark.bench", Form.TEXT, "6.2 mm"),
        ("index.marks", Form.BOTH, "12"),
        ("index.marks.other", Form.TEXT, "12"),
    ],
)
def test_forms(episode: Episode, written: str, form: Form, printed: str) -> None:
    assert plain(filled("{{ " + written + " }}", episode.table, form)) == printed


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("sphere.set_in", "seventeen point five millimetres"),
        ("sphere.set_in.text", "seventeen point five millimetres"),
        ("sphere.set_in.other", "eleven sixteenths of an inch"),
        (
            "sphere.set_in.both",
            "seventeen point five millimetres or eleven sixteenths of an inch",
        ),
        ("sphere.second_mark.bench", "six point two millimetres"),
        ("index.marks.both", "twelve"),
    ],
)
def test_every_form_is_said_in_words(episode: Episode, written: str, said: str) -> None:
    text = filled("{{ " + written + " }}", episode.table, Form.TEXT, aloud=True)
    words, marks = spans(text)
    assert words == said
    name = marks[0].name.removeprefix("spoken:")
    assert words in ways_to_say(episode.table[name])


@pytest.mark.parametrize(
    ("sentence", "said"),
    [
        ("Use the {} you marked.", "millimetres"),
        ("Leave the {} alone.", "millimetres"),
        ("Mark the {} first.", "millimetres"),
        ("The {} now goes on.", "millimetres"),
        ("Set in {} from the corner.", "millimetres"),
        ("Pick up the {} cup.", "millimetre"),
        ("The finished {} ball.", "millimetre"),
        ("Take the second {} blank.", "millimetre"),
    ],
)
def test_a_size_before_its_thing_is_said_of_one(episode: Episode, sentence: str, said: str) -> None:
    text = sentence.format("{{ sphere.set_in }}")
    words = plain(filled(text, episode.table, Form.TEXT, aloud=True))
    assert words == sentence.format(f"seventeen point five {said}")


def test_a_text_of_names_reads_the_same_in_jinja(episode: Episode) -> None:
    """The syntax is Jinja's own: its sandbox gives the same words."""
    text = "A ball of {{ sphere.diameter }}, {{index.marks}} marks, {{  hanger.drill  }} drill."
    groups: dict[str, dict[str, str]] = {}
    for name, measurement in episode.table.items():
        group, _, last = name.partition(".")
        groups.setdefault(group, {})[last] = measurement.text
    expected = ImmutableSandboxedEnvironment().from_string(text).render(groups)
    assert plain(filled(text, episode.table, Form.TEXT)) == expected


@pytest.mark.parametrize(
    "text",
    [
        "{{ 7 * 7 }}",
        "{{ ''.__class__ }}",
        "{{ sphere.__class__ }}",
        "{{ sphere['set_in'] }}",
        "{{ sphere.set_in|upper }}",
        "{{ cycler.__init__.__globals__.os }}",
        "{% include '/etc/passwd' %}",
        "{% for x in range(999999999) %}{% endfor %}",
        "{# hidden #}",
        "{{ }}",
        "{{ sphere.set_in",
        "sphere.set_in }}",
        "{{ {{ sphere.set_in }} }}",
    ],
)
def test_nothing_else_is_let_through(episode: Episode, text: str) -> None:
    with pytest.raises(TextProblem):
        filled(text, episode.table, Form.TEXT)


def test_single_braces_are_words(episode: Episode) -> None:
    assert list(parse("a {curly} word")) == ["a {curly} word"]
