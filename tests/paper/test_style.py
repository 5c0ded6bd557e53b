"""The one style sheet: readable in light, in dark and on paper."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import studio.paper

TEMPLATES = Path(studio.paper.__file__).parent / "templates"
CSS = (TEMPLATES / "paper.css").read_text(encoding="utf-8")
DARK = (TEMPLATES / "dark.css").read_text(encoding="utf-8")

PAIRS = [
    ("ink", "page"),
    ("ink", "card"),
    ("soft", "page"),
    ("soft", "card"),
    ("accent", "page"),
    ("accent-ink", "accent"),
    ("warn", "warn-page"),
    ("ink", "warn-page"),
]


def colours() -> dict[str, dict[str, str]]:
    """The three sets of colours."""
    sets = [
        dict(re.findall(r"--([\w-]+):\s*(#[0-9a-f]+);", block))
        for sheet in (CSS, DARK)
        for block in re.findall(r":root\s*\{(.*?)\}", sheet, re.DOTALL)
    ]
    return dict(zip(("light", "print", "dark"), sets, strict=True))


def luminance(colour: str) -> float:
    """Relative luminance as WCAG 2.2 defines it (with the threshold 0.04045)."""
    digits = colour.removeprefix("#")
    if len(digits) == 3:
        digits = "".join(digit * 2 for digit in digits)
    channels = [int(digits[at : at + 2], 16) / 255 for at in (0, 2, 4)]
    red, green, blue = (
        c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def test_contrast_is_computed_as_wcag_does() -> None:
    """Black on white is 21 : 1; #767676 on white is the well-known grey just above 4.5 : 1."""
    assert contrast("#000", "#fff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)


@pytest.mark.parametrize("scheme", ["light", "dark", "print"])
@pytest.mark.parametrize(("front", "back"), PAIRS)
def test_words_stand_out(scheme: str, front: str, back: str) -> None:
    """WCAG 2.2, success criterion 1.4.3: at least 4.5 : 1."""
    found = colours()[scheme]
    assert contrast(found[front], found[back]) >= 4.5


def test_figures_on_the_cut_sheet_are_at_least_18_points_in_print() -> None:
    printed = CSS[CSS.index("@media print") :]
    size = re.search(r"\.cuts \.big \{ font-size: ([\d.]+)pt; \}", printed)
    assert size is not None
    assert float(size[1]) >= 18
