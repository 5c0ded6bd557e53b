"""Particle sizes of abrasive papers against published charts."""

import pytest

from studio.turning import abrasives
from studio.turning.abrasives import GritFault, GritScale

# read in a secondary stored text: ruddwoodfinishes.com/finishing/sandpaper-grit-comparisons, µm
CHART_P = {
    80: 200, 100: 162, 120: 125, 150: 100, 180: 82, 220: 68, 240: 60, 280: 52, 320: 46, 360: 40,
    400: 35, 500: 30, 600: 26, 800: 22, 1000: 18, 1200: 15, 1500: 13, 2000: 10, 2500: 8.4,
}  # fmt: skip
# the coarse ones, read in a secondary stored text: sizes.com/tools/sandpaper.htm
CHART_P_COARSE = {24: 764, 30: 642, 36: 538, 40: 425, 50: 336, 60: 269}
# ISO 6344 grades from memory, µm
ISO_6344 = {
    80: 201, 100: 162, 120: 125, 150: 100, 180: 82, 220: 68, 240: 58.5, 280: 52.2, 320: 46.2,
    360: 40.5, 400: 35.0, 500: 30.2, 600: 25.8, 800: 21.8, 1000: 18.3, 1200: 15.3, 1500: 12.6,
    2000: 10.3,
}  # fmt: skip
# read in a secondary stored text: stusshed.wordpress.com/2008/03/24, µm. The shipped CAMI sizes
# come from two other charts.
TABLE_CAMI = {
    24: 708, 30: 632, 36: 530, 40: 425, 50: 348, 60: 265, 80: 190, 100: 140, 120: 115, 150: 92,
    180: 82, 220: 68, 240: 53, 320: 36, 360: 28, 400: 23,
}  # fmt: skip
# the same table where charts are known to differ: by a tenth
TABLE_CAMI_FINE = {500: 20, 600: 16}
# the first chart, µm
CHART_CAMI = {
    80: 192, 120: 116, 150: 93, 180: 82, 220: 68, 240: 52, 280: 42, 320: 35, 360: 28, 400: 22,
    500: 18, 600: 15,
}  # fmt: skip

CHECKS = [
    (GritScale.FEPA_P, CHART_P, 0.05),
    (GritScale.FEPA_P, CHART_P_COARSE, 0.05),
    (GritScale.FEPA_P, ISO_6344, 0.001),
    (GritScale.CAMI, TABLE_CAMI, 0.05),
    (GritScale.CAMI, TABLE_CAMI_FINE, 0.11),
    (GritScale.CAMI, CHART_CAMI, 0.05),
]


@pytest.mark.parametrize(("scale", "chart", "part"), CHECKS)
def test_charts(scale, chart, part):
    found = {number: abrasives.find_grit(scale, number).particle_um for number in chart}
    assert found == pytest.approx(chart, rel=part)


def test_every_shipped_size_is_checked_here():
    for scale, shipped in abrasives.PARTICLE_UM.items():
        charted = {number for where, chart, _ in CHECKS if where is scale for number in chart}
        assert set(shipped) == charted


def test_cami_400_is_like_p800_and_finer_than_p600():
    # told by three of the charts above, and by woodcraft.com's article 690 (secondary stored text)
    cami = abrasives.parse_grit("CAMI 400")
    p800, p600 = abrasives.parse_grit("P800"), abrasives.parse_grit("P600")
    assert cami.particle_um == pytest.approx(p800.particle_um, rel=0.05)
    (found,) = abrasives.sequence_findings([cami, p600])
    assert found.fault is GritFault.COARSER
