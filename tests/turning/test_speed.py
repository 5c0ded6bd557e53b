"""Behaviour of speed ceilings and swings; values are checked in tests/outside."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.turning import speed
from studio.turning.speed import RuledBy, Stage

swings = st.floats(min_value=5, max_value=600)
speeds = st.floats(min_value=1, max_value=10000)
stages = st.sampled_from(Stage)


def test_every_stage_has_a_rule_with_words_and_source():
    assert set(speed.RULES) == set(Stage)
    for rule in speed.RULES.values():
        assert f"{rule.inch_rpm:,.0f}" in rule.words
        assert rule.source


@given(stages, swings, speeds, st.none() | speeds)
def test_the_ceiling_is_the_least_limit_and_names_it(stage, swing, lathe, chuck):
    ceiling = speed.speed_ceiling(stage, swing, lathe_max_rpm=lathe, chuck_max_rpm=chuck)
    limits = {RuledBy.RULE: ceiling.rule_rpm, RuledBy.LATHE: lathe}
    if chuck is not None:
        limits[RuledBy.CHUCK] = chuck
    assert ceiling.speed_rpm == min(limits.values())
    assert limits[ceiling.ruled_by] == ceiling.speed_rpm


@given(stages, swings, st.floats(min_value=1.01, max_value=10))
def test_twice_the_swing_is_half_the_speed(stage, swing, scale):
    assert speed.rule_speed_rpm(stage, swing * scale) == pytest.approx(
        speed.rule_speed_rpm(stage, swing) / scale
    )


@pytest.mark.parametrize(
    ("lathe", "chuck", "ruled_by"),
    [(500, 1000, RuledBy.LATHE), (2000, 1000, RuledBy.CHUCK), (2000, 1500, RuledBy.RULE)],
)
def test_which_of_them_ruled(lathe, chuck, ruled_by):
    # 63.5 mm roughing: 3000 / 2.5 in = 1200 rpm
    ceiling = speed.speed_ceiling(Stage.ROUGH, 63.5, lathe_max_rpm=lathe, chuck_max_rpm=chuck)
    assert ceiling.ruled_by is ruled_by
    assert ceiling.rule_rpm == pytest.approx(1200)


def test_at_a_tie_the_machines_plate_is_named():
    rule = speed.rule_speed_rpm(Stage.ROUGH, 63.5)
    ceiling = speed.speed_ceiling(Stage.ROUGH, 63.5, lathe_max_rpm=5000, chuck_max_rpm=rule)
    assert ceiling.ruled_by is RuledBy.CHUCK


@given(swings, st.floats(min_value=0, max_value=100))
def test_off_centre_swings_wider_by_twice_the_offset(swing, offset):
    assert speed.off_centre_swing_mm(swing, offset) == pytest.approx(2 * (swing / 2 + offset))


@given(swings, swings)
def test_a_rectangular_blank_swings_its_diagonal(width, height):
    diagonal = speed.square_blank_swing_mm(width, height)
    # farthest corner from the middle, found among all four
    corners = [abs(complex(x * width / 2, y * height / 2)) for x in (-1, 1) for y in (-1, 1)]
    assert diagonal == pytest.approx(2 * max(corners))
    assert speed.square_blank_swing_mm(width) == speed.square_blank_swing_mm(width, width)


@given(swings, speeds)
def test_the_rim_passes_one_circumference_a_turn(diameter, rpm):
    metres = speed.rim_speed_m_per_s(diameter, rpm) * 60 / rpm
    feet = speed.rim_speed_ft_per_min(diameter, rpm) / rpm
    assert metres * 1000 == pytest.approx(math.pi * diameter)
    assert feet * 304.8 == pytest.approx(math.pi * diameter)


def test_a_rim_at_rest_does_not_move():
    assert speed.rim_speed_m_per_s(60, 0) == 0


@pytest.mark.parametrize("bad", [0, -1, math.nan, math.inf])
def test_values_out_of_range_are_refused(bad):
    for call in (
        lambda: speed.square_blank_swing_mm(bad),
        lambda: speed.square_blank_swing_mm(60, bad),
        lambda: speed.off_centre_swing_mm(bad, 5),
        lambda: speed.rule_speed_rpm(Stage.ROUGH, bad),
        lambda: speed.speed_ceiling(Stage.ROUGH, 60, lathe_max_rpm=bad),
        lambda: speed.speed_ceiling(Stage.ROUGH, 60, lathe_max_rpm=3000, chuck_max_rpm=bad),
        lambda: speed.rim_speed_m_per_s(bad, 1000),
        lambda: speed.rim_speed_ft_per_min(bad, 1000),
    ):
        with pytest.raises(ValueError, match="must be more than 0"):
            call()
    if bad != 0:
        with pytest.raises(ValueError, match="must be 0 mm or more"):
            speed.off_centre_swing_mm(60, bad)
        with pytest.raises(ValueError, match="must be 0 rpm or more"):
            speed.rim_speed_m_per_s(60, bad)
