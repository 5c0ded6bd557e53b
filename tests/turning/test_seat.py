"""Laws of the seat in a cup chuck; points of the rim's circle are in tests/outside."""

import math
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio.turning import grooves, seat

counts = st.integers(min_value=1, max_value=10)
shares = st.floats(min_value=0.05, max_value=0.9)
rims = st.floats(min_value=0.05, max_value=0.6)  # of the ball
scales = st.floats(min_value=0.1, max_value=10)


def width_of(count, share):
    return min(share * math.pi * 60 / (2 * count), 20)


@given(counts, shares, rims, scales)
def test_a_seat_does_not_change_with_size(count, share, rim, scale):
    width = width_of(count, share)
    one = seat.last_seat(60, count, width, 60 * rim)
    other = seat.last_seat(60 * scale, count, width * scale, 60 * rim * scale)
    assert other.touching == pytest.approx(one.touching, abs=1e-5)
    assert other.cut_room_deg == pytest.approx(one.cut_room_deg)
    assert other.edge_deg == pytest.approx(one.edge_deg)


@given(st.integers(min_value=2, max_value=9), shares, rims, st.randoms(use_true_random=False))
def test_any_order_ends_with_the_same_seat_and_grows_worse_towards_it(count, share, rim, random):
    width, order = width_of(count, share), random.sample(range(count), count)
    seats = seat.seats_in_order(60, count, width, 60 * rim, order)
    last = seat.last_seat(60, count, width, 60 * rim)
    assert seats[0].touching == 1
    assert seats[0].longest_gap_deg == 0
    assert seats[-1].touching == pytest.approx(last.touching, abs=1e-9)
    assert seats[-1].longest_gap_deg == pytest.approx(last.longest_gap_deg, abs=1e-5)
    for now in seats:
        assert now.touching >= last.touching - 1e-9
        assert now.longest_gap_deg <= last.longest_gap_deg + 1e-5
        assert now.nearest_edge_deg >= last.nearest_edge_deg - 1e-9


def test_a_small_cup_loses_to_the_groove_across_it_alone():
    # a 4 mm cup sees of two grooves only the one through the axis: 5.99 mm wide, all gone
    held = seat.last_seat(60, 2, 6, 4)
    assert (held.touching, held.longest_gap_deg, held.can_tip) == (0, 360, True)


def test_two_grooves_cut_a_rim_twice():
    # the earlier groove runs through the axis: gone where the rim lies within 2.995 mm of it
    held = seat.last_seat(60, 2, 6, 40)
    gone = 4 * math.degrees(math.asin(30 * math.sin(0.1) / 20))
    assert held.touching == pytest.approx(1 - gone / 360)
    assert held.longest_gap_deg == pytest.approx(gone / 2)


def test_the_first_cut_sits_whole_and_has_no_edge_to_mind():
    first = seat.seat_at(60, 6, 6, 40, 0, ())
    assert (first.touching, first.edge_deg, first.keeps, first.can_tip) == (1, None, True, False)
    assert first.nearest_edge_deg == first.cut_room_deg


def test_each_limit_is_enough_to_fail():
    good = {"rim_mm": 40, "groove": 5, "earlier": 5, "touching": 0.7, "longest_gap_deg": 40.0,
            "edge_deg": 5.0, "cut_room_deg": 30.0, "narrow": False}  # fmt: skip
    assert seat.Seat(**good).keeps
    for limit, beyond in (
        ("touching", seat.LEAST_TOUCHING - 0.01),
        ("longest_gap_deg", seat.WIDEST_GAP_DEG + 0.1),
        ("edge_deg", seat.LEAST_EDGE_DEG - 0.1),
        ("cut_room_deg", seat.LEAST_EDGE_DEG - 0.1),
        ("narrow", True),
    ):
        assert not seat.Seat(**{**good, limit: beyond}).keeps
    assert not seat.Seat(**{**good, "longest_gap_deg": 179.9}).can_tip
    assert seat.Seat(**{**good, "longest_gap_deg": 180.0}).can_tip


