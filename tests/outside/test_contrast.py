"""Contrast of lettering, against published values of the WCAG 2 formula."""

from __future__ import annotations

import pytest

from studio.film.look import Rgb, contrast_ratio, rgb


def test_black_on_white_is_the_greatest_contrast() -> None:
    # WCAG 2.1, definition of contrast ratio: "Contrast ratios can range from 1 to 21".
    assert contrast_ratio((0, 0, 0), (255, 255, 255)) == pytest.approx(21.0, abs=1e-9)
    assert contrast_ratio((18, 52, 86), (18, 52, 86)) == 1.0


@pytest.mark.parametrize(
    ("one", "other", "published"),
    [
        # Printed in a book's chapter on accessible colour, livebook.manning.com: two decimals.
        ((0, 0, 255), (255, 255, 255), 8.59),
        ((0, 0, 255), (255, 0, 0), 2.15),
    ],
)
def test_published_to_two_decimals(one: Rgb, other: Rgb, published: float) -> None:
    assert contrast_ratio(one, other) == pytest.approx(published, abs=0.005)
    assert contrast_ratio(other, one) == contrast_ratio(one, other)


def test_published_in_full() -> None:
    # Readme of the npm package contrast-ratio-checker.
    assert contrast_ratio((255, 129, 0), (100, 0, 58)) == pytest.approx(
        5.235369975583679, rel=1e-12
    )


@pytest.mark.parametrize(
    ("grey", "passes"),
    [
        # The well-known pair either side of 4.5:1 on white, common practice, no source;
        # from the WCAG formula by hand: 4.478 and 4.542.
        ("#777777", False),
        ("#767676", True),
    ],
)
def test_either_side_of_level_aa(grey: str, passes: bool) -> None:
    assert (contrast_ratio(rgb(grey), (255, 255, 255)) >= 4.5) is passes
