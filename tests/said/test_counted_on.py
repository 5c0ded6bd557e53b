"""Counting on while the work is done: some of a whole are no wrong count of it.

The sentences are invented; the design is a shipped one, with four grooves, eight lobes and marks.
"""

from __future__ import annotations

from functools import cache

import pytest

from studio.resources import shipped
from studio.said.finding import find_mentions
from studio.said.judging import Judge
from studio.said.material import material_of


@cache
def judge() -> Judge:
    return Judge(material_of(shipped("designs") / "lobed-globe.yaml"))


def verdicts(text: str) -> str:
    return " ".join(str(one.verdict) for one in judge().judge(text, find_mentions(text)))


GROOVES = 4


def test_the_design_has_as_many_grooves_as_the_sentences_say() -> None:
    assert judge().material.by_name["grooves.number"].measurement.text == str(GROOVES)


@pytest.mark.parametrize("done", range(1, GROOVES))
@pytest.mark.parametrize("heard", [False, True])
def test_what_is_done_and_what_is_to_come_are_the_whole(done: int, heard: bool) -> None:
    words = ["one", "two", "three"]
    now, more = words[done - 1], words[GROOVES - done - 1]
    for text in (
        f"That's groove {now}, {more} more to go, four in all.",
        f"That's groove {now} done, {more} more to go.",
        f"That's {now} grooves cut, so {more} more.",
        f"So {now} grooves so far, {more} to go.",
        f"Another {more} grooves and we're done." if more != "one" else "Another groove.",
        f"And the other {more} grooves.",
        f"That is {more} grooves left.",
    ):
        said = text.lower().replace(",", "").replace(".", "") if heard else text
        found = verdicts(said)
        assert "wrong" not in found, said
        assert "ambiguous" not in found, said


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        # more than there are, and what does not come to the whole
        ("That's groove one, seven more to go.", "right wrong"),
        ("Another six grooves and we're done.", "wrong"),
        ("That's two grooves cut, so three more.", "none ambiguous"),
        ("We need six grooves in all.", "wrong"),
        ("That's groove one, five in all.", "right wrong"),
        ("That's groove one, three in all.", "right ambiguous"),
        # a plain count stays one
        ("Now cut three grooves.", "wrong"),
        ("Four grooves in all.", "right"),
        ("Move on five more stops.", "wrong"),
    ],
)
def test_what_does_not_come_to_the_whole_is_told(text: str, expected: str) -> None:
    assert verdicts(text) == expected