def test_a_rim_too_small_for_its_ball_never_holds_well():
    """By hand: a quarter of 60 mm is 15 mm; one groove leaves the first seat whole."""
    assert [seat.last_seat(60, 1, 6, rim).verdict for rim in (14.9, 15)] == ["weak", "holds"]
    assert seat.counts_that_keep(60, 6, 14, 3) == ()
    with pytest.raises(ValueError, match="no width"):
        seat.widest_that_keeps_mm(60, 1, 14, 3)
    assert seat.rank_rims(60, 1, 6, (14, 20))[0].rim_mm == 20


def test_rims_are_ranked_those_that_keep_first():
    ranked = seat.rank_rims(60, 6, 6, (20, 24, 26, 30, 34, 40, 48, 54, 60))
    assert sorted(now.rim_mm for now in ranked) == [20, 24, 26, 30, 34, 40, 48, 54]
    # 24, 26 and 48 mm touch well, but an edge runs along each, nearest along 24
    assert [now.rim_mm for now in ranked] == [40, 20, 26, 48, 24, 30, 34, 54]
    assert [now.keeps for now in ranked] == [True, True] + [False] * 6
    for better, worse in pairwise(ranked[5:]):
        assert better.touching / 0.6 >= worse.touching / 0.6


@given(
    st.floats(min_value=20, max_value=200),
    st.floats(min_value=0.02, max_value=0.2),
    st.floats(min_value=0.1, max_value=0.99),
)
def test_the_clearance_is_an_arc_from_the_rim_to_the_groove(diameter, wide, part):
    width, rim = diameter * wide, diameter * part
    # points on the ball: the groove's edge stands half its width from the plane of its middle line,
    # as far from it along the ball as an arc of width / 2; the rim's circle from the axis likewise
    radius = diameter / 2
    edge = radius * (math.pi / 2) - width / 2
    at_rim = radius * math.atan2(rim / 2, math.sqrt(radius**2 - (rim / 2) ** 2))
    assert seat.rim_clear_mm(diameter, width, rim) == pytest.approx(edge - at_rim, abs=1e-6)
    clear = edge - at_rim
    assert seat.keeps_clear(diameter, width, rim, max(0.0, clear - 0.01)) == (clear > 0)
    assert not seat.keeps_clear(diameter, width, rim, max(0.0, clear) + 0.01)
    if clear > 0.01:
        assert seat.widest_rim_mm(diameter, width, clear) == pytest.approx(rim, rel=1e-6)


def test_a_rim_near_the_groove_is_not_ranked():
    # by hand: 59.3 mm on 60 mm stands asin(59.3 / 60) = 81.24° off, the edge 84.27°: 1.59 mm on
    assert seat.rim_clear_mm(60, 6, 59.3) == pytest.approx(1.59, abs=0.01)
    assert [now.rim_mm for now in seat.rank_rims(60, 4, 6, (30, 59.3))] == [59.3, 30]
    assert [now.rim_mm for now in seat.rank_rims(60, 4, 6, (30, 59.3), (), 3)] == [30]
    # 90° less the rim's 56.44° and the clearance's 26.74° leaves half a groove 6.82°: 7.14 mm
    widest = seat.widest_that_keeps_mm(60, 1, 50, 3, (), 14)
    assert widest == pytest.approx(7.14, abs=0.01)
    assert seat.keeps_clear(60, widest, 50, 14)
    assert widest < seat.widest_that_keeps_mm(60, 1, 50, 3)


def test_of_two_whole_seats_the_wider_holds_better():
    assert [now.rim_mm for now in seat.rank_rims(60, 1, 6, (10, 34, 20))] == [34, 20, 10]


