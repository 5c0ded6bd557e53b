"""A profile of more stations than a drawing has room for."""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import Path

from studio.episode.assemble import open_episode
from studio.paper.drawings import drawings_of
from studio.paper.drawings.stations import MOST_ROWS, station_rows
from tests.compute.told import written


def many(folder: Path, count: int) -> Path:
    fillets = ", ".join(
        f"{{shape: fillet, length: 2 mm, diameter: {10 + 4 * (place % 2)} mm}}"
        for place in range(count)
    )
    tenon = "{shape: tenon, length: 8 mm, diameter: 8 mm}"
    text = f"parts:\n  drop:\n    place: bottom\n    profile: [{fillets}, {tenon}]\n"
    return written(folder, text)


def test_a_step_is_drawn_with_both_its_sides_and_what_is_left_out_is_told(folder: Path) -> None:
    for count, told in ((6, False), (38, True)):
        episode = open_episode(many(folder, count))
        piece = episode.piece
        assert piece is not None
        rows = station_rows(episode.table, piece.parts[0], MOST_ROWS)
        (drawing,) = (one for one in drawings_of(episode) if one.subject == "drop")
        assert ("The table has more stations" in drawing.caption) is told
        assert len(rows) <= MOST_ROWS + 2
        # the headstock's end, and at each step the thinner and the thicker side
        assert rows[-1][0].value == piece.parts[0].profile.length_mm
        inside = [one for one in rows if 0 < one[0].value < piece.parts[0].profile.length_mm - 8.5]
        pairs = [one for one in pairwise(inside) if one[0][0].value == one[1][0].value]
        assert 2 * len(pairs) >= len(inside) - 1


def test_a_neck_is_not_called_the_thinnest_place_of_a_part_that_runs_out_to_a_point(
    folder: Path,
) -> None:
    text = (
        "parts:\n  drop:\n    place: bottom\n    profile: ["
        "{shape: taper, length: 30 mm, start: 2 mm, end: 9 mm}, "
        "{shape: bead, length: 10 mm, crown: 16 mm, start: 9 mm, end: 12 mm}, "
        "{shape: tenon, length: 8 mm, diameter: 8 mm}]\n"
    )
    episode = open_episode(written(folder, text))
    assert episode.table["drop.neck"].value > episode.table["drop.diameter_1"].value
    (drawing,) = (one for one in drawings_of(episode) if one.subject == "drop")
    assert "thinnest neck" in re.sub(r"\s+", " ", re.sub("<[^>]*>", " ", drawing.svg))
