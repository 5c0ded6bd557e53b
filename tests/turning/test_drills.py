"""Behaviour of drill labels, owned sets and the choice; sizes are checked in tests/outside."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.measure.measurement import System
from studio.turning import drills
from studio.turning.drills import DrillSeries

EVERY = [drill for series in DrillSeries for drill in drills.all_drills(series)]
owned_sets = st.lists(st.sampled_from(EVERY), max_size=12)


@given(st.sampled_from(EVERY))
def test_a_label_reads_back(drill):
    assert drills.parse_drill(drill.label) == drill


@pytest.mark.parametrize(
    ("text", "label"),
    [
        ("no. 51", "#51"),
        ("No 7", "#7"),
        ("number  80", "#80"),
        ("letter f", "F"),
        ("q", "Q"),
        ('1/16"', "1/16 in"),
        ("2/32 in", "1/16 in"),
        ("½ in", "1/2 in"),
        ("1 in", "1 in"),
        ("1.70 mm", "1.7 mm"),
        ("6mm", "6 mm"),
    ],
)
def test_labels_as_turners_write_them(text, label):
    assert drills.parse_drill(text).label == label


@pytest.mark.parametrize("text", ["", "51", "1.7", "1/16", "AA", "#", "drill", "1/0 in", "-1 mm"])
def test_what_is_no_label_is_refused_with_what_to_write(text):
    with pytest.raises(ValueError, match=r"is not a drill; write a number \(#51\)"):
        drills.parse_drill(text)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("#81", "run from 80 to 1"),
        ("#0", "run from 80 to 1"),
        ("1.73 mm", "the nearest is 1.7 mm or 1.75 mm"),
        ("0.1 mm", "the nearest is 0.2 mm"),
        ("26 mm", "the nearest is 25 mm"),
        ("0.03 in", "the nearest is 1/64 in or 1/32 in"),
        ("2 in", "the nearest is 1 in"),
    ],
)
def test_sizes_not_sold_are_refused_with_the_nearest(text, says):
    with pytest.raises(ValueError, match=says):
        drills.parse_drill(text)


def test_systems_follow_the_series():
    assert drills.parse_drill("1.7 mm").system is System.METRIC
    for label in ("#51", "F", "1/16 in"):
        assert drills.parse_drill(label).system is System.IMPERIAL


def test_a_whole_series_is_owned():
    assert len(drills.expand(DrillSeries.NUMBER)) == 80
    assert len(drills.expand(DrillSeries.LETTER)) == 26
    assert len(drills.expand(DrillSeries.FRACTIONAL)) == 64


def test_a_stepped_metric_set():
    owned = drills.expand(DrillSeries.METRIC, 1, 10, 0.5)
    assert [drill.label for drill in owned[:3]] == ["1 mm", "1.5 mm", "2 mm"]
    assert (len(owned), owned[-1].label) == (19, "10 mm")


def test_a_fine_metric_set_holds_no_converted_size():
    owned = drills.expand(DrillSeries.METRIC, 1, 13, 0.1)
    assert len(owned) == 121
    assert all(drill.label == f"{(10 + n) / 10:g} mm" for n, drill in enumerate(owned))


def test_a_fractional_set_by_bounds_and_by_step():
    inch = 25.4
    owned = drills.expand(DrillSeries.FRACTIONAL, inch / 16, inch / 2)
    assert (owned[0].label, owned[-1].label, len(owned)) == ("1/16 in", "1/2 in", 29)
    stepped = drills.expand(DrillSeries.FRACTIONAL, inch / 16, inch / 2, inch / 16)
    assert [drill.label for drill in stepped] == [
        "1/16 in", "1/8 in", "3/16 in", "1/4 in", "5/16 in", "3/8 in", "7/16 in", "1/2 in",
    ]  # fmt: skip


def test_number_sets_may_be_named_from_either_end():
    thick, thin = drills.parse_drill("#1"), drills.parse_drill("#60")
    owned = drills.expand(DrillSeries.NUMBER, thick.diameter_mm, thin.diameter_mm)
    assert (owned[0].label, owned[-1].label, len(owned)) == ("#60", "#1", 60)
    assert owned == drills.expand(DrillSeries.NUMBER, thin.diameter_mm, thick.diameter_mm)


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        ((DrillSeries.METRIC, 1.03, 10, None), "no metric drill of 1.03 mm is sold"),
        ((DrillSeries.METRIC, 1, 10, 0.4), "do not end at 10 mm"),
        ((DrillSeries.METRIC, 3, 4, 0.05), "no metric drill of 3.05 mm is sold"),
        ((DrillSeries.METRIC, 1, 10, 1e-9), "no drills come in steps"),
        ((DrillSeries.METRIC, 1, 10, -0.5), "the step of a drill set must be more than 0"),
        ((DrillSeries.METRIC, 1, 10, math.nan), "the step of a drill set must be more than 0"),
        ((DrillSeries.METRIC, 0, 10, None), "a drill's diameter must be more than 0"),
        ((DrillSeries.NUMBER, None, None, 0.1), "leave the step out"),
        ((DrillSeries.LETTER, None, None, 0.1), "leave the step out"),
    ],
)
def test_sets_that_cannot_be_owned_are_refused(arguments, says):
    with pytest.raises(ValueError, match=says):
        drills.expand(*arguments)


@given(st.floats(min_value=0.2, max_value=30), st.floats(min_value=0, max_value=2), owned_sets)
def test_the_choice_is_the_thinnest_that_fits(bundle, clearance, owned):
    chosen = drills.choose(bundle, clearance, owned)
    slack = drills.SAME_SIZE_MM
    fitting = [d for d in owned if d.diameter_mm >= bundle + clearance - slack]
    if chosen is None:
        assert not fitting
    else:
        assert chosen.diameter_mm == min(d.diameter_mm for d in fitting)


def test_each_system_gives_its_own_size():
    # four strands of 22 AWG at 6 mm pitch, bundle 1.618 mm
    metric = drills.choose(1.618, 0.05, drills.expand(DrillSeries.METRIC, 1, 3, 0.1))
    number = drills.choose(1.618, 0.05, drills.expand(DrillSeries.NUMBER))
    fraction = drills.choose(1.618, 0.05, drills.expand(DrillSeries.FRACTIONAL))
    assert metric is not None
    assert number is not None
    assert fraction is not None
    assert (metric.label, number.label, fraction.label) == ("1.7 mm", "#51", "5/64 in")


def test_decimals_added_in_binary_do_not_push_to_the_next_size():
    # 1.6 + 0.1 is a little more than 1.7 in binary
    metric = drills.expand(DrillSeries.METRIC)
    assert 1.6 + 0.1 > 1.7
    chosen = drills.choose(1.6, 0.1, metric)
    assert chosen is not None
    assert chosen.label == "1.7 mm"


def test_of_equal_sizes_the_one_named_first():
    quarter, letter = drills.parse_drill("1/4 in"), drills.parse_drill("E")
    assert drills.choose(6.3, 0, [quarter, letter]) == quarter
    assert drills.choose(6.3, 0, [letter, quarter]) == letter


def test_nothing_owned_that_fits():
    assert drills.choose(30, 0.1, EVERY) is None
    assert drills.choose(1, 0.1, []) is None


def test_sizes_out_of_range_are_refused():
    with pytest.raises(ValueError, match="bundle's diameter must be more than 0 mm"):
        drills.choose(0, 0.1, EVERY)
    with pytest.raises(ValueError, match="clearance must be 0 mm or more"):
        drills.choose(1, -0.1, EVERY)