def test_counts_that_keep_are_those_and_no_others():
    kept = seat.counts_that_keep(60, 6, 40, 3)
    most = grooves.most_grooves(60, 6, 3)
    assert kept == tuple(n for n in range(1, most + 1) if seat.last_seat(60, n, 6, 40).keeps)
    assert seat.last_seat(60, 6, 6, 40).keeps
    assert not seat.last_seat(60, 4, 6, 40).keeps


@settings(max_examples=40)
@given(st.integers(min_value=1, max_value=8), st.floats(min_value=0.2, max_value=0.8))
def test_the_widest_keeps_and_nothing_wider_does(count, part):
    try:
        widest = seat.widest_that_keeps_mm(60, count, 60 * part, 1)
    except ValueError:
        widest = 0.0
    else:
        assert seat.last_seat(60, count, widest * (1 - 1e-9), 60 * part).keeps
    most = grooves.widest_groove_mm(60, count, 1)
    for step in range(1, 60):
        width = widest + (most - widest) * step / 60
        if width > widest * (1 + 1e-6) and seat.widest_rim_mm(60, width) > 60 * part:
            assert not seat.last_seat(60, count, width, 60 * part).keeps


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: seat.seat_angle_deg(60, 60), "take a narrower cup"),
        (lambda: seat.seat_at(60, 6, 6, 59.8, 0, ()), "take one below 59.7 mm"),
        (lambda: seat.seat_at(60, 6, 6, 40, 6, ()), "groove's number"),
        (lambda: seat.seat_at(60, 6, 6, 40, 1, (1, 2)), "cut once"),
        (lambda: seat.seat_at(60, 6, 6, 40, 1, (2, 2)), "cut once"),
        (lambda: seat.last_seat(60, 16, 6, 40), "leave no land"),
        (lambda: seat.seats_in_order(60, 3, 6, 40, (0, 1)), "each of 3 grooves once"),
        (lambda: seat.rank_rims(60, 6, 6, (60, 70)), "rim must be below 59.7 mm"),
        (lambda: seat.rank_rims(60, 6, 6, ()), "no cup here"),
        (lambda: seat.widest_rim_mm(8, 2, 20), "leaves no rim"),
        (lambda: seat.widest_that_keeps_mm(60, 6, 59.99, 1), "try another cup"),
        (lambda: seat.widest_that_keeps_mm(60, 6, 40, 16), "no room for grooves"),
    ],
)
def test_refusals_say_what_is_wrong_and_what_to_do(call, says):
    with pytest.raises(ValueError, match=says):
        call()


@pytest.mark.parametrize("rim", [20, 34])
@pytest.mark.parametrize("bands", [((0.0, 3.0),), ((20.0, 4.0), (-35.0, 6.0)), ((40.0, 2.0),)])
@pytest.mark.parametrize("count", [1, 4])
def test_rings_take_their_part_of_the_rim(count, bands, rim):
    """40,000 points of the rim's circle, each asked whether a groove or a ring holds it."""
    held = seat.last_seat(60, count, 5, rim, bands)
    alpha, half = math.asin(rim / 60), 5 / 60
    points, kept = 40_000, []
    for step in range(points):
        turn = (step + 0.5) / points * 2 * math.pi
        out = (math.cos(alpha), math.sin(alpha) * math.cos(turn), math.sin(alpha) * math.sin(turn))
        latitude = math.asin(out[2])
        gone = any(abs(latitude - math.radians(at)) < wide / 60 for at, wide in bands)
        for earlier in range(1, count):
            beta = earlier * math.pi / count
            away = out[0] * math.cos(beta) + out[1] * math.sin(beta)
            gone = gone or abs(away) < math.sin(half)
        kept.append(not gone)
    assert held.touching == pytest.approx(sum(kept) / points, abs=1e-3)
    run = longest = 0
    for here in kept + kept:
        run = 0 if here else run + 1
        longest = max(longest, min(run, points))
    assert held.longest_gap_deg == pytest.approx(longest / points * 360, abs=0.03)
