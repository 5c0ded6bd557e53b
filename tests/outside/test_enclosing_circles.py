"""Bundles of wire against circle-packing tables and sampled helices."""

import math

import numpy as np
import pytest
from scipy.optimize import minimize

from studio.turning import hanger

# R/r for n equal circles in a circle: read in a secondary stored text, the encyclopaedia article
# "Circle packing in a circle"; five decimals
PACKING = {1: 1.0, 2: 2.0, 3: 2.15470, 4: 2.41421, 5: 2.70130, 6: 3.0, 7: 3.0}


@pytest.mark.parametrize("strands", PACKING)
def test_straight_bundle_is_the_published_circle(strands):
    ratio = hanger.straight_bundle(strands, 1.0).diameter_mm
    assert ratio == pytest.approx(PACKING[strands], abs=0.5e-5)


@pytest.mark.parametrize("strands", [2, 3, 4, 5])
def test_no_smaller_circle_is_found_by_search(strands):
    """Pack equal circles by a general optimiser from many starts; it never beats the ring."""
    rng = np.random.default_rng(strands)
    pairs = [(a, b) for a in range(strands) for b in range(a)]

    def room(x: np.ndarray) -> np.ndarray:
        places = x[1:].reshape(strands, 2)
        inside = x[0] - 0.5 - np.linalg.norm(places, axis=1)
        apart = [np.linalg.norm(places[a] - places[b]) - 1.0 for a, b in pairs]
        return np.concatenate([inside, apart])

    found = []
    for _ in range(8):
        start = np.concatenate([[2.0], rng.normal(scale=1.0, size=2 * strands)])
        result = minimize(
            lambda x: x[0], start, constraints={"type": "ineq", "fun": room}, method="SLSQP"
        )
        if result.success and room(result.x).min() > -1e-6:
            found.append(2 * result.x[0])
    assert min(found) == pytest.approx(hanger.straight_bundle(strands, 1.0).diameter_mm, abs=1e-4)


def closest_by_sampling(radius: float, pitch: float, strands: int) -> float:
    """Least distance between the middle line of strand 0 and every other, point by point.

    Every pair is looked at, over a turn and a half either way, not only neighbours near by; the
    strand's own next turn as well. Spacing 0.0001 of a turn: the error of a least distance falls
    with the square of it, below 1e-6 of the pitch.
    """
    turn = np.arange(-1.5, 1.5, 1e-4)
    best = math.inf
    for other in range(1, strands):
        angle = 2 * np.pi * (turn + other / strands)
        x, y, z = radius * np.cos(angle) - radius, radius * np.sin(angle), pitch * turn
        best = min(best, float(np.sqrt(x * x + y * y + z * z).min()))
    own = turn[np.abs(turn) > 0.5]
    angle = 2 * np.pi * own
    x, y, z = radius * np.cos(angle) - radius, radius * np.sin(angle), pitch * own
    return min(best, float(np.sqrt(x * x + y * y + z * z).min()))


@pytest.mark.parametrize("strands", [2, 3, 4, 5, 6])
@pytest.mark.parametrize("loose", [1.0001, 1.05, 1.3, 2.0, 6.0])
def test_sampled_helices_just_touch(strands, loose):
    pitch = hanger.tightest_pitch_mm(strands, 0.6438) * loose
    bundle = hanger.twisted_bundle(strands, 0.6438, pitch)
    closest = closest_by_sampling(bundle.helix_radius_mm, pitch, strands)
    assert closest == pytest.approx(0.6438, abs=2e-6)


@pytest.mark.parametrize("strands", [2, 3, 4, 5, 6])
@pytest.mark.parametrize("radius", [0.1, 0.7, 1.0, 1.5, 4.0])
def test_gap_of_neighbours_at_any_radius(strands, radius):
    """Steeper than 45° too (radius above pitch / 2 pi = 0.955), where no bundle is computed.

    No other pair ever comes closer than neighbours do: the sampling looks at all of them.
    """
    gap = hanger.neighbour_gap_mm(radius, 6.0, strands)
    assert gap == pytest.approx(closest_by_sampling(radius, 6.0, strands), abs=2e-6)


def test_seven_strands_leave_room_for_the_one_in_the_middle():
    bundle = hanger.twisted_bundle(7, 0.6438, 7)
    closest = closest_by_sampling(bundle.helix_radius_mm, 7, 6)
    assert closest == pytest.approx(0.6438, abs=2e-6)
    assert bundle.helix_radius_mm >= 0.6438


def test_two_strands_below_their_tightest_pitch_would_overlap():
    """Where the code refuses, two diameters really are too little: the wires would share room."""
    tightest = hanger.tightest_pitch_mm(2, 1.0)
    assert closest_by_sampling(0.5, tightest * 0.9, 2) < 0.999
    assert closest_by_sampling(0.5, tightest * 1.1, 2) == pytest.approx(1.0, abs=1e-6)


# sampled with numpy apart from this project's code (400,001 points a pair, all pairs, bisection
# on the radius) for wire of 0.6438033 mm: strands, pitch, bundle in mm, to three places
SAMPLED = [
    (4, 8, 1.587), (4, 6, 1.618), (4, 5, 1.657), (4, 4, 1.755), (3, 6, 1.404), (3, 4, 1.433),
    (2, 6, 1.288), (2, 2.2, 1.288),
]  # fmt: skip


@pytest.mark.parametrize(("strands", "pitch", "bundle_mm"), SAMPLED)
def test_bundles_found_by_sampling(strands, pitch, bundle_mm):
    bundle = hanger.twisted_bundle(strands, 0.6438033, pitch)
    assert bundle.diameter_mm == pytest.approx(bundle_mm, abs=0.0005)


def test_take_up_by_walking_along_the_helix():
    bundle = hanger.twisted_bundle(4, 0.6438, 6)
    turn = np.linspace(0, 1, 20_001)
    angle = 2 * np.pi * turn
    radius = bundle.helix_radius_mm
    points = np.stack([radius * np.cos(angle), radius * np.sin(angle), 6 * turn])
    walked = np.linalg.norm(np.diff(points, axis=1), axis=0).sum()
    assert bundle.takeup == pytest.approx(walked / 6, rel=1e-7)
    assert bundle.takeup == pytest.approx(1.1227, abs=0.5e-4)
