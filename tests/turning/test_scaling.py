"""One law for the whole layer: a design k times as large has lengths k, areas k², volumes k³ times.

Angles, counts and ratios stay. Figures are not rounded here; what is chosen from real sizes
(drills, cutters) or set by a hand's accuracy does not scale and is not asked.
"""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio.turning import (
    assembly,
    bench,
    cutters,
    form,
    grooves,
    hanger,
    hollow,
    indexing,
    profile,
    rings,
    seat,
    speed,
    sphere,
    stock,
)
from studio.turning.cutters import Cutter, Keep, VeeCutter
from studio.turning.piece import Bore, Globe, RingCut
from studio.turning.profile import Profile


def cove(k):
    return cutters.cove_section(60 * k, 3.349 * k, 6 * k)


def vee(k):
    return cutters.vee_section(60 * k, 90, 5 * k)


def finial(k):
    return Profile(
        (
            profile.bead(9 * k, 8 * k, 0, 4 * k),
            profile.cove(12 * k, 3 * k, 4 * k, 6 * k),
            profile.fillet(1.5 * k, 8 * k),
            profile.ogee(9 * k, 10 * k, 18 * k),
            profile.taper(20 * k, 18 * k, 12 * k),
            profile.tenon(12 * k, 8 * k),
        )
    )


def globe(k):
    return Globe(
        60 * k,
        5,
        cove(k),
        (RingCut(25, vee(k)), RingCut(-40, cove(k))),
        44 * k,
        (Bore(0, 30 * k, 16 * k),),
    )


def cuts(k):
    return (RingCut(25, vee(k)), RingCut(-40, cove(k)))


def owned(k):
    return [Cutter("narrow", 3 * k), Cutter("wide", 3.6 * k)]


def bundle(k):
    return hanger.twisted_bundle(4, 0.64 * k, 6 * k)


def loop(k):
    return {
        "mandrel_diameter_mm": 6 * k,
        "wire_diameter_mm": 0.64 * k,
        "cable_length_mm": 30 * k,
        "takeup": bundle(k).takeup,
        "clamped_mm": 10 * k,
    }


BOARD = {"board_length_mm": 600, "board_width_mm": 150, "board_thickness_mm": 70, "kerf_mm": 3}

