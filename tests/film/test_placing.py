"""Placing: the calmest corner wins, cards never touch, plates are dense enough and no denser."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.design.schema import CORNERS
from studio.episode.places import as_text, place_names, places_file, read_places, with_places
from studio.episode.records import Card, CardKind, Episode, FrameSize, Inset, Strips
from studio.errors import BadInput
from studio.film.corners import seen_together, with_corners
from studio.film.look import load_look, rgb, worst_contrast
from studio.film.overlays import draw, outline, outlines, overlay_file
from studio.film.placing import choose_places, picture_at, sampled, told_places
from studio.film.probe import probe
from studio.film.whole import key_times

LOOK = load_look("fernhollow")
WIDE, UPRIGHT = FrameSize(640, 360), FrameSize(360, 640)

# what fills the picture, and a still grey laid over one corner of it
_BUSY = "testsrc2=size={size}:rate=25:duration=6"
_CALM = {
    "top-left": "drawbox=x=0:y=0:w=iw/2:h=ih/2:color=gray:t=fill",
    "top-right": "drawbox=x=iw/2:y=0:w=iw/2:h=ih/2:color=gray:t=fill",
    "bottom-left": "drawbox=x=0:y=ih/5:w=iw/2:h=ih:color=gray:t=fill",
    "bottom-right": "drawbox=x=iw/2:y=ih/5:w=iw/2:h=ih:color=gray:t=fill",
}

MakeFilm = Callable[..., Path]


@pytest.fixture
def film_calm_in(run_ffmpeg: Callable[..., bytes], tmp_path: Path) -> MakeFilm:
    def make(corner: str, size: str = "320x180", keys: int = 250) -> Path:
        path = tmp_path / f"{corner}-{size}-{keys}.mp4"
        run_ffmpeg(
            "-f", "lavfi", "-i", _BUSY.format(size=size), "-vf", _CALM[corner],
            "-g", str(keys), "-pix_fmt", "yuv420p", "-colorspace", "bt709", str(path),
        )  # fmt: skip
        return path

    return make


@pytest.fixture
def plain_film(run_ffmpeg: Callable[..., bytes], tmp_path: Path) -> MakeFilm:
    def make(colour: str) -> Path:
        path = tmp_path / f"{colour}.mp4"
        source = f"color=c={colour}:size=640x360:rate=25:duration=6"
        run_ffmpeg("-f", "lavfi", "-i", source, "-pix_fmt", "yuv420p", str(path))
        return path

    return make


def corners(places: dict[str, object]) -> dict[str, str]:
    return {name: place.corner for name, place in places.items()}


@pytest.mark.parametrize("keys", [10, 250])
@pytest.mark.parametrize("corner", CORNERS)
def test_the_calm_corner_is_taken(
    sample_episode: Episode, film_calm_in: MakeFilm, corner: str, keys: int
) -> None:
    found = choose_places(sample_episode, film_calm_in(corner, keys=keys), {})
    assert corners(found) == {"mark-octagon": corner, "cut-corners-caution": corner}
    for place in found.values():
        assert min(place.calm, key=place.calm.get) == corner
        others = [score for name, score in place.calm.items() if name != corner]
        assert place.calm[corner] < min(others)


def test_seen_together_they_stand_on_different_sides(
    sample_episode: Episode, film_calm_in: MakeFilm
) -> None:
    measurement, caution = sample_episode.cards
    both = dataclasses.replace(caution, start_ms=1500, end_ms=5500)
    made = dataclasses.replace(sample_episode, cards=(measurement, both))
    found = corners(choose_places(made, film_calm_in("bottom-right"), {}))
    sides = {name: corner.split("-")[1] for name, corner in found.items()}
    assert sorted(sides.values()) == ["left", "right"]
    assert "bottom-right" in found.values()


def test_upright_film_has_a_top_and_a_foot(sample_episode: Episode, film_calm_in: MakeFilm) -> None:
    made = dataclasses.replace(sample_episode, size=UPRIGHT)
    film = film_calm_in("bottom-left", size="180x320")
    found = choose_places(made, film, {})
    assert found["mark-octagon"].corner == "bottom-left"
    assert set(found["mark-octagon"].calm) == {"top-left", "bottom-left"}


def test_the_designs_corner_goes_before_the_calmest(
    sample_episode: Episode, film_calm_in: MakeFilm
) -> None:
    measurement, caution = sample_episode.cards
    asked = dataclasses.replace(measurement, asked="top-right")
    made = dataclasses.replace(sample_episode, cards=(asked, caution))
    found = choose_places(made, film_calm_in("bottom-left"), {})
    assert found["mark-octagon"].corner == "top-right"
    assert found["cut-corners-caution"].corner == "bottom-left"
    lines = told_places(made, found)
    assert "stands top right" in lines[0]
    assert "as the design asks" in lines[0]
    assert "bottom left" in lines[1]


def test_nothing_is_looked_at_twice(sample_episode: Episode, film_calm_in: MakeFilm) -> None:
    film = film_calm_in("top-right")
    first = choose_places(sample_episode, film, {})
    # what was found is taken over, even a place that no look at the film would give
    marked = {
        name: dataclasses.replace(place, corner="bottom-left") for name, place in first.items()
    }
    assert choose_places(sample_episode, film, marked) == marked
    later = dataclasses.replace(sample_episode.cards[0], end_ms=2900)
    moved = dataclasses.replace(sample_episode, cards=(later, sample_episode.cards[1]))
    again = corners(choose_places(moved, film, marked))
    assert again == {"mark-octagon": "top-right", "cut-corners-caution": "bottom-left"}


@pytest.mark.parametrize("colour", ["black", "white", "gray", "0x7a3b12"])
def test_plates_are_as_clear_as_can_be_read(
    sample_episode: Episode, plain_film: MakeFilm, colour: str
) -> None:
    found = choose_places(sample_episode, plain_film(colour), {})
    level = {"black": (0,) * 3, "white": (255,) * 3, "gray": (128,) * 3, "0x7a3b12": (122, 59, 18)}
    for name, style in (("mark-octagon", LOOK.measurement), ("cut-corners-caution", LOOK.caution)):
        density = found[name].opacity
        assert style.clearest is not None
        assert style.clearest <= density <= style.opacity
        under = (level[colour], level[colour])
        for text in (style.heading, style.text, style.quiet):
            assert worst_contrast(rgb(text), rgb(style.plate), density, under) >= 4.5
    # a dark plate needs nothing more over black, a light one over white
    if colour == "black":
        assert found["mark-octagon"].opacity == LOOK.measurement.clearest
        assert found["cut-corners-caution"].opacity > LOOK.caution.clearest
    if colour == "white":
        assert found["mark-octagon"].opacity > LOOK.measurement.clearest
        assert found["cut-corners-caution"].opacity == LOOK.caution.clearest


def test_a_denser_plate_only_where_it_is_needed() -> None:
    style = LOOK.measurement
    over = [style.density_over((level,) * 3, (level,) * 3) for level in range(0, 256, 15)]
    assert over == sorted(over)
    assert over[0] == style.clearest
    assert style.clearest < over[-1] <= style.opacity
    for level, density in zip(range(0, 256, 15), over, strict=True):
        if density > style.clearest:
            less = round(density - 0.01, 2)
            worst = min(
                worst_contrast(rgb(text), rgb(style.plate), less, ((level,) * 3, (level,) * 3))
                for text in (style.heading, style.text, style.quiet)
            )
            assert worst < 4.5


@pytest.mark.parametrize("size", [WIDE, UPRIGHT, FrameSize(480, 480)])
@given(
    asked=st.sampled_from(["", *CORNERS]),
    placed=st.sampled_from(["", *CORNERS]),
    caution_placed=st.sampled_from(["", *CORNERS]),
    strips=st.builds(
        Strips, **dict.fromkeys(("top", "bottom", "left", "right"), st.floats(0, 0.25))
    ),
)
def test_cards_seen_together_never_touch(
    sample_episode: Episode,
    size: FrameSize,
    asked: str,
    placed: str,
    caution_placed: str,
    strips: Strips,
) -> None:
    measurement, caution = sample_episode.cards
    cards = with_corners(
        [
            dataclasses.replace(measurement, asked=asked, corner=placed),
            dataclasses.replace(caution, corner=caution_placed, start_ms=2000),
        ],
        LOOK,
        size,
    )
    assert with_corners(cards, LOOK, size) == cards
    boxes = []
    for card in cards:
        try:
            # what is drawn has this box: test_outlines_are_what_is_drawn
            left, top, right, bottom = outline(card, size, LOOK, card.corner, strips)
        except BadInput:  # too many strips for so small a picture, and told so
            return
        boxes.append((left, top, right, bottom))
        assert top >= int(size.height * max(0.05, strips.top))
        assert left >= int(size.width * max(0.05, strips.left))
        foot = max(0.25 if size == UPRIGHT else 0.20, strips.bottom)
        side = max(0.15 if size == UPRIGHT else 0.05, strips.right)
        assert bottom <= np.ceil(size.height * (1 - foot))
        assert right <= np.ceil(size.width * (1 - side))
    one, other = boxes
    apart = (one[2] <= other[0], other[2] <= one[0], one[3] <= other[1], other[3] <= one[1])
    assert any(apart)
    if asked:
        end, side = asked.split("-")
        kept = cards[0].corner.split("-")
        assert kept[0] == end if size == UPRIGHT else kept == [end, side]


@pytest.mark.parametrize("kind", range(2))
def test_outlines_are_what_is_drawn(sample_episode: Episode, kind: int) -> None:
    card = sample_episode.cards[kind]
    for size in (WIDE, UPRIGHT, FrameSize(480, 480)):
        for corner, box in outlines(card, size, LOOK).items():
            drawn = draw(dataclasses.replace(card, corner=corner), size, LOOK)
            assert drawn.getbbox() == box


def test_groups_hold_what_overlaps(sample_episode: Episode) -> None:
    one = sample_episode.cards[0]
    times = [(0, 10), (8, 14), (12, 22), (22, 30), (40, 50)]
    cards = [
        dataclasses.replace(one, number=place, start_ms=start, end_ms=end)
        for place, (start, end) in enumerate(times, start=1)
    ]
    groups = [[card.number for card in group] for group in seen_together(cards)]
    assert groups == [[1, 2, 3], [4], [5]]


def test_density_and_corner_are_drawn(sample_episode: Episode) -> None:
    card = dataclasses.replace(sample_episode.cards[0], corner="bottom-right", opacity=0.5)
    drawn = np.asarray(draw(card, WIDE, LOOK))[:, :, 3]
    rows, columns = np.nonzero(drawn)
    assert rows.mean() > WIDE.height * 0.4
    assert columns.mean() > WIDE.width * 0.5
    assert np.bincount(drawn[drawn > 0]).argmax() == round(255 * 0.5)


# --- the file -----------------------------------------------------------------------------------


def test_the_file_gives_back_what_was_chosen(
    sample_episode: Episode, film_calm_in: MakeFilm, tmp_path: Path
) -> None:
    design = tmp_path / "globe.yaml"
    found = choose_places(sample_episode, film_calm_in("top-right"), {})
    places_file(design).write_text(as_text(found), encoding="utf-8")
    back = read_places(design)
    assert as_text(back) == as_text(found)
    placed = with_places(sample_episode.cards, back)
    assert [card.corner for card in placed] == ["top-right", "top-right"]
    assert [card.opacity for card in placed] == [place.opacity for place in found.values()]
    assert choose_places(sample_episode, film_calm_in("top-right"), back).keys() == back.keys()


@pytest.mark.parametrize(
    "text",
    [
        "cards: 3",
        "cards: {a: {corner: middle, opacity: 0.9}}",
        "cards: {a: {corner: top-left, opacity: 9}}",
        "cards: {a: {corner: top-left}}",
        "- a\n- b",
        "cards: [",
        "",
    ],
)
def test_a_broken_file_is_told(tmp_path: Path, text: str) -> None:
    design = tmp_path / "globe.yaml"
    places_file(design).write_text(text, encoding="utf-8")
    with pytest.raises(BadInput, match="not a places file"):
        read_places(design)


def test_names_stay_apart(sample_episode: Episode) -> None:
    caution = sample_episode.cards[1]
    three = [dataclasses.replace(caution, number=number) for number in (1, 2, 3)]
    assert list(place_names(three).values()) == [
        "cut-corners-caution", "cut-corners-caution.2", "cut-corners-caution.3",
    ]  # fmt: skip


# --- small drawings -----------------------------------------------------------------------------


def with_inset(card: Card, inset: Inset) -> np.ndarray:
    one = dataclasses.replace(card, rows=(), inset=inset, kind=CardKind.MEASUREMENT)
    return np.asarray(draw(one, FrameSize(1280, 720), LOOK)).astype(int)


def lit(picture: np.ndarray) -> np.ndarray:
    """Where the rule's colour is, below the line under the heading."""
    there = (np.abs(picture[:, :, :3] - rgb(LOOK.measurement.rule)).sum(axis=2) < 30) & (
        picture[:, :, 3] > 240
    )
    rows = np.nonzero(there.sum(axis=1) > there.shape[1] * 0.1)[0]
    there[: rows.max() + 3] = False
    return there


