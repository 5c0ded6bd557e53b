"""Marks travel through a text and come off without a trace."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from studio.measure.trace import has_marks, mark, plain, spans

WORDS = st.text(st.characters(exclude_characters="\ue000\ue001\ue002"), max_size=20)


@given(st.lists(st.tuples(WORDS, WORDS), max_size=6), WORDS)
def test_marks_come_off_and_their_places_hold(pairs: list[tuple[str, str]], tail: str) -> None:
    marked = "".join(before + mark("a.b", inside) for before, inside in pairs) + tail
    text, found = spans(marked)
    assert text == plain(marked) == "".join(one + two for one, two in pairs) + tail
    assert [text[span.start : span.stop] for span in found] == [inside for _, inside in pairs]
    assert not has_marks(text)
