"""Plain texts with times, as film hosts write captions that are copied from a page.

Which forms hosts write is common practice, no source; what a time is, ``measure.units.parse_time``
tells. The talk is invented.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from studio.episode.assemble import open_episode
from studio.errors import BadInput
from studio.voice.captions import Caption, read_captions
from studio.voice.timing import time_captions


def read(folder: Path, text: str, name: str = "said.txt") -> tuple[Caption, ...]:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return read_captions(path)


@pytest.mark.parametrize(
    "text",
    [
        "0:36\nSet the dividers.\n0:41\nMark in\nfrom each end.\n",
        "Captions\n\n0:36\nSet the dividers.\n\n0:41\nMark in from each end.\n",
        "0:36 Set the dividers.\n0:41 Mark in from each end.\n",
        "[00:36] Set the dividers.\n[00:41] Mark in\nfrom\neach\nend.\n",
        "(0:36) Set the dividers.\n(0:41) Mark in from each end.\n",
        "0:36 - Set the dividers.\n0:41 – Mark in from each end.\n",
        "00:00:36: Set the dividers.\n00:00:41: Mark in from each end.\n",
        "00:00:36.000\tSet the dividers.\n00:00:41.000\tMark in from each end.\n",
        "0:36 - 0:41\nSet the dividers.\n0:41 - 0:52\nMark in from each end.\n",
        "00:00:36,000 --> 00:00:41,000\nSet the dividers.\n\n"
        "00:00:41,000 --> 00:00:52,000\nMark in from each end.\n",
    ],
)
def test_times_of_lines_are_those_of_their_words(tmp_path: Path, text: str) -> None:
    *_, one, two = read(tmp_path, text)
    assert (one.start_ms, one.text) == (36_000, "Set the dividers.")
    assert (two.start_ms, two.text) == (41_000, "Mark in from each end.")
    assert text.splitlines()[one.line - 1].endswith(one.text)


def test_what_stands_above_the_first_time_has_no_word_of_it(tmp_path: Path) -> None:
    heading, talk = read(tmp_path, "The octagon\n0:36\nSet the dividers.\n")
    assert (heading.text, heading.start_ms, talk.start_ms) == ("The octagon", 0, 36_000)


def test_a_passage_ends_as_its_words_are_spoken_and_never_behind_the_next(tmp_path: Path) -> None:
    """So a pause before the next step does not carry the words into it."""
    one, two, last = read(tmp_path, "0:36\nSet the dividers.\n0:37\nMark in.\n2:00\nDone.\n")
    assert one.end_ms == two.start_ms
    assert two.end_ms is not None
    assert 38_000 <= two.end_ms < 42_000
    assert last.end_ms is not None
    assert 121_000 <= last.end_ms < 123_000


@pytest.mark.parametrize(
    "text",
    [
        # a clock or a mixture is spoken of where most lines begin otherwise
        "We start early.\n9:30 is when I am in.\nThe lathe is on.\n",
        "Stir it well.\n1:10 is what I mix.\nThen let it stand.\n",
        "The stops are 0:36 apart.\n",
        # no such time
        "0:75\nSet the dividers.\n",
        "12:5 Set the dividers.\n",
    ],
)
def test_what_is_talk_stays_talk(tmp_path: Path, text: str) -> None:
    found = read(tmp_path, text)
    assert "\n".join(one.text for one in found) == text.strip()
    assert {one.start_ms for one in found} == {None}


def test_times_that_go_back_are_of_no_one_film(tmp_path: Path) -> None:
    found = read(tmp_path, "0:36\nSet the dividers.\n0:12\nMark in.\n")
    assert [(one.text, one.start_ms) for one in found] == [
        ("Set the dividers.", None), ("Mark in.", None),
    ]  # fmt: skip


def test_whole_seconds_are_too_coarse_to_time_a_script(globe: Path, tmp_path: Path) -> None:
    path = tmp_path / "said.txt"
    path.write_text("0:36\nSet the dividers.\n", encoding="utf-8")
    with pytest.raises(BadInput, match="whole seconds"):
        time_captions(open_episode(globe), path)
