"""Small drawings, step titles, the end screen and strips kept clear, from a design's own words."""

from __future__ import annotations

from pathlib import Path

import pytest

from studio.episode.assemble import open_episode
from studio.episode.records import Card, CardKind, Episode
from studio.errors import BadInput
from studio.measure.trace import plain


def lobed(folder: Path, step: str, keys: str) -> Path:
    path = folder / "mine.yaml"
    text = f"title: Mine\nbased_on: lobed-globe.yaml\nsteps:\n  - id: {step}\n    {keys}\n"
    path.write_text(text, encoding="utf-8")
    return path


def filmed(folder: Path, film: str) -> Path:
    """The shipped design that has marks, with one more key of its film."""
    path = folder / "lobed-globe.yaml"
    text = path.read_text(encoding="utf-8")
    assert text.count("\nfilm:\n") == 1
    path.write_text(text.replace("\nfilm:\n", f"\nfilm:\n  {film}\n"), encoding="utf-8")
    return path


def card_of(episode: Episode, step: str) -> Card:
    """The step's card with its drawing."""
    (card,) = [card for card in episode.cards if card.step_id == step and card.inset is not None]
    return card


def faults(path: Path) -> str:
    with pytest.raises(BadInput) as told:
        open_episode(path)
    assert len(told.value.faults) == 1
    return str(told.value)


def test_an_octagon_has_the_tables_own_set_in(folder: Path) -> None:
    episode = open_episode(lobed(folder, "mark-octagon", "inset: octagon"))
    inset = card_of(episode, "mark-octagon").inset
    assert inset is not None
    # set-in over diameter is 1 - 1/sqrt(2) of the ball's, whatever its size
    assert inset.set_in == pytest.approx(0.2929, abs=1e-4)
    # the row beside it tells the set-in already
    assert inset.caption == ""
    told = next(step.inset for step in episode.steps if step.id == "mark-octagon")
    assert told is not None
    assert plain(told.caption) == f"Set-in {episode.table['sphere.set_in'].text}"


def test_a_groove_is_shown_among_those_cut(folder: Path) -> None:
    episode = open_episode(lobed(folder, "cut-grooves", "inset: grooves\n    groove: 3"))
    inset = card_of(episode, "cut-grooves").inset
    assert inset is not None
    assert (inset.grooves, inset.current, inset.done) == (4, 2, (0, 1))
    assert plain(inset.caption) == "Groove 3 of 4"
    assert inset.width == pytest.approx(
        episode.table["grooves.width"].value / episode.table["sphere.diameter"].value
    )


def test_order_of_cutting_decides_what_is_done(folder: Path) -> None:
    path = lobed(folder, "cut-grooves", "inset: grooves\n    groove: 3")
    text = path.read_text(encoding="utf-8")
    path.write_text(f"{text}grooves:\n  order: [3, 1, 2, 4]\n", encoding="utf-8")
    inset = card_of(open_episode(path), "cut-grooves").inset
    assert inset is not None
    assert (inset.current, inset.done) == (2, ())


def test_marks_of_a_groove_are_those_of_the_mounting_card(folder: Path) -> None:
    episode = open_episode(lobed(folder, "index", "inset: index\n    groove: 2"))
    inset = card_of(episode, "index").inset
    assert inset is not None
    assert (inset.marks, inset.lit) == (8, (2, 6))
    assert plain(inset.caption) == f"Marks {episode.table['axis.marks_2'].text} of 8"


def test_a_ring_without_a_groove_lights_its_first_mark(folder: Path) -> None:
    """A turner counts from mark 1, whichever the plate's stop: it is the one to find first."""
    episode = open_episode(lobed(folder, "index", "inset: index"))
    inset = card_of(episode, "index").inset
    assert inset is not None
    assert (inset.marks, inset.lit) == (8, (1,))
    told = next(step.inset for step in episode.steps if step.id == "index")
    assert told is not None
    assert plain(told.caption) == "8 marks"


