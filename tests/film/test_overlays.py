"""Overlays: inside their margins, large enough, apart from each other, and traceable."""

from __future__ import annotations

import dataclasses
import io
import re
from itertools import combinations
from math import ceil
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image
from PIL.PngImagePlugin import PngInfo

from studio.episode.assemble import open_episode
from studio.episode.beside import design_files
from studio.episode.cards import plan_cautions, plan_measurements, plan_titles, rows_for
from studio.episode.records import Card, CardKind, CardRow, Episode, FrameSize, Inset
from studio.errors import BadInput
from studio.film import overlays
from studio.film.layout import Layout, Run, fitting, room_for
from studio.film.lettering import SEMIBOLD, set_lines, typeface
from studio.film.look import load_look
from studio.film.overlays import draw, overlay_files, read_record, record_of
from studio.measure.trace import mark, plain
from studio.resources import shipped
from studio.safety.rules import RULES

LOOK = load_look("fernhollow")
SIZES = [
    FrameSize(320, 180),
    FrameSize(960, 540),
    FrameSize(1920, 1080),
    FrameSize(3840, 2160),
    FrameSize(1080, 1920),
    FrameSize(720, 1280),
    FrameSize(1080, 1080),
    FrameSize(640, 480),
]
sizes = pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size.width}x{size.height}")


def card(kind: CardKind, *labels: str, heading: str = "Mark the octagon") -> Card:
    """A card with a row for each label."""
    measured = kind is CardKind.MEASUREMENT
    rows = tuple(
        CardRow(
            label=label,
            value=mark("m", "17.5\u00a0mm") if measured else "",
            other=mark("m", "11/16\u00a0in") if measured else "",
            where="both ends" if measured else "",
            name=f"m{index}",
        )
        for index, label in enumerate(labels)
    )
    return Card(
        number=1,
        step_id="mark-octagon",
        kind=kind,
        heading=heading,
        rows=rows,
        start_ms=None,
        end_ms=None,
    )


FOUR_MEASURED = card(CardKind.MEASUREMENT, "Octagon side", "Set-in", "Blank", "Bead width")
TWO_CAUTIONS = card(
    CardKind.CAUTION,
    "Turn the work by hand before you switch on",
    "Stop the lathe before callipers touch",
    heading="Before you start the lathe",
)


def fullest(kind: CardKind, size: FrameSize) -> Card:
    """As much as the episode puts on one card in pictures of a shape."""
    if kind is CardKind.CAUTION:
        return TWO_CAUTIONS
    return dataclasses.replace(FOUR_MEASURED, rows=FOUR_MEASURED.rows[: rows_for(size).rows])


@pytest.mark.parametrize("size", [FrameSize(1080, 1920), FrameSize(360, 640)])
def test_a_list_that_is_no_figure_stands_smaller_in_upright_film(size: FrameSize) -> None:
    papers = [f"CAMI {grit}" for grit in (150, 220, 280, 320, 400, 600)]
    figure = layout_of(papers[0], size)
    short, long = layout_of(", ".join(papers[:2]), size), layout_of(", ".join(papers), size)
    assert figure is not None
    assert short is not None
    assert long is not None

    def height(layout: Layout) -> int:
        return max(run.font.size for run in layout.runs)

    assert height(long) < height(short) <= height(figure)
    # a figure of one piece that does not fit is not made smaller than it can be read
    assert layout_of(" ".join(papers), size) is None


def layout_of(value: str, size: FrameSize) -> Layout | None:
    one = card(CardKind.MEASUREMENT)
    one = dataclasses.replace(one, rows=(CardRow(label="Papers in order", value=value),))
    return fitting(one, size, LOOK, room_for(one.kind, size, LOOK))


SPEED_LIKE = "Finishing cuts: start slowly, 2,500 rpm at most."
"""As long as a speed's own caution gets."""


def box(one: Card, size: FrameSize) -> tuple[int, int, int, int]:
    found = draw(one, size, LOOK).getbbox()
    assert found is not None
    return found


