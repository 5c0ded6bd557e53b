"""The promise: a number is changed in one place, and every output says the new one."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest

from studio import cli
from studio.check.papers import read_output
from studio.episode.assemble import open_episode
from studio.film.overlays import read_record
from studio.paper.markup import visible_text

OUTPUTS = (
    "handout.html",
    "cut-sheet.html",
    "script.md",
    "description.txt",
    "captions.srt",
    "captions.vtt",
    "measurements.json",
    "overlays",
)
OTHER_SIZES = re.compile(r'<section id="your-size".*?</section>', re.DOTALL)


def texts(out: Path) -> dict[str, str]:
    found = {}
    for name in OUTPUTS:
        if name == "overlays":
            records = [read_record(path) for path in sorted((out / name).glob("*.png"))]
            rows = [row for record in records if record for row in record.rows]
            found[name] = " ".join(f"{row.label} {row.value} {row.other}" for row in rows)
        else:
            text = read_output(out / name) or ""
            # the box for a viewer's own blank answers for other sizes than the design's
            text = OTHER_SIZES.sub("", text)
            found[name] = visible_text(text) if name.endswith(".html") else text
    return {name: " ".join(text.split()) for name, text in found.items()}


@pytest.mark.parametrize(
    ("name", "before", "after"),
    [
        ("sphere.set_in", "17.5 mm", "13.1 mm"),
        ("sphere.octagon_side", "25 mm", "18.8 mm"),
        ("sphere.second_mark", "6.4 mm", "4.8 mm"),
    ],
)
def test_the_diameter_in_one_place(
    globe: Path,
    edit: Callable[[Path, str, str], Path],
    tmp_path: Path,
    name: str,
    before: str,
    after: str,
) -> None:
    edit(globe, "size: 960x540", "size: 320x180")
    assert open_episode(globe).table[name].text == before
    assert cli.main(["build", str(globe), "--out", str(tmp_path / "a")]) == 0
    edit(globe, "  diameter: 60 mm", "  diameter: 45 mm")
    assert open_episode(globe).table[name].text == after
    assert cli.main(["build", str(globe), "--out", str(tmp_path / "b")]) == 0
    old, new = texts(tmp_path / "a"), texts(tmp_path / "b")
    for output in OUTPUTS:
        assert before in old[output], f"{output} lacks {before}"
        assert after in new[output], f"{output} lacks {after}"
        assert before not in new[output], f"{output} still says {before}"
