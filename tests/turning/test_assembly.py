"""Parts put together: where a shoulder rests and what is left round a bore, by brute force."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.turning.assembly import resting, thinnest_round_bore_mm
from studio.turning.cutters import cove_section, surface_radius_mm, vee_section
from studio.turning.profile import Profile, bead, cove, fillet, radius_mm, taper, tenon


@pytest.mark.parametrize("grooves", [1, 2, 3, 6, 12])
@pytest.mark.parametrize(("shoulder", "hole"), [(10, 0), (16, 8), (26, 16), (40, 5)])
def test_nothing_stands_above_a_resting_shoulder(
    grooves: int, shoulder: float, hole: float
) -> None:
    """24,000 directions to the real surface from one groove's line to the next."""
    section = cove_section(72, 4, 7.2)
    seat = resting(72, section, grooves, shoulder, hole)
    highest, lowest = 0.0, 100.0
    for step in range(400):
        polar = step / 400 * math.asin(min(1.0, shoulder / 2 / 30))
        for part in range(61):
            turn = part / 60 * math.pi / grooves
            off = min(
                abs(math.asin(math.sin(polar) * math.sin(turn - k * math.pi / grooves)))
                for k in range(grooves)
            )
            far = surface_radius_mm(section, off)
            if hole / 2 <= far * math.sin(polar) <= shoulder / 2:
                highest = max(highest, far * math.cos(polar))
                lowest = min(lowest, far * math.cos(polar))
    assert highest <= seat.height_mm + 1e-6
    assert highest == pytest.approx(seat.height_mm, abs=0.05)
    assert lowest == pytest.approx(seat.height_mm - seat.daylight_mm, abs=0.05)


def test_on_a_plain_ball_the_rim_of_the_hole_carries_it() -> None:
    assert resting(60, None, 0, 16, 8).height_mm == pytest.approx(math.sqrt(30**2 - 4**2))
    assert resting(60, None, 0, 16).height_mm == pytest.approx(30)
    daylight = resting(60, None, 0, 16, 8).daylight_mm
    assert daylight == pytest.approx(math.sqrt(30**2 - 4**2) - math.sqrt(30**2 - 8**2))


@pytest.mark.parametrize(("shoulder", "hole"), [(8, 8), (6, 8), (60, 8), (59.9, 61)])
def test_a_shoulder_that_cannot_rest(shoulder: float, hole: float) -> None:
    with pytest.raises(ValueError, match="does not rest"):
        resting(60, None, 0, shoulder, hole)


@given(st.floats(0.5, 3), st.integers(1, 8))
def test_resting_scales(factor: float, grooves: int) -> None:
    one = resting(60, vee_section(60, 90, 5), grooves, 18, 6)
    other = resting(
        60 * factor, vee_section(60 * factor, 90, 5 * factor), grooves, 18 * factor, 6 * factor
    )
    assert other.height_mm == pytest.approx(one.height_mm * factor, rel=1e-6)
    assert other.daylight_mm == pytest.approx(one.daylight_mm * factor, rel=1e-4)


CAP = Profile((fillet(2, 8), cove(7, 6.5, 8, 11), bead(5, 17, 13, 14), tenon(8, 15)))


@pytest.mark.parametrize(("start", "end"), [(0, 12), (0, 2), (3, 8), (0, 22)])
def test_wood_round_a_bore_by_many_places(start: float, end: float) -> None:
    places = [start + (end - start) * step / 20_000 for step in range(20_001)]
    least = min(radius_mm(CAP, place) for place in places) - 0.85
    wood, at = thinnest_round_bore_mm(CAP, start, end, 1.7)
    # radius_mm() gives the larger radius at a step, so it can only miss a thinner side by a hair
    assert wood == pytest.approx(least, abs=1e-3)
    assert start <= at <= end


def test_a_bore_that_comes_out_leaves_less_than_nothing() -> None:
    wood, at = thinnest_round_bore_mm(Profile((taper(20, 0, 10),)), 0, 20, 4)
    assert wood == pytest.approx(-2)
    assert at == 0
