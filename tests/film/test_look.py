"""Looks: the shipped one keeps the rules, and one that breaks a rule is told what to write."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.errors import BadInput
from studio.film.look import (
    LEAST_CONTRAST,
    contrast_ratio,
    laid_over,
    load_look,
    rgb,
    worst_contrast,
)
from studio.resources import shipped

CHANNEL = st.integers(0, 255)
COLOUR = st.tuples(CHANNEL, CHANNEL, CHANNEL)


@pytest.mark.parametrize("file", sorted(shipped("overlays").glob("*.yaml")), ids=lambda f: f.stem)
def test_every_shipped_look_is_readable_over_any_footage(file: Path) -> None:
    look = load_look(file.stem)
    for style in (look.measurement, look.caution):
        for colour in (style.heading, style.text, style.quiet):
            for grey in range(256):
                seen = laid_over(rgb(style.plate), style.opacity, (grey, grey, grey))
                assert contrast_ratio(rgb(colour), seen) >= LEAST_CONTRAST


@given(text=COLOUR, plate=COLOUR, footage=COLOUR, opacity=st.floats(0.05, 1))
def test_no_footage_is_worse_than_the_worst(
    text: tuple[int, int, int],
    plate: tuple[int, int, int],
    footage: tuple[int, int, int],
    opacity: float,
) -> None:
    seen = laid_over(plate, opacity, footage)
    assert worst_contrast(text, plate, opacity) <= contrast_ratio(text, seen) + 1e-9


@pytest.fixture
def own_look(tmp_path: Path) -> Callable[[str, str], str]:
    """Load the shipped look with one passage changed; returns what the turner is told."""

    def load(old: str, new: str) -> str:
        text = (shipped("overlays") / "fernhollow.yaml").read_text(encoding="utf-8")
        assert old in text
        (tmp_path / "overlays").mkdir(exist_ok=True)
        (tmp_path / "overlays" / "mine.yaml").write_text(text.replace(old, new), encoding="utf-8")
        with pytest.raises(BadInput) as caught:
            load_look("mine", beside=tmp_path)
        return str(caught.value)

    return load


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ('text: "#fbf4e6"', 'text: "#6f6a60"', "measurement: `text` has a contrast"),
        ("opacity: 0.95", "opacity: 0.35", "caution: `heading` has a contrast"),
        ("edge: 0.05", "edge: 0.02", "margins.edge"),
        ("captions: 0.20 ", "captions: 0.10 ", "margins.captions"),
        ("least: 0.045}   # height", "least: 0.03}   # height", "`figure: least`"),
        ("least: 0.045}    # likewise", "least: 0.04}    # likewise", "`other: least`"),
        ("where: {size: 0.038, least: 0.036}", "where: {size: 0.038, least: 0.03}", "0.036"),
        ("caution: {size: 0.046, least: 0.036}", "caution: {size: 0.03, least: 0.03}", "too small"),
        ("fade_ms: 250", "fade_mss: 250", "write `fade_ms`"),
        ("fade_ms: 250", "", "this key is missing"),
        ("caution: top-right", "caution: top-left", "different sides"),
        ("caution_width: 0.40", "caution_width: 0.52", "would touch"),
        ('plate: "#241c16"', "plate: walnut", '"#rrggbb"'),
        ("margins:", "margins: [", "not YAML"),
    ],
)
def test_a_look_that_breaks_a_rule_is_told(
    own_look: Callable[[str, str], str], old: str, new: str, told: str
) -> None:
    message = own_look(old, new)
    assert told in message
    assert "mine.yaml" in message


def test_the_line_is_named(own_look: Callable[[str, str], str]) -> None:
    text = (shipped("overlays") / "fernhollow.yaml").read_text(encoding="utf-8")
    line = next(i for i, row in enumerate(text.splitlines(), 1) if "edge: 0.05" in row)
    assert f"mine.yaml:{line}:3" in own_look("edge: 0.05", "edge: 0.02")


def test_a_look_beside_the_design_goes_first(tmp_path: Path) -> None:
    text = (shipped("overlays") / "fernhollow.yaml").read_text(encoding="utf-8")
    (tmp_path / "overlays").mkdir()
    own = tmp_path / "overlays" / "fernhollow.yaml"
    own.write_text(text.replace("fade_ms: 250", "fade_ms: 0"), encoding="utf-8")
    assert load_look("fernhollow").fade_ms == 250
    assert load_look("fernhollow", beside=tmp_path).fade_ms == 0


@pytest.mark.parametrize(
    "name", ["../fernhollow", "/etc/passwd", "", "a/b", "nowhere", "..", "a.b"]
)
def test_no_path_and_no_unknown_name(name: str, tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="fernhollow"):
        load_look(name, beside=tmp_path)
