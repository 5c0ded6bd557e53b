"""Wire gauges against the printed tables."""

from itertools import pairwise

import pytest

from studio.turning import wire

# ASTM B258, computed from its formula (read in a secondary stored text: liquisearch.com
# american_wire_gauge/formula, citing B258-02) and tabulated to 0.0001 in and 0.001 mm
TABLE = {
    16: (0.0508, 1.291), 17: (0.0453, 1.150), 18: (0.0403, 1.024), 19: (0.0359, 0.912),
    20: (0.0320, 0.812), 21: (0.0285, 0.723), 22: (0.0253, 0.644), 23: (0.0226, 0.573),
    24: (0.0201, 0.511), 25: (0.0179, 0.455), 26: (0.0159, 0.405), 27: (0.0142, 0.361),
    28: (0.0126, 0.321), 29: (0.0113, 0.286), 30: (0.0100, 0.255),
}  # fmt: skip

# read in a secondary stored text: simetric.co.uk/siwire.htm, AWG and SWG columns, inch
AWG_THICK_IN = {
    -3: 0.460000, -2: 0.409642, -1: 0.364796, 0: 0.324861, 1: 0.289297, 2: 0.257627,
    3: 0.229423,
}  # fmt: skip
AWG_THIN_IN = {31: 0.0089, 33: 0.0071, 36: 0.0050, 38: 0.0040, 40: 0.0031}

# read in a secondary stored text: dukedog.co.uk/SWG.html, inch and mm to two places. Its row for
# 28 prints 0.0149 in, a slip (the other table has 0.0148), so only the mm are taken from it there
SWG = {
    0: (0.3240, 8.23), 8: (0.1600, 4.06), 12: (0.1040, 2.64), 14: (0.0800, 2.03),
    16: (0.0640, 1.63), 18: (0.0480, 1.22), 19: (0.0400, 1.02), 20: (0.0360, 0.91),
    21: (0.0320, 0.81), 22: (0.0280, 0.71), 23: (0.0240, 0.61), 24: (0.0220, 0.56),
    25: (0.0200, 0.51), 26: (0.0180, 0.46), 27: (0.0164, 0.42), 28: (0.0148, 0.38),
}  # fmt: skip

MM = 25.4  # one inch, exact by definition: the test's own, so that a wrong one in the code shows


@pytest.mark.parametrize("number", TABLE)
def test_awg_as_tabulated(number):
    inches, mm = TABLE[number]
    # half of the table's last place
    assert wire.awg_diameter_mm(number) / MM == pytest.approx(inches, abs=0.5001e-4)
    assert wire.awg_diameter_mm(number) == pytest.approx(mm, abs=0.5001e-3)


@pytest.mark.parametrize("number", AWG_THICK_IN)
def test_thick_awg(number):
    # half of the sixth place; the source cuts some figures off instead of rounding, hence a whole
    assert wire.awg_diameter_mm(number) / MM == pytest.approx(AWG_THICK_IN[number], abs=1e-6)


@pytest.mark.parametrize("number", AWG_THIN_IN)
def test_thin_awg(number):
    assert wire.awg_diameter_mm(number) / MM == pytest.approx(AWG_THIN_IN[number], abs=0.5001e-4)


def test_awg_anchors_and_step():
    # ASTM B258: 36 is 0.0050 in, 0000 is 0.4600 in, each step 1.1229322
    assert wire.awg_diameter_mm(36) / MM == pytest.approx(0.0050, rel=1e-12)
    assert wire.awg_diameter_mm(-3) / MM == pytest.approx(0.4600, rel=1e-12)
    for number in range(-3, 40):
        step = wire.awg_diameter_mm(number) / wire.awg_diameter_mm(number + 1)
        assert step == pytest.approx(1.1229322, abs=0.5e-7)


@pytest.mark.parametrize("number", SWG)
def test_swg_as_tabulated(number):
    inches, mm = SWG[number]
    assert wire.swg_diameter_mm(number) / MM == pytest.approx(inches, abs=1e-9)
    assert wire.swg_diameter_mm(number) == pytest.approx(mm, abs=0.00501)


def test_swg_22_from_memory():
    assert wire.swg_diameter_mm(22) == pytest.approx(0.711, abs=0.0005)


def test_thin_swg_runs_in_even_steps():
    # read in a secondary stored text (owiki.org/wiki/Standard_wire_gauge): constant steps from 39
    # to 30; their size, 0.8 thou, is the difference of the ends of simetric.co.uk's table
    steps = [a - b for a, b in pairwise(wire.swg_diameter_mm(n) / MM for n in range(30, 40))]
    assert steps == pytest.approx([0.0008] * 9, abs=1e-9)


def test_swg_weight_falls_by_a_fifth_a_step():
    # same source: weight per length falls by about 20 % a gauge on average, the diameter by 10.6 %
    ratio = (wire.swg_diameter_mm(40) / wire.swg_diameter_mm(0)) ** (1 / 40)
    assert ratio == pytest.approx(1 - 0.106, abs=0.01)