LENGTHS = {
    "octagon side": lambda k: sphere.octagon_side_mm(60 * k),
    "set-in": lambda k: sphere.set_in_mm(60 * k),
    "bench side": lambda k: sphere.bench_octagon_side_mm(60 * k),
    "bench set-in": lambda k: sphere.bench_set_in_mm(60 * k),
    "second mark": lambda k: sphere.second_mark_mm(60 * k),
    "bench second mark": lambda k: sphere.bench_second_mark_mm(60 * k),
    "third mark": lambda k: sphere.third_mark_mm(60 * k),
    "end limit": lambda k: sphere.end_limit_mm(60 * k, 16),
    "corner proud": lambda k: sphere.corner_proud_mm(60 * k, 8),
    "facet proud": lambda k: sphere.corner_cut(60 * k, 8, 6.2 * k).facet_proud_mm,
    "circumference": lambda k: indexing.circumference_mm(60 * k),
    "strip": lambda k: indexing.strip_spacing_mm(60 * k, 12),
    "dividers": lambda k: indexing.divider_setting_mm(60 * k, 12),
    "closing error": lambda k: indexing.closing_error_mm(60 * k, 12, 15.6 * k),
    "straight width": lambda k: cutters.width_chord_mm(60 * k, 6 * k),
    "cove radius": lambda k: cutters.cove_radius_mm(60 * k, 6 * k, 2 * k),
    "flat cove radius": lambda k: cutters.flat_cove_radius_mm(6 * k, 2 * k),
    "cove depth": lambda k: cutters.cove_depth_mm(60 * k, 3.5 * k, 6 * k),
    "cove width": lambda k: cutters.cove_width_mm(60 * k, 3.5 * k, 2 * k),
    "deepest cove": lambda k: cutters.deepest_cove_mm(60 * k, 3 * k),
    "V depth": lambda k: cutters.vee_depth_mm(60 * k, 90, 6 * k),
    "V width": lambda k: cutters.vee_width_mm(60 * k, 90, 2 * k),
    "flared width": lambda k: cutters.flared_width_mm(60 * k, 6 * k, 0.5 * k),
    "round-over": lambda k: cutters.roundover_radius_mm(60 * k, 3.349 * k, 6 * k, 0.5 * k),
    "chamfer": lambda k: cutters.chamfer_depth_mm(60 * k, 3.349 * k, 6 * k, 0.3 * k),
    "half width": lambda k: cutters.cut_half_width_mm(cove(k), 29 * k),
    "surface": lambda k: cutters.surface_radius_mm(vee(k), 0.04),
    "snapped depth": lambda k: cutters.snap_cove(60 * k, 6 * k, 2 * k, owned(k)).depth_mm,
    "snapped width": (
        lambda k: cutters.snap_cove(60 * k, 6 * k, 2 * k, owned(k), Keep.DEPTH).width_mm
    ),
    "snapped V": (
        lambda k: cutters.snap_vee(60 * k, 6 * k, 2 * k, [VeeCutter("120", 120)]).depth_mm
    ),
    "equator land": lambda k: grooves.equator_land_mm(60 * k, 6, 6 * k),
    "land at 40°": lambda k: grooves.land_at_latitude_mm(60 * k, 6, 6 * k, 40),
    "merged cap": lambda k: grooves.merged_cap_mm(60 * k, 6, 6 * k),
    "core": lambda k: grooves.core_radius_mm(60 * k, 2 * k),
    "height": lambda k: grooves.height_at_poles_mm(60 * k, 2 * k),
    "widest groove": lambda k: grooves.widest_groove_mm(60 * k, 6, 5 * k),
    "deepest groove": lambda k: grooves.deepest_groove_mm(60 * k, 6, 6 * k, 5 * k),
    "axis miss": lambda k: grooves.axis_miss_mm(60 * k, 1),
    "edge at the point": lambda k: grooves.cut_axes(60 * k, 5, 6 * k)[4].edge_mm,
    "rim drop": lambda k: grooves.pole_hole(cove(k), 6, 4 * k, 20 * k).rim_drop_mm,
    "wood beyond": lambda k: grooves.pole_hole(cove(k), 6, 4 * k, 20 * k).wood_beyond_mm,
    "shoulder": lambda k: assembly.resting(60 * k, cove(k), 3, 10 * k).height_mm,
    "shoulder round a hole": lambda k: (
        assembly.resting(60 * k, cove(k), 6, 16 * k, 8 * k).height_mm
    ),
    "ring's circle": lambda k: grooves.ring(60 * k, 30).diameter_mm,
    "ring's dividers": lambda k: grooves.ring(60 * k, 30).divider_mm,
    "ring's arc": lambda k: grooves.ring(60 * k, 30).arc_mm,
    "ring land": lambda k: grooves.ring_land_mm(60 * k, 0, 30, 6 * k),
    "lands beside rings": lambda k: rings.ring_lands(cuts(k), top_hole_mm=9 * k)[2].land_mm,
    "widest ring": lambda k: rings.widest_ring_mm(60 * k, 50, 9 * k, 2 * k),
    "ring's bottom": lambda k: rings.ring_edges(cuts(k)[0]).bottom_diameter_mm,
    "widest rim": lambda k: seat.widest_rim_mm(60 * k, 6 * k),
    "widest that keeps": lambda k: seat.widest_that_keeps_mm(60 * k, 6, 40 * k, 3 * k),
    "hollow": lambda k: hollow.hollow_diameter_mm(60 * k, 5 * k),
    "reach in": lambda k: hollow.cutter_reach(60 * k, 5 * k, 20 * k).depth_mm,
    "reach sideways": lambda k: hollow.cutter_reach(60 * k, 5 * k, 20 * k).side_mm,
    "thinnest": lambda k: hollow.thinnest_wall(60 * k, 5 * k, 2 * k, 3 * k, 0.5 * k).crossing_mm,
    "profile": lambda k: finial(k).length_mm,
    "radius": lambda k: profile.radius_mm(finial(k), 14 * k),
    "outline": lambda k: profile.outline(finial(k), 0.05 * k)[7][1],
    "station": lambda k: bench.stations(finial(k), 4 * k, k)[3].setting_mm,
    "parting": lambda k: bench.parting_cuts(finial(k), 22 * k, 3 * k, k)[1].depth_mm,
    "neck": lambda k: bench.necks(finial(k))[0].diameter_mm,
    "slender run": lambda k: bench.slenderest_run(finial(k)).end_mm,
    "tenon": lambda k: bench.tenon_for_hole_mm(8 * k, 0.1 * k),
    "gap": lambda k: bench.tenon_joint(7.8 * k, 10 * k, 8 * k, 12 * k).gap_mm,
    "round a bore": (
        lambda k: assembly.thinnest_round_bore_mm(finial(k), 30 * k, 60 * k, 3 * k)[0]
    ),
    "straight bundle": lambda k: hanger.straight_bundle(5, 0.64 * k).diameter_mm,
    "twisted bundle": lambda k: bundle(k).diameter_mm,
    "tightest pitch": lambda k: hanger.tightest_pitch_mm(4, 0.64 * k),
    "wire to cut": lambda k: hanger.wire_to_cut_mm(**loop(k)),
    "all wire": lambda k: hanger.wires_to_cut(5, **loop(k)).total_mm,
    "hanger's hole": lambda k: hanger.least_hole_depth_mm(1.6 * k),
    "blank": (
        lambda k: (
            stock.blank_length(
                [60 * k], headstock_mm=20 * k, tailstock_mm=10 * k, partings=2, kerf_mm=3 * k
            ).total_mm
        )
    ),
    "board": lambda k: stock.board_length_for_mm([100 * k, 60 * k, 45 * k], 3 * k, 2),
    "swing": lambda k: speed.square_blank_swing_mm(65 * k, 50 * k),
    "rim speed": lambda k: speed.rim_speed_m_per_s(60 * k, 1000),
}
AREAS = {
    "grooved form": lambda k: grooves.grooved_form(cove(k), 6).area_mm2,
    "whole globe": lambda k: form.globe_form(globe(k)).area_mm2,
    "its rings": lambda k: form.globe_form(globe(k)).ring_area_mm2,
    "swept": lambda k: grooves.swept(vee(k), lambda s, h: 2 * math.pi * s)[0],
    "profile": lambda k: profile.surface_area(finial(k)).total_mm2,
    "shown": lambda k: profile.surface_area(finial(k)).shown_mm2,
}
VOLUMES = {
    "cylinder": lambda k: sphere.cylinder_volume_mm3(60 * k),
    "sphere": lambda k: sphere.sphere_volume_mm3(60 * k),
    "removed": lambda k: sphere.removed_volume_mm3(60 * k),
    "grooved form": lambda k: grooves.grooved_form(cove(k), 6).volume_mm3,
    "whole globe": lambda k: form.globe_form(globe(k)).volume_mm3,
    "its bores": lambda k: form.globe_form(globe(k)).bored_mm3,
    "plain hollow": lambda k: hollow.plain_hollow_form(60 * k, 5 * k, 20 * k).saved_mm3,
    "grooved hollow": lambda k: hollow.grooved_hollow_form(cove(k), 6, 5 * k, 20 * k).volume_mm3,
    "profile": lambda k: profile.volume_mm3(finial(k)),
    "square blank": lambda k: stock.square_blank_volume_mm3(65 * k, 100 * k),
    "round blank": lambda k: stock.round_blank_volume_mm3(65 * k, 100 * k),
    "board feet": lambda k: stock.board_feet(1e6 * k**3),
}
STAYS = {
    "half angle": lambda k: cutters.half_angle_rad(60 * k, 6 * k),
    "V angle": lambda k: cutters.vee_angle_deg(60 * k, 6 * k, 2 * k),
    "merging": lambda k: grooves.merge_latitude_deg(60 * k, 6, 6 * k),
    "ring's latitude": lambda k: grooves.ring_latitude_deg(60 * k, 15 * k),
    "highest ring": lambda k: rings.highest_ring_deg(60 * k, 6 * k, 9 * k, 2 * k),
    "ring's edge": lambda k: rings.ring_edges(cuts(k)[1]).low_deg,
    "on land": lambda k: rings.ring_on_land_part(60 * k, 6, 6 * k, 40),
    "seat": lambda k: seat.last_seat(60 * k, 6, 6 * k, 40 * k).touching,
    "seat's gap": lambda k: seat.last_seat(60 * k, 6, 6 * k, 40 * k).longest_gap_deg,
    "seat angle": lambda k: seat.seat_angle_deg(60 * k, 40 * k),
    "most grooves": lambda k: grooves.most_grooves(60 * k, 6 * k, 5 * k),
    "saved": lambda k: form.globe_form(globe(k)).saved_part,
    "slenderness": lambda k: bench.slenderest_run(finial(k)).ratio,
    "lay": lambda k: bundle(k).lay_angle_deg,
    "take-up": lambda k: bundle(k).takeup,
    "turns": lambda k: hanger.turns(30 * k, 6 * k),
    "corner": lambda k: profile.joints(finial(k))[0].corner_deg,
    "blanks": (
        lambda k: (
            stock.blanks_from_board(
                65 * k, 100 * k, **{name: size * k for name, size in BOARD.items()}
            ).blanks
        )
    ),
}
LAW = [
    (power, name, of)
    for power, each in enumerate((STAYS, LENGTHS, AREAS, VOLUMES))
    for name, of in each.items()
]


@pytest.mark.parametrize(("power", "name", "of"), LAW, ids=[f"{law[0]}-{law[1]}" for law in LAW])
@settings(max_examples=6)
@given(k=st.floats(min_value=0.6, max_value=8))
def test_a_design_scaled(power, name, of, k):
    assert of(1.0) != 0
    assert of(k) == pytest.approx(of(1.0) * k**power, rel=1e-6)


@given(st.floats(min_value=0.5, max_value=8))
def test_speeds_fall_as_the_piece_grows(k):
    one = speed.rule_speed_rpm(speed.Stage.GENERAL, 60)
    assert speed.rule_speed_rpm(speed.Stage.GENERAL, 60 * k) == pytest.approx(one / k)