def test_the_step_s_groove_is_lit(sample_episode: Episode) -> None:
    card = sample_episode.cards[0]
    turns = []
    for current in range(3):
        inset = Inset(
            drawing="grooves", caption="Groove", grooves=3, done=(), current=current, width=0.1
        )
        rows, columns = np.nonzero(lit(with_inset(card, inset)))
        spread = np.cov(columns, -rows)
        _, vectors = np.linalg.eigh(spread)
        across, up = vectors[:, 1]
        turns.append(np.degrees(np.arctan2(across, up)) % 180)
    assert np.allclose(((np.array(turns) - [0, 60, 120] + 90) % 180) - 90, 0, atol=2)


def test_the_step_s_marks_are_lit(sample_episode: Episode) -> None:
    card = sample_episode.cards[0]
    inset = Inset(drawing="index", caption="Marks", marks=12, lit=(4, 10))
    rows, columns = np.nonzero(lit(with_inset(card, inset)))
    # marks 4 and 10 of twelve stand at three and nine o'clock
    assert np.ptp(columns) > 4 * np.ptp(rows)
    none = Inset(drawing="index", caption="Marks", marks=12)
    assert not lit(with_inset(card, none)).any()


def test_set_in_is_drawn_to_measure(sample_episode: Episode) -> None:
    card = sample_episode.cards[0]
    wide = []
    for share in (0.1, 0.2, 0.2929):
        inset = Inset(drawing="octagon", caption="Set-in", set_in=share)
        columns = np.nonzero(lit(with_inset(card, inset)).any(axis=0))[0]
        gap = int(np.diff(columns).argmax())
        left, right = columns[gap], columns[gap + 1]
        wide.append((right - left) / np.ptp(columns))
    assert np.allclose(wide, [0.8, 0.6, 1 - 2 * 0.2929], atol=0.06)