@sizes
@pytest.mark.parametrize("kind", [CardKind.MEASUREMENT, CardKind.CAUTION])
def test_inside_the_safe_area_and_off_the_captions(kind: CardKind, size: FrameSize) -> None:
    """EBU R 95: graphics at least 5 % from each edge."""
    one = fullest(kind, size)
    picture = draw(one, size, LOOK)
    assert picture.mode == "RGBA"
    assert picture.size == (size.width, size.height)
    left, top, right, bottom = box(one, size)
    upright = size.height > size.width
    assert left >= 0.05 * size.width
    assert top >= 0.05 * size.height
    assert right <= (0.85 if upright else 0.95) * size.width
    assert bottom <= (0.75 if upright else 0.80) * size.height


@sizes
def test_the_two_kinds_never_overlap(size: FrameSize) -> None:
    first, second = (
        box(fullest(kind, size), size) for kind in (CardKind.MEASUREMENT, CardKind.CAUTION)
    )
    apart_across = first[2] < second[0]
    apart_down = first[3] < second[1]
    assert apart_across or apart_down
    assert apart_down == (size.height > size.width)


@sizes
@pytest.mark.parametrize("rows", [1, 4])
def test_figures_are_tall_enough(
    size: FrameSize, rows: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Measured on the picture: ink of a card with only figures, text colours taken apart."""
    one = card(CardKind.MEASUREMENT, *["x"] * rows, heading="x")
    figures = tuple(
        dataclasses.replace(row, label="", other="", where="", value="1111") for row in one.rows
    )
    # an empty heading and empty labels: whatever is bright on the plate is the figure
    bare = dataclasses.replace(one, heading="", rows=figures[:1])
    pixels = np.asarray(draw(bare, size, LOOK)).astype(int)
    # the rule under the heading is amber, figures are near white: blue tells them apart
    lines = np.flatnonzero((pixels[:, :, 2] > 150).any(axis=1))
    assert lines[-1] - lines[0] + 1 >= 0.045 * size.height


def ink_height(run: Run, letter: str) -> int:
    left, top, right, bottom = run.font.getbbox(letter, anchor="ls")
    assert right > left
    return bottom - top


SHAPES = [FrameSize(1920, 1080), FrameSize(1080, 1920), FrameSize(1080, 1080)]


def cards_in(design: Path, size: FrameSize) -> list[Card]:
    """Every card that a shipped design has in film of a shape, with a title for each step."""
    steps = tuple(
        dataclasses.replace(step, start_ms=None, end_ms=None) for step in open_episode(design).steps
    )
    bare = tuple(dataclasses.replace(step, shows=(), inset=None) for step in steps)
    return [
        *plan_measurements(steps, None, rows_for(size)),
        *plan_titles(bare),
        *plan_cautions(steps, (), None)[0],
    ]


@pytest.mark.parametrize("size", SHAPES, ids=lambda size: f"{size.width}x{size.height}")
@pytest.mark.parametrize("design", design_files(shipped("designs")), ids=lambda path: path.stem)
def test_every_text_of_every_card_can_be_read_on_a_phone(design: Path, size: FrameSize) -> None:
    """Digits by their drawn height, words by their type size (the constants of ``look.py``)."""
    measure = min(size.height, 1.3 * size.width)
    seen: set[CardKind | str] = set()
    for one in cards_in(design, size):
        room = room_for(one.kind, size, LOOK)
        layout = fitting(one, size, LOOK, room)
        assert layout is not None, f"{one.step_id} has no room"
        figures = {word for row in one.rows for word in plain(row.value).split()}
        others = {word for row in one.rows for word in plain(row.other).split()}
        caption = plain(one.inset.caption).split() if one.inset is not None else []
        told = [] if layout.drawing is None else caption
        for run in layout.runs:
            words = set(run.text.split())
            assert run.font.size >= 0.036 * measure
            if one.kind is CardKind.CAUTION or not words & {*figures, *others, *told}:
                continue
            if run.font.getname()[1] == "Bold":
                assert ink_height(run, "1") >= 0.045 * size.height
                seen.add("first")
            elif words <= {*others, *told}:
                assert ink_height(run, "1") >= 0.045 * measure
                seen.add("second" if words <= others else "caption")
        seen.add(one.kind)
    assert seen >= {*CardKind, "first", "second"}


LOOKED_AT = [FrameSize(640, 360), FrameSize(1280, 720), FrameSize(360, 640), FrameSize(480, 480)]


@pytest.mark.parametrize("size", LOOKED_AT, ids=lambda size: f"{size.width}x{size.height}")
@pytest.mark.parametrize("design", design_files(shipped("designs")), ids=lambda path: path.stem)
def test_a_drawing_stands_beside_the_figures_that_it_explains(
    design: Path, size: FrameSize
) -> None:
    """It touches no text; in wide film, where figures share its card, it begins with the first."""
    for one in cards_in(design, size):
        if one.inset is None:
            continue
        layout = fitting(one, size, LOOK, room_for(one.kind, size, LOOK))
        assert layout is not None
        at = layout.drawing
        assert at is not None
        boxes = [
            (run.x, run.y - ink_height(run, "l"), run.x + run.font.getlength(run.text), run.y)
            for run in layout.runs
        ]
        for left, top, right, foot in boxes:
            across = left < at.x + at.size and right > at.x
            assert not (across and top < at.y + at.size and foot > at.y), (one.step_id, left, top)
        if one.rows:
            shown = plain(one.rows[0].value).split()
            figure = next(
                place for place, run in enumerate(layout.runs) if run.text.split() == shown
            )
            assert boxes[figure][2] < at.x
            assert at.y < boxes[figure][1] < boxes[figure][3] < at.y + at.size


@pytest.mark.parametrize("size", SHAPES, ids=lambda size: f"{size.width}x{size.height}")
def test_a_drawing_keeps_its_size_and_its_caption_is_as_large_as_figures(size: FrameSize) -> None:
    inset = Inset(drawing="index", caption="Marks 2 and 6 of 8", marks=8, lit=(2, 6))
    one = dataclasses.replace(FOUR_MEASURED, rows=(), inset=inset)
    layout = fitting(one, size, LOOK, room_for(one.kind, size, LOOK))
    assert layout is not None
    measure = min(size.height, 1.3 * size.width)
    assert layout.drawing is not None
    assert layout.drawing.size >= 0.18 * measure
    caption = [run for run in layout.runs if run.text in "Marks 2 and 6 of 8"]
    assert " ".join(run.text for run in caption) == "Marks 2 and 6 of 8"
    for run in caption:
        assert ink_height(run, "1") >= 0.045 * measure


@pytest.mark.parametrize("size", SHAPES, ids=lambda size: f"{size.width}x{size.height}")
def test_a_figure_is_not_parted_from_its_unit(size: FrameSize) -> None:
    row = CardRow(label="Speed once round, at most", value=mark("m", "2,500 rpm"), name="m")
    one = dataclasses.replace(FOUR_MEASURED, rows=(row,))
    layout = fitting(one, size, LOOK, room_for(one.kind, size, LOOK))
    assert layout is not None
    assert "2,500 rpm" in [run.text for run in layout.runs]


@pytest.mark.parametrize("kind", list(CardKind))
def test_too_much_text_is_told_with_its_step(kind: CardKind) -> None:
    with pytest.raises(BadInput, match="mark-octagon") as caught:
        draw(card(kind, *["a label that goes on and on " * 16] * 4), FrameSize(640, 360), LOOK)
    if kind is CardKind.CAUTION:
        # a caution's words are the tool's own: it is named, and the way out is another one
        assert "a label that goes on" in str(caught.value)
        assert "write a larger size: under film:" in str(caught.value)
        assert "title" not in str(caught.value)
    else:
        assert "shorten" in str(caught.value)


def test_long_labels_wrap_and_stay_inside() -> None:
    one = card(
        CardKind.MEASUREMENT, "Distance from the end disc's edge to the first groove's middle"
    )
    room = room_for(CardKind.MEASUREMENT, FrameSize(960, 540), LOOK)
    layout = fitting(one, FrameSize(960, 540), LOOK, room)
    assert layout is not None
    for run in layout.runs:
        assert run.x + run.font.getlength(run.text) + 2 * layout.padding <= room.width
    words = " ".join(run.text for run in layout.runs)
    assert one.rows[0].label in words


@settings(max_examples=60, deadline=None)
@given(
    text=st.one_of(
        st.text(max_size=80),
        st.sampled_from(
            [
                "مرحبا بالعالم",
                "שלום עולם 12 מ״מ",
                "👍🏽🪵👩‍🔧",
                "W" * 300,
                "a\u0301" * 40,
                "\u202eabc",
                "\ud800",
            ]
        ),
    ),
    size=st.sampled_from([FrameSize(320, 180), FrameSize(180, 320)]),
    kind=st.sampled_from(list(CardKind)),
)
def test_any_text_is_drawn_or_told(text: str, size: FrameSize, kind: CardKind) -> None:
    one = dataclasses.replace(
        card(kind, text, heading=text),
        rows=(CardRow(label=text, value=text, other=text, where=text, name="n"),),
    )
    room = room_for(kind, size, LOOK)
    if fitting(one, size, LOOK, room) is None:
        with pytest.raises(BadInput, match="mark-octagon"):
            draw(one, size, LOOK)
        return
    found = draw(one, size, LOOK).getbbox()
    assert found is not None
    assert found[2] <= 0.95 * size.width
    assert found[3] <= 0.80 * size.height


def test_a_caution_differs_in_form_not_only_in_colour() -> None:
    """Drawn in grey with one look for both, the caution still has its triangle and frame."""
    same = LOOK.model_copy(update={"caution": LOOK.measurement})
    size = FrameSize(640, 360)
    one = draw(card(CardKind.CAUTION, "Stop the lathe"), size, same)
    left, top, right, bottom = one.getbbox()
    grey = np.asarray(one.convert("L")).astype(int)
    plate = grey[bottom - 8, (left + right) // 2]
    frame = grey[bottom - 2, (left + right) // 2]
    assert frame - plate > 60
    # the sign: a column of ink that widens downwards, left of the heading
    sign = grey[top + 8 : top + 34, left + 10 : left + 34] - plate > 60
    widths = [row.sum() for row in sign if row.any()]
    assert widths[0] < widths[len(widths) * 2 // 3]


def test_letters_do_not_thin_the_plate() -> None:
    picture = draw(FOUR_MEASURED, FrameSize(640, 360), LOOK)
    left, top, right, bottom = picture.getbbox()
    alpha = np.asarray(picture)[top + 10 : bottom - 10, left + 10 : right - 10, 3]
    assert alpha.min() >= round(255 * LOOK.measurement.opacity) - 1


def test_the_same_card_is_the_same_picture() -> None:
    assert draw(TWO_CAUTIONS, FrameSize(640, 360), LOOK) == draw(
        TWO_CAUTIONS, FrameSize(640, 360), LOOK
    )


def test_files_say_what_they_show(sample_episode: Episode, tmp_path: Path) -> None:
    files = overlay_files(sample_episode)
    assert list(files) == ["overlays/01-mark-octagon.png", "overlays/02-cut-corners-caution.png"]
    for content, one in zip(files.values(), sample_episode.cards, strict=True):
        path = tmp_path / one.file_name
        path.write_bytes(content)
        record = read_record(path)
        assert record == record_of(one, sample_episode.size)
        with Image.open(path) as picture:
            assert picture.size == (320, 180)
            assert picture.tobytes() == draw(one, sample_episode.size, LOOK).tobytes()
    record = read_record(tmp_path / "01-mark-octagon.png")
    assert record is not None
    assert [(row.name, row.value, row.other) for row in record.rows] == [
        ("sphere.set_in", "17.5\u00a0mm", "11/16\u00a0in"),
        ("sphere.octagon_side", "24.5\u00a0mm", "31/32\u00a0in"),
    ]


@pytest.mark.parametrize("content", [b"\x89PNG\r\n\x1a\n rubbish", b"", b"words"])
def test_what_is_not_ours_has_no_record(tmp_path: Path, content: bytes) -> None:
    (tmp_path / "x.png").write_bytes(content)
    assert read_record(tmp_path / "x.png") is None
    Image.new("RGBA", (8, 8)).save(tmp_path / "my-logo.png")
    assert read_record(tmp_path / "my-logo.png") is None


def told_of(design: Path) -> str:
    with pytest.raises(BadInput) as caught:
        overlay_files(open_episode(design))
    (fault,) = caught.value.faults
    assert fault.file is not None
    assert fault.line is not None
    return str(caught.value)


def test_a_card_that_does_not_fit_is_told_with_its_line(folder: Path) -> None:
    design = folder / "globe.yaml"
    text = design.read_text(encoding="utf-8")
    oil = "hedge oil (invented, like its label)"
    assert oil in text
    text = text.replace(oil, " and ".join([oil] * 4)).replace("[hanger.wire,", "[finish.product,")
    design.write_text(text, encoding="utf-8")
    shown = next(n for n, row in enumerate(text.splitlines(), 1) if "show: [finish.product" in row)
    told = told_of(design)
    assert f"globe.yaml:{shown}:" in told
    assert "step `hang`" in told
    assert "show fewer measurements" in told
    assert "keep_clear" not in told


def test_what_is_kept_clear_is_named_when_it_is_the_cause(folder: Path) -> None:
    design = folder / "globe.yaml"
    text = design.read_text(encoding="utf-8")
    changed = text.replace("\nfilm:\n", "\nfilm:\n  keep_clear: {top: 38 %, left: 3 %}\n")
    design.write_text(changed, encoding="utf-8")
    line = next(n for n, row in enumerate(changed.splitlines(), 1) if "keep_clear" in row)
    told = told_of(design)
    assert f"globe.yaml:{line}:" in told
    assert "kept clear (top 38 %, left 3 %)" in told
    share = re.search(r"write top: (\d+) % or less", told)
    assert share is not None
    # what it says to write does for every card, and one per cent more does not
    design.write_text(changed.replace("top: 38 %", f"top: {share[1]} %"), encoding="utf-8")
    assert overlay_files(open_episode(design))
    design.write_text(changed.replace("top: 38 %", f"top: {int(share[1]) + 1} %"), encoding="utf-8")
    assert "kept clear" in told_of(design)


@pytest.mark.parametrize(
    "strips", ["{bottom: 30 %, top: 12 %}", "{bottom: 39 %, top: 38 %}", "{left: 39 %, top: 30 %}"]
)
def test_the_strips_that_are_told_do_for_cautions_too(folder: Path, strips: str) -> None:
    """In upright film cards and cautions stand one above the other."""
    design = folder / "globe.yaml"
    text = design.read_text(encoding="utf-8")
    size = re.search(r"\n  size: .*\n", text)
    assert size is not None
    kept = f"\n  size: 360x640\n  titles: yes\n  keep_clear: {strips}\n"
    changed = text.replace(size[0], kept)
    design.write_text(changed, encoding="utf-8")
    advice = re.search(r"write (.*) or less under keep_clear:", told_of(design))
    assert advice is not None
    mended = strips
    for edge, share in re.findall(r"(\w+): (\d+) %", advice[1]):
        mended = re.sub(rf"{edge}: \d+ %", f"{edge}: {share} %", mended)
    design.write_text(changed.replace(strips, mended), encoding="utf-8")
    assert overlay_files(open_episode(design))


def test_a_card_without_a_design_file_is_told_too(sample_episode: Episode) -> None:
    too_long = dataclasses.replace(sample_episode.cards[1], heading="no end " * 200)
    bad = dataclasses.replace(sample_episode, cards=(sample_episode.cards[0], too_long))
    with pytest.raises(BadInput, match=sample_episode.design_file.name):
        overlay_files(bad)


def test_a_step_id_cannot_leave_the_folder(sample_episode: Episode) -> None:
    bad = dataclasses.replace(sample_episode.cards[0], step_id="../../x")
    with pytest.raises(BadInput, match="file name"):
        overlay_files(dataclasses.replace(sample_episode, cards=(bad,)))


@pytest.mark.parametrize("size", SHAPES, ids=lambda size: f"{size.width}x{size.height}")
def test_any_two_cautions_have_room_on_one_card(size: FrameSize) -> None:
    """No design may be refused because of what it has to warn of."""
    said = sorted({*(rule.short for rule in RULES.values()), SPEED_LIKE}, key=len)[-8:]
    for pair in combinations(said, 2):
        one = card(CardKind.CAUTION, *pair, heading="Caution")
        room = room_for(one.kind, size, LOOK)
        assert fitting(one, size, LOOK, room) is not None, pair


@pytest.mark.parametrize(
    "text",
    [
        "Roughing: start slowly, {0} at most.",
        "No faster than {0}",
        "{0} at most, and never {0} while it is square",
        "(at {0}) then stop",
    ],
)
@pytest.mark.parametrize("value", ["800 rpm", "2 53/64 in", "1,050 rpm", "½ in", "22 AWG", "60 °C"])
def test_a_value_and_its_unit_never_part(text: str, value: str) -> None:
    """With an ordinary space between them, marked or typed, at every width that holds both."""
    font = typeface(SEMIBOLD, 20)
    for marked in (value, mark("speed.rough", value)):
        said = text.format(marked)
        widest = max(font.getlength(word) for word in (f"({value})", "Roughing:", "square"))
        for room in range(ceil(widest) + 1, 400):
            lines = set_lines(said, font, room)
            assert " ".join(lines) == plain(said)
            whole = [line.count(value) for line in lines]
            assert sum(whole) == plain(said).count(value), (room, lines)


def test_a_list_of_values_breaks_between_them() -> None:
    font = typeface(SEMIBOLD, 20)
    lines = set_lines("12 mm, 14 mm, P180, P240", font, font.getlength("12 mm, 14 mm, "))
    assert lines == ["12 mm, 14 mm,", "P180, P240"]


def repacked(png: bytes, *, level: int, paint: bool = False, more: str = "") -> bytes:
    """The same texts and pixels packed otherwise, perhaps with a pixel or a text changed."""
    with Image.open(io.BytesIO(png)) as read:
        picture, info = read.convert("RGBA"), dict(read.info)
    if paint:
        red, green, blue, alpha = picture.getpixel((0, 0))
        picture.putpixel((0, 0), (red ^ 1, green, blue, alpha))
    kept = PngInfo()
    kept.add_text("Software", info["Software"])
    kept.add_itxt("Title", info["Title"])
    kept.add_itxt(overlays.RECORD_KEY, info[overlays.RECORD_KEY])
    if more:
        kept.add_itxt("Comment", more)
    content = io.BytesIO()
    picture.save(content, "PNG", pnginfo=kept, compress_level=level)
    return content.getvalue()


def test_an_overlay_is_known_by_all_its_pixels_and_words() -> None:
    one, size = card(CardKind.MEASUREMENT, "set-in"), FrameSize(320, 180)
    ours = overlays.overlay_file(one, size, LOOK)

    def is_ours(content: bytes) -> bool:
        return overlays.is_overlay_of(content, one, size, LOOK)

    assert is_ours(ours)
    again = repacked(ours, level=1)
    assert again != ours
    assert is_ours(again)
    for other in (
        repacked(ours, level=6, paint=True),
        repacked(ours, level=6, more="17 mm"),
        ours + b"17 mm",
        ours[:-12],
        ours[: len(ours) // 2],
        ours[:-20] + bytes(8) + ours[-12:],
        b"",
        overlays.overlay_file(dataclasses.replace(one, number=2), size, LOOK),
        overlays.overlay_file(one, FrameSize(322, 180), LOOK),
    ):
        assert not is_ours(other)


def test_a_card_on_which_nobody_can_read_is_refused_with_the_size_to_export() -> None:
    """Source Sans has capitals of two thirds of its type size: three pixels of the five there."""
    text = "Stop the lathe before you measure, and stand out of the line of the wood"
    with pytest.raises(BadInput) as caught:
        draw(card(CardKind.CAUTION, text, heading="Before you cut"), FrameSize(100, 180), LOOK)
    fault = caught.value.faults[0]
    assert "on pictures of 100 × 180 pixels the caution card" in fault.what
    assert "has capitals 3 pixels high, which nobody can read" in fault.what
    assert fault.write == "export the film 2.4 times as large in both directions, or larger"
    larger = FrameSize(240, 432)
    assert draw(card(CardKind.CAUTION, text, heading="Before you cut"), larger, LOOK).size == (
        240,
        432,
    )


@pytest.mark.parametrize(
    ("size", "told"),
    [
        (FrameSize(320, 180), True),
        (FrameSize(480, 270), False),
        (FrameSize(360, 640), False),
        (FrameSize(1920, 1080), False),
    ],
)
def test_a_film_so_small_that_words_are_hard_to_read_has_a_note(
    sample_episode: Episode, size: FrameSize, told: bool
) -> None:
    notes = overlays.small_type(sample_episode, size)
    assert len(notes) == told
    if told:
        assert re.search(r"capitals only [56] pixels high", notes[0])
        assert notes[0].endswith("export the film 1.4 times as large in both directions, or larger")


def test_what_nobody_can_read_is_told_at_the_films_size_in_the_design(globe: Path) -> None:
    lines = globe.read_text(encoding="utf-8").splitlines()
    line = 1 + next(n for n, one in enumerate(lines) if "size: 960x540" in one)
    with pytest.raises(BadInput) as caught:
        overlays.small_type(open_episode(globe), FrameSize(160, 90))
    (fault,) = caught.value.faults
    assert (fault.file, fault.line) == (globe, line)
    assert "on pictures of 160 × 90 pixels" in fault.what
