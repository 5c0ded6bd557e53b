"""Behaviour of grit labels and sequences; sizes are checked in tests/outside."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.turning import abrasives
from studio.turning.abrasives import GritFault, GritScale

EVERY = [
    abrasives.find_grit(scale, number)
    for scale, sizes in abrasives.PARTICLE_UM.items()
    for number in sizes
]


def papers(text):
    return [abrasives.parse_grit(label) for label in text.split(", ")]


@pytest.mark.parametrize("scale", GritScale)
def test_a_larger_number_is_finer(scale):
    sizes = abrasives.PARTICLE_UM[scale]
    assert all(a < b for a, b in pairwise(sizes))
    assert all(a > b for a, b in pairwise(sizes.values()))


@given(st.sampled_from(EVERY))
def test_a_label_reads_back(grit):
    assert abrasives.parse_grit(grit.label) == grit
    assert abrasives.parse_grit(f"{grit.label} grit") == grit


@pytest.mark.parametrize(
    ("text", "label"),
    [
        ("p120", "P120"),
        ("P 120", "P120"),
        ("FEPA P 240 grit", "P240"),
        ("P-400", "P400"),
        ("cami 220", "CAMI 220"),
        ("220 CAMI", "CAMI 220"),
    ],
)
def test_labels_as_turners_write_them(text, label):
    assert abrasives.parse_grit(text).label == label


@pytest.mark.parametrize(
    "text", ["", "fine", "P", "grit", "P120 CAMI", "120 mm", "P1.5", "P123456"]
)
def test_what_is_no_label_is_refused(text):
    with pytest.raises(ValueError, match="is not a paper; write P120 or CAMI 120"):
        abrasives.parse_grit(text)


def test_a_bare_number_is_refused():
    with pytest.raises(ValueError, match=r"does not say its scale; write P120 .* or CAMI 120"):
        abrasives.parse_grit("120 grit")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("P130", "P130 is no FEPA P paper; write P120 or P150"),
        ("P9999", "write P2500"),
        ("P1", "write P24"),
        ("CAMI 800", "CAMI 800 is no CAMI paper; write CAMI 600"),
    ],
)
def test_papers_not_held_are_refused_with_the_nearest(text, says):
    with pytest.raises(ValueError, match=says):
        abrasives.parse_grit(text)
    with pytest.raises(ValueError, match="whole number"):
        abrasives.find_grit(GritScale.FEPA_P, 0)


@pytest.mark.parametrize(
    "text", ["P120", "P120, P180, P240, P320, P400, P600", "CAMI 150, CAMI 220, P320", "P100, P150"]
)
def test_a_sound_sequence_has_no_finding(text):
    assert abrasives.sequence_findings(papers(text)) == ()


@pytest.mark.parametrize(
    ("text", "faults"),
    [
        ("P240, P180", [GritFault.COARSER]),
        ("CAMI 400, P600", [GritFault.COARSER]),
        ("P180, P180", [GritFault.NO_FINER]),
        ("P180, CAMI 180", [GritFault.NO_FINER]),
        ("CAMI 320, P400, P600", [GritFault.NO_FINER]),
        ("CAMI 600, P1200", [GritFault.NO_FINER]),  # 2 % coarser: less than charts differ
        ("P120, P220", [GritFault.TOO_FAR]),
        ("P80, P180, P400, P320", [GritFault.TOO_FAR, GritFault.TOO_FAR, GritFault.COARSER]),
    ],
)
def test_faults(text, faults):
    found = abrasives.sequence_findings(papers(text))
    assert [finding.fault for finding in found] == faults


def test_a_finding_tells_its_step_and_ratio():
    (found,) = abrasives.sequence_findings(papers("P80, P120, P220"))
    assert (found.step, found.before.label, found.after.label) == (1, "P120", "P220")
    assert found.ratio == pytest.approx(125 / 68)


@given(st.lists(st.sampled_from(EVERY), min_size=1, max_size=8))
def test_every_step_is_sound_or_found_and_bridges_hold(grits):
    found = {finding.step: finding for finding in abrasives.sequence_findings(grits)}
    for step, (before, after) in enumerate(pairwise(grits)):
        ratio = before.particle_um / after.particle_um
        assert (step in found) == (not 1 / 0.95 <= ratio <= 1.7)
        if step in found and found[step].between:
            bridged = [before, *found[step].between, after]
            assert abrasives.sequence_findings(bridged) == ()
            assert {grit.scale for grit in found[step].between} == {after.scale}
        elif step in found:
            assert found[step].fault is not GritFault.TOO_FAR


def test_no_paper_is_refused():
    with pytest.raises(ValueError, match="at least one paper"):
        abrasives.sequence_findings([])
