"""Tolerance against a figure cut again with every mark a little off."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.turning import sphere, tolerance
from studio.turning.tolerance import MarkingWay, Measured

diameters = st.floats(min_value=40, max_value=300)


class Cutting:
    """A quarter of the outline, its corners cut at marks that may each be off.

    Lines are (angle of the normal from the equator, distance from the centre) as nominal, but
    held by two points, so that unequal marks tilt a facet as they do at the lathe.
    """

    def __init__(self, diameter, rounds, off):
        self.used = []
        half = diameter / 2
        equator = half + self.take(off, Measured.DIAMETER, 0) / 2
        pole = half + self.take(off, Measured.END, 0) / 2
        # every line by two points, from the equator to the pole; z along the axis, r across it
        self.lines = [((0.0, equator), (pole, equator)), ((pole, equator), (pole, 0.0))]
        sides = 4
        names = (Measured.SET_IN, Measured.SECOND_MARK, Measured.THIRD_MARK)
        for measured in names[:rounds]:
            mark = sphere.corner_mark_mm(diameter, sides)
            lines = [self.lines[0]]
            for corner, (before, after) in enumerate(zip(self.lines, self.lines[1:], strict=False)):
                at = self.crossing(before, after)
                one = self.along(
                    at, before[0], before[1], -(mark + self.take(off, measured, 2 * corner))
                )
                other = self.along(
                    at, after[0], after[1], mark + self.take(off, measured, 2 * corner + 1)
                )
                lines += [(one, other), after]
            self.lines = lines
            sides *= 2

    def take(self, off, measured, which):
        self.used.append((measured, which))
        return off.get((measured, which), 0.0)

    @staticmethod
    def along(at, start, end, distance):
        length = math.dist(start, end)
        return tuple(
            a + (e - s) / length * distance for a, s, e in zip(at, start, end, strict=True)
        )

    @staticmethod
    def crossing(one, other):
        (x1, y1), (x2, y2) = one
        (x3, y3), (x4, y4) = other
        turn = (x1 - x2) * (y3 - y4) - (y1 - y2) * (x3 - x4)
        a, b = x1 * y2 - y1 * x2, x3 * y4 - y3 * x4
        return (a * (x3 - x4) - (x1 - x2) * b) / turn, (a * (y3 - y4) - (y1 - y2) * b) / turn

    def reach(self, facet):
        """Distance from the centre at which a facet crosses its own nominal direction."""
        angle = math.radians(90 * facet / (len(self.lines) - 1))
        direction = ((0.0, 0.0), (math.sin(angle), math.cos(angle)))
        return math.hypot(*self.crossing(self.lines[facet], direction))


@pytest.mark.parametrize("rounds", [1, 2, 3])
def test_every_share_against_the_figure_cut_again(rounds):
    """Each error by itself, a thousandth of a millimetre: how far every facet moves."""
    diameter, small, marking = 60.0, 1e-3, 0.25
    true = Cutting(diameter, rounds, {})
    found = tolerance.sphere_tolerance(
        diameter, rounds=rounds, marking_mm=marking, run_out_mm=0
    ).places
    assert len(found) == len(true.lines) == 2**rounds + 1
    moved = {
        error: [
            (Cutting(diameter, rounds, {error: small}).reach(facet) - true.reach(facet)) / small
            for facet in range(len(true.lines))
        ]
        for error in true.used
    }
    for facet, place in enumerate(found):
        assert true.reach(facet) == pytest.approx(diameter / 2)
        shares = {share.measured: share for share in place.shares}
        for measured in {error[0] for error in true.used}:
            single = [
                abs(by[facet]) * marking for error, by in moved.items() if error[0] is measured
            ]
            worst = shares[measured].worst_mm if measured in shares else 0.0
            rss = shares[measured].rss_mm if measured in shares else 0.0
            assert worst == pytest.approx(sum(single), abs=1e-4)
            assert rss == pytest.approx(math.hypot(*single), abs=1e-4)


@given(diameters, st.floats(min_value=0.5, max_value=2))
def test_errors_follow_the_accuracy_and_not_the_size(diameter, scale):
    one = tolerance.sphere_tolerance(diameter).worst_place
    other = tolerance.sphere_tolerance(
        diameter, marking_mm=0.25 * scale, run_out_mm=0.05 * scale
    ).worst_place
    assert other.worst_mm == pytest.approx(one.worst_mm * scale)
    assert other.rss_mm == pytest.approx(one.rss_mm * scale)
    for like, share in zip(
        tolerance.sphere_tolerance(60).worst_place.shares, one.shares, strict=True
    ):
        assert (like.worst_mm, like.rss_mm) == pytest.approx((share.worst_mm, share.rss_mm))


@given(diameters, st.integers(min_value=1, max_value=3))
def test_worst_case_is_never_less_than_the_root_of_squares(diameter, rounds):
    for place in tolerance.sphere_tolerance(diameter, rounds=rounds).places:
        assert place.rss_mm <= place.worst_mm + 1e-12
        sizes = [share.worst_mm for share in place.shares]
        assert sizes == sorted(sizes, reverse=True)
        assert place.driver is place.shares[0].measured


def test_the_shares_of_a_sphere_name_every_measurement_once():
    shares = tolerance.sphere_tolerance(60).shares
    assert shares[0].measured is Measured.SET_IN
    assert {share.measured for share in shares} == {
        Measured.DIAMETER,
        Measured.END,
        Measured.SET_IN,
        Measured.SECOND_MARK,
        Measured.THIRD_MARK,
        Measured.RUN_OUT,
    }


def test_run_out_moves_the_equator_and_not_the_pole():
    places = tolerance.sphere_tolerance(60, run_out_mm=0.4).places
    at = {
        place.angle_deg: sum(s.worst_mm for s in place.shares if s.measured is Measured.RUN_OUT)
        for place in places
    }
    assert at[0] == pytest.approx(0.2)
    assert at[45] == pytest.approx(0.2 * math.cos(math.pi / 4))
    assert at[90] == 0


def test_marks_shorter_than_the_accuracy_allows_are_refused():
    assert tolerance.sphere_tolerance(8, rounds=2).places
    with pytest.raises(ValueError, match=r"cannot be set out to 0\.25 mm; mark one round less"):
        tolerance.sphere_tolerance(8, rounds=3)


@pytest.mark.parametrize(
    "arguments",
    [
        {"rounds": 0},
        {"rounds": 4},
        {"marking_mm": 0},
        {"marking_mm": math.nan},
        {"run_out_mm": -0.1},
    ],
)
def test_values_out_of_range_are_refused(arguments):
    with pytest.raises(ValueError, match="must be"):
        tolerance.sphere_tolerance(60, **arguments)
    with pytest.raises(ValueError, match="must be more than 0"):
        tolerance.sphere_tolerance(0)


@given(st.floats(min_value=10, max_value=300), st.integers(min_value=3, max_value=96))
def test_dividers_repeat_their_error(diameter, marks):
    """The share of the setting: stepped again with dividers a thousandth of a millimetre wider."""
    small = 1e-6 * diameter
    chord = diameter * math.sin(math.pi / marks)

    def last(setting):
        return (marks - 1) * diameter * math.asin(min(1.0, setting / diameter))

    moved = (last(chord + small) - last(chord - small)) / (2 * small)
    place = tolerance.index_tolerance(diameter, marks, MarkingWay.DIVIDERS, run_out_mm=0)
    (share,) = (share for share in place.shares if share.measured is Measured.DIVIDER_SETTING)
    assert share.worst_mm == pytest.approx(0.25 * moved, rel=1e-3)
    assert place.angle_deg == pytest.approx(360 - 360 / marks)


@pytest.mark.parametrize("way", MarkingWay)
def test_every_way_of_marking(way):
    place = tolerance.index_tolerance(60, 12, way)
    assert place.rss_mm <= place.worst_mm
    assert place.worst_mm >= 0.275
    with pytest.raises(ValueError, match="count of marks"):
        tolerance.index_tolerance(60, 1, way)
    with pytest.raises(ValueError, match="diameter"):
        tolerance.index_tolerance(0, 12, way)


def test_the_plate_is_the_surest_way():
    worst = {way: tolerance.index_tolerance(60, 12, way).worst_mm for way in MarkingWay}
    assert worst[MarkingWay.PLATE] < worst[MarkingWay.STRIP] < worst[MarkingWay.DIVIDERS]
    with pytest.raises(ValueError, match="of 3 or more"):
        tolerance.index_tolerance(60, 2, MarkingWay.DIVIDERS)


def test_an_arc_as_an_angle():
    assert tolerance.arc_angle_deg(math.pi * 60, 60) == pytest.approx(360)
    with pytest.raises(ValueError, match="must be 0 mm or more"):
        tolerance.arc_angle_deg(-1, 60)


class Grooving:
    """Grooves cut in space about axes between marks that may each be off.

    Every error is looked up by name; those that were asked for are kept.
    """

    def __init__(self, diameter, grooves, way, off):
        self.radius, self.off, self.used = diameter / 2, off, []
        marks = 2 * grooves if grooves % 2 == 0 else 4 * grooves
        self.angles = [self.mark(number, marks, way) for number in range(marks)]
        self.planes = []
        for groove in range(grooves):
            start = groove * marks // (2 * grooves) + marks // 4
            ends = [(start + side * marks // 2) % marks for side in (0, 1)]
            self.planes.append(self.plane(groove, ends))

    def take(self, *name):
        self.used.append(name)
        return self.off.get(name, 0.0)

    def mark(self, number, marks, way):
        """Where a mark stands, radians."""
        if way is MarkingWay.DIVIDERS:
            setting = 2 * self.radius * math.sin(math.pi / marks)
            setting += self.take(Measured.DIVIDER_SETTING, 0)
            step = 2 * math.asin(setting / 2 / self.radius)
            placed = sum(self.take(Measured.MARK, before) for before in range(number))
            return number * step + placed / self.radius
        at = 2 * math.pi * self.radius * number / marks + self.take(Measured.MARK, number)
        if way is MarkingWay.STRIP:
            at += self.take(Measured.STRIP_MARK, number)
            # the strip is as long as the ball seems round, and is laid round the ball as it is
            at *= 1 + self.take(Measured.DIAMETER, 0) / (2 * self.radius)
        return at / self.radius

    def plane(self, groove, ends):
        """Its normal and its distance from the centre; the groove is the plane's circle."""
        places = []
        for side, mark in enumerate(ends):
            along = self.take(Measured.POINT, groove, side) / self.radius
            if side == 0:
                along += self.take(Measured.RUN_OUT, groove) / self.radius
            height = self.take("height", groove, side) / self.radius
            at = self.angles[mark] + along
            flat = math.cos(height)
            places.append((flat * math.cos(at), flat * math.sin(at), math.sin(height)))
        way = [a - b for a, b in zip(*places, strict=True)]
        long = math.hypot(*way)
        return [part / long for part in way], self.take(Measured.CUTTER, groove)

    def pole(self, groove):
        """How far the plane passes the pole."""
        normal, distance = self.planes[groove]
        return self.radius * normal[2] - distance

    def land(self, groove):
        """Between this groove's middle and the next one's, along the equator."""
        crossings = []
        for number in (groove, groove + 1):
            normal, distance = self.planes[number % len(self.planes)]
            at = math.atan2(normal[1], normal[0]) - math.pi / 2
            aside = math.asin(distance / self.radius)
            # past the last groove it is the first one's other crossing, on the cut's other side
            crossings.append(at - aside if number >= len(self.planes) else at + aside)
        way = (crossings[1] - crossings[0]) % math.pi
        return self.radius * way


