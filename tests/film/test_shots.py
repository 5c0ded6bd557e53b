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


def section(text: str, title: str) -> list[str]:
    """The lines of one step."""
    return text.partition(f"· {title}\n")[2].partition("\n## ")[0].strip().splitlines()


def test_every_step_has_its_section_with_its_tools_and_places() -> None:
    episode = open_episode(shipped("designs") / "lobed-globe.yaml")
    text = shots()
    for step in episode.steps:
        assert f"## {step.number} · " in text
        close = [line for line in section(text, plain(step.title)) if "Close up" in line]
        for tool in step.tools:
            assert tool in close[0]
        for shown in step.shows:
            (line,) = [one for one in close if shown.text in one and shown.label[1:] in one]
            assert shown.where in line


def test_a_close_up_is_of_something_that_a_camera_sees() -> None:
    text = shots()
    assert "- Close up: the ball, along the length and on the end face (set-in" in text
    assert "- Close up: the lathe's speed display, speed while roughing" in text
    assert "- Close up: the ball as it is held" in "\n".join(
        section(text, "Mount the ball across its poles")
    )
    assert "- Close up: an end face square to the camera" in text


def test_each_corner_is_named_once_a_step_however_many_cards_stand_there() -> None:
    lines = section(shots(), "Drill and hang")
    (calm,) = [line for line in lines if "Leave calm" in line]
    assert calm.endswith("top left (measurements) and top right (cautions).")
    (still,) = [line for line in lines if "Hold still" in line]
    # cautions of five actions, two to a card, stand one after the other
    assert still.count("then") >= 1
    assert still.count("top right") == 1


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
