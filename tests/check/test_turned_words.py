"""Words without a number that say something else all the same: limits, figures, links, chapters."""

from __future__ import annotations

import pytest

from studio.check import film, papers
from studio.check.context import Context
from studio.check.findings import Severity


def edited(built, name: str, old: str, new: str) -> dict[str, Severity]:
    path = built.out / name
    before = path.read_text(encoding="utf-8")
    assert old in before
    try:
        path.write_text(before.replace(old, new, 1), encoding="utf-8")
        context = Context.of(built.design, built.out)
        outcome = papers.check_file(context, name) + film.check(context)
    finally:
        path.write_text(before, encoding="utf-8")
    return {one.code: one.severity for one in outcome.findings if one.where == name}


@pytest.mark.parametrize(
    ("name", "old", "new", "code"),
    [
        ("captions.srt", "stay below", "stay above", "wrong-word"),
        ("captions.vtt", "stay below", "stay", "wrong-word"),
        ("script.md", "octagon", "hexagon", "wrong-word"),
        # a figure under another label, and a caution turned round at one of its places
        ("description.txt", "Octagon side:", "Octagon corner:", "wrong-word"),
        ("captions.srt", "every corner", "one corner", "wrong-word"),
        ("captions.srt", "every corner", "every other corner", "wrong-word"),
        ("handout.html", "Lathe off before", "Lathe on before", "missing-caution"),
        ("handout.html", "Nothing loose near", "Anything loose near", "missing-caution"),
        ("handout.html", "start slowly", "start quickly", "missing-caution"),
        ("cut-sheet.html", "Nothing loose near", "Nothing near", "missing-caution"),
        ("description.txt", "https://", "https://evil.example/", "wrong-link"),
        ("description.txt", "Round it", "Turn it", "chapters-disagree"),
        ("chapters.vtt", "Round it", "Turn it", "chapters-disagree"),
        ("chapters.ffmeta", "Round it", "Turn it", "chapters-disagree"),
    ],
)
def test_a_word_that_turns_the_sense_is_an_error(
    built, name: str, old: str, new: str, code: str
) -> None:
    assert edited(built, name, old, new).get(code) is Severity.ERROR


def test_a_plain_word_is_a_note(built) -> None:
    found = edited(built, "description.txt", "A plain globe", "A fine globe")
    assert found == {"text-changed": Severity.NOTE}
