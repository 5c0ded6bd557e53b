"""Rim speeds and ceilings against a table, a units library and what turners print."""

import pint
import pytest

from studio.turning import speed
from studio.turning.speed import Stage

MM = 25.4  # one inch, exact by definition: the test's own, so that a wrong one in the code shows

# v = pi D N / 12, computed apart from this project's code: D in, rpm, ft/min, m/s, D x N
TABLE = [
    (1, 3000, 785.4, 3.99, 3000),
    (3, 2000, 1570.8, 7.98, 6000),
    (6, 1000, 1570.8, 7.98, 6000),
    (12, 600, 1885.0, 9.58, 7200),
    (14, 1000, 3665.2, 18.62, 14000),
]


@pytest.mark.parametrize(("inches", "rpm", "ft_per_min", "m_per_s", "_product"), TABLE)
def test_rim_speed_table(inches, rpm, ft_per_min, m_per_s, _product):
    # half of the table's last place
    assert speed.rim_speed_ft_per_min(inches * MM, rpm) == pytest.approx(ft_per_min, abs=0.0501)
    assert speed.rim_speed_m_per_s(inches * MM, rpm) == pytest.approx(m_per_s, abs=0.00501)


@pytest.mark.parametrize(("inches", "rpm", "_ft", "_m", "product"), TABLE)
def test_a_units_library_agrees(inches, rpm, _ft, _m, product):
    """pint, a general-purpose library of units: its inch, foot and turn, not ours."""
    units = pint.UnitRegistry()
    rim = (inches / 2 * units.inch) * (rpm * units.revolution / units.minute).to("radian/minute")
    feet = (rim / units.radian).to("foot/minute").magnitude
    metres = (rim / units.radian).to("meter/second").magnitude
    assert speed.rim_speed_ft_per_min(inches * MM, rpm) == pytest.approx(feet)
    assert speed.rim_speed_m_per_s(inches * MM, rpm) == pytest.approx(metres)
    assert inches * rpm == product


def test_the_general_and_finish_rules_are_those_told_among_turners():
    # D(in) x rpm = 6000 to 9000, read in a secondary stored text: aawforum.org community thread
    # 17020; as rim speed 1571 to 2356 ft/min, 7.98 to 11.97 m/s (computed)
    for stage, product, ft_per_min, m_per_s in [
        (Stage.GENERAL, 6000, 1571, 7.98),
        (Stage.FINISH, 9000, 2356, 11.97),
    ]:
        for inches in (1.5, 3, 8, 14):
            rpm = speed.rule_speed_rpm(stage, inches * MM)
            assert rpm * inches == pytest.approx(product)
            assert speed.rim_speed_ft_per_min(inches * MM, rpm) == pytest.approx(
                ft_per_min, abs=0.5
            )
            assert speed.rim_speed_m_per_s(inches * MM, rpm) == pytest.approx(m_per_s, abs=0.005)


def test_rim_of_a_large_piece_in_g():
    # "14 in at 1000 rpm, about 200 g", read in a secondary stored text: familywoodworking.org
    # thread 13277; 198.8 computed. Standard gravity 9.80665 m/s2 (SI brochure)
    rim = speed.rim_speed_m_per_s(14 * MM, 1000)
    assert rim**2 / (7 * MM / 1000) / 9.80665 == pytest.approx(198.8, abs=0.05)


# a typical printed table, FROM MEMORY: thickest of the band in inches, then rpm for roughing,
# general cutting and finishing of sound, balanced work. Upper guidance only
PRINTED = [
    (2, 1520, 3000, 3000),
    (4, 760, 1600, 2480),
    (6, 510, 1080, 1650),
    (8, 380, 810, 1240),
    (10, 300, 650, 1000),
    (12, 255, 540, 830),
]
PRINTED_FASTEST = 3000  # the table stops where the lathes of its day did


@pytest.mark.parametrize(("inches", "rough", "general", "finish"), PRINTED)
def test_no_ceiling_is_above_a_typical_printed_table(inches, rough, general, finish):
    for stage, printed in [
        (Stage.ROUGH, rough),
        (Stage.OFF_CENTRE, rough),
        (Stage.GENERAL, general),
        (Stage.SANDING, general),
        (Stage.FINISH, finish),
    ]:
        ceiling = speed.speed_ceiling(stage, inches * MM, lathe_max_rpm=PRINTED_FASTEST)
        assert ceiling.speed_rpm <= printed * (1 + 1e-12)
        # and not absurdly far below it: the two describe the same practice
        if stage not in (Stage.SANDING, Stage.OFF_CENTRE):
            assert ceiling.speed_rpm >= 0.85 * printed


def test_swing_of_a_square_blank():
    # 2 1/2 in square: diagonal 3.54 in (Pythagoras, by hand: the root of 12.5)
    assert speed.square_blank_swing_mm(2.5 * MM) / MM == pytest.approx(12.5**0.5, rel=1e-12)
    # roughing it: 3000 / 3.54 = 848 rpm, where its side alone would have allowed 1200
    swing = speed.square_blank_swing_mm(2.5 * MM)
    assert speed.rule_speed_rpm(Stage.ROUGH, swing) == pytest.approx(848.5, abs=0.05)