ALLOWED = {Measured.RUN_OUT: 0.05 / 2}


def worst_by_cutting(diameter, grooves, way, measure):
    """Every error moved a little by itself, times how large it may be."""
    used = set(Grooving(diameter, grooves, way, {}).used)
    small = 1e-5

    def moved(name):
        sides = [measure(Grooving(diameter, grooves, way, {name: s * small})) for s in (1, -1)]
        return (sides[0] - sides[1]) / (2 * small) * ALLOWED.get(name[0], 0.25)

    each = [moved(name) for name in used]
    return sum(map(abs, each)), math.hypot(*each)


@pytest.mark.parametrize("way", MarkingWay)
@pytest.mark.parametrize("grooves", [2, 3, 5, 6])
def test_grooves_cut_again_with_every_error(grooves, way):
    found = tolerance.groove_tolerance(60, grooves, way)
    lands = [
        worst_by_cutting(60, grooves, way, lambda cut, k=k: cut.land(k)) for k in range(grooves)
    ]
    worst = max(lands)
    assert found.land.worst_mm == pytest.approx(worst[0], rel=1e-4)
    assert found.land.rss_mm == pytest.approx(worst[1], rel=1e-4)
    told = round(found.land.angle_deg * grooves / 180 - 0.5)
    assert lands[told][0] == pytest.approx(worst[0], rel=1e-6)