def ungrooved(folder: Path, keys: str) -> Path:
    """A design that has marks and no grooves."""
    path = folder / "mine.yaml"
    text = f"title: Mine\nbased_on: globe.yaml\nsteps:\n  - id: index\n    {keys}\n"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize(
    ("keys", "lit", "caption"),
    [
        ("inset: index", (1,), "12 marks"),
        ("inset: index\n    groove: 5", (5,), "Mark 5 of 12"),
        ("inset: index\n    groove: 12", (12,), "Mark 12 of 12"),
    ],
)
def test_a_design_without_grooves_lights_the_mark_that_its_step_names(
    folder: Path, keys: str, lit: tuple[int, ...], caption: str
) -> None:
    episode = open_episode(ungrooved(folder, keys))
    told = next(step.inset for step in episode.steps if step.id == "index")
    assert told is not None
    assert (told.lit, plain(told.caption)) == (lit, caption)


def test_a_mark_that_is_not_on_the_ring(folder: Path) -> None:
    assert "there is no mark 13" in faults(ungrooved(folder, "inset: index\n    groove: 13"))


def test_a_drawing_that_has_no_room_beside_its_figures_follows_them(folder: Path) -> None:
    episode = open_episode(lobed(folder, "cut-grooves", "inset: grooves"))
    cards = [
        card for card in episode.cards
        if card.step_id == "cut-grooves" and card.kind is CardKind.MEASUREMENT
    ]  # fmt: skip
    assert [(len(card.rows), card.inset is not None) for card in cards] == [(4, False), (0, True)]
    assert cards[0].end_ms == cards[1].start_ms


@pytest.mark.parametrize(
    ("keys", "told"),
    [
        ("inset: grooves\n    groove: 5", "there is no groove 5"),
        ("groove: 2", "no drawing shows it"),
        ("inset: octagon\n    groove: 2", "an octagon shows no groove"),
        ("inset: pyramid", "pyramid"),
        ("corner: middle", "middle"),
    ],
)
def test_faults_are_told(folder: Path, keys: str, told: str) -> None:
    assert told in faults(lobed(folder, "sand", keys))


def test_a_globe_without_grooves_has_none_to_draw(folder: Path) -> None:
    path = folder / "mine.yaml"
    path.write_text(
        "title: Mine\nbased_on: globe.yaml\nsteps:\n  - id: sand\n    inset: grooves\n",
        encoding="utf-8",
    )
    assert "there are no grooves to draw" in faults(path)


def test_titles_stand_where_no_measurements_do(folder: Path) -> None:
    path = filmed(folder, "titles: yes")
    globe = folder / "globe.yaml"
    text = globe.read_text(encoding="utf-8")
    shown = "show: [sanding.papers, speed.sanding]"
    assert shown in text
    globe.write_text(text.replace(shown, ""), encoding="utf-8")
    episode = open_episode(path)
    by_step = {card.step_id: card for card in episode.cards if card.kind is CardKind.TITLE}
    assert set(by_step) == {step.id for step in episode.steps if not step.shows}
    sand = by_step["sand"]
    number = next(step.number for step in episode.steps if step.id == "sand")
    assert plain(sand.rows[0].label) == f"Step {number} of {len(episode.steps)}"
    assert sand.end_ms is not None
    assert sand.start_ms is not None
    assert 3_000 <= sand.end_ms - sand.start_ms <= 10_000
    assert sand.file_name.endswith("-sand-title.png")
    path.write_text(path.read_text(encoding="utf-8").replace("yes", "no"), encoding="utf-8")
    assert CardKind.TITLE not in {card.kind for card in open_episode(path).cards}


def test_the_end_screen_stays_free(folder: Path) -> None:
    plain_ends = [card.end_ms or 0 for card in open_episode(folder / "lobed-globe.yaml").cards]
    episode = open_episode(filmed(folder, "end_screen: 0:12"))
    assert episode.length_ms is not None
    assert max(plain_ends) > episode.length_ms - 12_000
    assert max(card.end_ms or 0 for card in episode.cards) <= episode.length_ms - 12_000
    assert any("end screen" in note or "four seconds" in note for note in episode.notes)


def test_an_end_screen_is_shorter_than_its_film(folder: Path) -> None:
    told = faults(filmed(folder, "end_screen: 2:30"))
    assert "as long as the film" in told


def test_strips_are_shares_of_the_picture(folder: Path) -> None:
    path = filmed(folder, "keep_clear: {bottom: 30 %}")
    episode = open_episode(path)
    assert (episode.keep_clear.bottom, episode.keep_clear.top) == (0.3, 0.0)
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("30 %", "60 %"), encoding="utf-8")
    assert "no room for overlays" in faults(path)
