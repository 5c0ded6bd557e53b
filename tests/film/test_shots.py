"""The shot list: what must be close up, which corner stays calm, what is held still."""

from __future__ import annotations

import math
from pathlib import Path

from studio.episode.assemble import open_episode
from studio.episode.records import CardKind
from studio.film.shots import SHOT_LIST, shot_files
from studio.measure.trace import plain
from studio.resources import shipped


def shots() -> str:
    episode = open_episode(shipped("designs") / "lobed-globe.yaml")
    return shot_files(episode)[SHOT_LIST].decode("utf-8")


def test_every_step_has_its_section_and_every_shown_figure_its_close_up() -> None:
    episode = open_episode(shipped("designs") / "lobed-globe.yaml")
    text = shots()
    for step in episode.steps:
        assert f"## {step.number} · " in text
        for shown in step.shows:
            assert f"Close up: {shown.label}" in text
            assert shown.text in text


def test_corners_are_the_looks_and_apart() -> None:
    text = shots()
    assert "Leave the top left corner calm for the measurement card" in text
    assert "Leave the top right corner calm for a caution" in text


def test_what_is_held_is_as_long_as_the_card_takes_to_read() -> None:
    """Three seconds at least, or one and the card's words at 2.5 a second (ours), rounded up."""
    for card in open_episode(shipped("designs") / "lobed-globe.yaml").cards:
        if card.kind is CardKind.MEASUREMENT:
            texts = [card.heading, *(f"{row.label} {row.value} {row.where}" for row in card.rows)]
            texts.append(card.inset.caption if card.inset is not None else "")
            words = sum(len(plain(text).split()) for text in texts)
            assert plain(card.held) == f"{max(3, math.ceil(1 + words / 2.5))} s"


def test_a_step_without_cards_says_so(folder: Path) -> None:
    quiet = folder / "quiet.yaml"
    quiet.write_text(
        "title: Quiet\nbased_on: globe.yaml\nsteps:\n"
        "  - {id: talk, title: Talk, does: [nothing], do: Talk., say: Words alone.}\n",
        encoding="utf-8",
    )
    text = shot_files(open_episode(quiet))[SHOT_LIST].decode("utf-8")
    assert "Nothing is laid over this step." in text
    assert "Narration: about 1 s" in text