def test_a_groove_past_the_pole_cut_again_with_every_error():
    found = tolerance.groove_tolerance(60, 5, MarkingWay.PLATE, run_out_mm=0)
    worst, rss = worst_by_cutting(60, 5, MarkingWay.PLATE, lambda cut: cut.pole(3))
    # a mark may be too high, and the point stand too high on it: the drawing has one for both
    marks = {share.measured: share for share in found.pole.shares}
    assert worst == pytest.approx(0.25 + 0.25)
    assert marks[Measured.CUTTER].worst_mm == pytest.approx(0.25)
    for measured in (Measured.MARK, Measured.POINT):
        assert marks[measured].worst_mm == pytest.approx(worst - 0.25)
        assert marks[measured].rss_mm == pytest.approx(math.sqrt(rss**2 - 0.25**2))
    with_run_out = tolerance.groove_tolerance(60, 5, MarkingWay.PLATE, run_out_mm=0.4)
    assert with_run_out.pole.worst_mm - found.pole.worst_mm == pytest.approx(0.1)


def test_a_single_grooves_lands_change_by_the_cutter_alone():
    found = tolerance.groove_tolerance(60, 1, MarkingWay.DIVIDERS)
    assert found.land.worst_mm == found.land.rss_mm == 0.5
    assert found.land.driver is Measured.CUTTER


@given(diameters, st.integers(min_value=1, max_value=9), st.floats(min_value=0.5, max_value=2))
def test_grooves_are_off_by_the_accuracy_and_not_by_the_size(diameter, grooves, scale):
    one = tolerance.groove_tolerance(60, grooves, MarkingWay.PLATE)
    other = tolerance.groove_tolerance(
        diameter, grooves, MarkingWay.PLATE, marking_mm=0.25 * scale, run_out_mm=0.05 * scale
    )
    for name in ("pole", "land"):
        assert getattr(other, name).worst_mm == pytest.approx(getattr(one, name).worst_mm * scale)
        assert getattr(one, name).rss_mm <= getattr(one, name).worst_mm


def test_values_out_of_range_of_grooves_are_refused():
    for arguments in ({"grooves": 0}, {"diameter_mm": 0}, {"marking_mm": 0}, {"run_out_mm": -1}):
        wanted = {"diameter_mm": 60, "grooves": 6, "way": MarkingWay.PLATE} | arguments
        with pytest.raises(ValueError, match="must be"):
            tolerance.groove_tolerance(**wanted)