def test_overlays_hold_their_drawing(sample_episode: Episode) -> None:
    inset = Inset(drawing="octagon", caption="Set-in 17.5 mm", set_in=0.29)
    card = dataclasses.replace(sample_episode.cards[0], inset=inset)
    assert overlay_file(card, WIDE, LOOK) != overlay_file(sample_episode.cards[0], WIDE, LOOK)


def test_few_pictures_are_held_where_every_one_is_a_key_frame(
    make_film: Callable[..., Path],
) -> None:
    """Twelve at most, evenly spread: the memory must not follow the key frames."""
    from studio.film.placing import sampled
    from studio.film.probe import probe

    film = make_film("-pix_fmt", "yuv420p", "-g", "1", seconds=6, name="intra.mp4")
    pictures = sampled(probe(film), 0, 6000)
    assert 3 <= len(pictures) <= 6
    assert not (pictures[0] == pictures[-1]).all()


def test_one_key_frame_and_the_last_picture_are_looked_at(make_film: Callable[..., Path]) -> None:
    """Key frames at 0 s and 2 s; what lies before the second one is not decoded for a card from
    1 s on, but for one that stands hardly longer than up to there."""
    film = make_film("-pix_fmt", "yuv420p", "-g", "50", "-sc_threshold", "0", seconds=4)
    footage = probe(film)
    assert key_times(footage, 1, 3.5) == [2.0]
    for start, end, first, last in ((1_000, 3_500, 2_000, 3_440), (1_000, 2_200, 1_000, 2_120)):
        looked = sampled(footage, start, end)
        assert np.array_equal(looked[0], picture_at(footage, first))
        differ = [
            np.abs(looked[-1].astype(int) - picture_at(footage, last + 40 * step)).mean()
            for step in range(-2, 3)
        ]
        # pictures that no other is made from are passed by
        assert min(differ) == 0


def test_a_film_that_is_refreshed_bit_by_bit_is_looked_at_too(
    run_ffmpeg: Callable[..., bytes], tmp_path: Path
) -> None:
    """It marks packets as key frames at which no decoder begins (x264's intra refresh)."""
    film = tmp_path / "refreshed.mp4"
    run_ffmpeg(
        "-f", "lavfi", "-i", "testsrc2=s=320x180:r=30:d=6", "-c:v", "libx264", "-preset", "fast",
        "-x264-params", "keyint=15:intra-refresh=1", "-pix_fmt", "yuv420p", str(film),
    )  # fmt: skip
    footage = probe(film)
    assert len(key_times(footage, 1, 5)) >= 3
    pictures = sampled(footage, 1_000, 5_000)
    assert pictures
    assert pictures[0].shape == (180, 320, 3)
