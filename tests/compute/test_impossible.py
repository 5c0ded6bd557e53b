"""What cannot be turned is refused with what to write, and that is then accepted."""

from __future__ import annotations

from pathlib import Path

import pytest

from studio.episode.assemble import open_episode
from studio.errors import BadInput

START = "title: Impossible\nstock: {species: cherry, diameter: 60 mm}\n"
STEP = "steps:\n  - {id: a, title: A, does: [mounting], stage: rough, do: Do it.}\n"
FINIAL = (
    "parts:\n  finial:\n    profile:\n      - {shape: FIRST, length: 8 mm, diameter: 7.8 mm}\n"
    "      - {shape: taper, length: 20 mm, start: 10 mm, end: 14 mm}\n"
    "      - {shape: tenon, length: 8 mm, diameter: 9.8 mm}\n"
)


@pytest.mark.parametrize(
    ("text", "step", "told", "write", "mended"),
    [
        (
            "indexing: {marks: 8, offset: 30 mm}\n", STEP, "outside the wood",
            "write less than 30 mm", ("offset: 30 mm", "offset: 29.9 mm"),
        ),
        (
            FINIAL.replace("FIRST", "tenon"), STEP, "goes into no hole", "write straight",
            ("shape: tenon, length: 8 mm, diameter: 7.8 mm", "shape: straight, length: 8 mm, "
             "diameter: 7.8 mm"),
        ),
        (
            "", STEP.replace("rough,", "rough, speed: 100 rpm,"), "below the slowest speed",
            "write 200 rpm or more", ("speed: 100 rpm", "speed: 200 rpm"),
        ),
    ],
)  # fmt: skip
def test_it_is_refused_and_the_advice_works(
    folder: Path, text: str, step: str, told: str, write: str, mended: tuple[str, str]
) -> None:
    path = folder / "impossible.yaml"
    workshop = "workshop: {lathe: {slowest: 200 rpm, fastest: 3200 rpm}}\n"
    path.write_text(START + text + workshop + step, encoding="utf-8")
    with pytest.raises(BadInput) as raised:
        open_episode(path)
    said = "\n".join(str(fault) for fault in raised.value.faults)
    assert told in said
    assert write in said
    path.write_text(path.read_text("utf-8").replace(*mended), encoding="utf-8")
    open_episode(path)


def test_no_seat_is_promised_for_a_groove_too_narrow_to_write(folder: Path) -> None:
    path = folder / "narrow.yaml"
    text = (
        "indexing: {marks: 16}\n"
        "grooves: {number: 8, width: 4 mm, depth: 1.2 mm, shape: vee}\n"
        "workshop: {index_plates: [48], chuck: {rims: [20 mm]}, vee_cutters: [60°, 90°, 120°]}\n"
    )
    path.write_text(START + text + STEP, encoding="utf-8")
    table = open_episode(path).table
    # 0.03 mm by the formula: no groove narrower than 0.5 mm may be written
    assert "grooves.widest" in table
    assert "grooves.seat_widest" not in table
