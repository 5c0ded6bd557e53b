"""Behaviour of gauges: labels, the nearest gauge, and what is refused."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.measure.units import parse_wire
from studio.turning import wire
from studio.turning.wire import Gauge, GaugeSystem

AWG = [Gauge(number, GaugeSystem.AWG) for number in range(-3, 41)]
SWG = [Gauge(number, GaugeSystem.SWG) for number in range(41)]


@pytest.mark.parametrize("gauges", [AWG, SWG])
def test_a_higher_number_is_a_thinner_wire(gauges):
    diameters = [gauge.diameter_mm for gauge in gauges]
    assert diameters == sorted(diameters, reverse=True)
    assert len(set(diameters)) == len(diameters)


@given(st.sampled_from(AWG + SWG))
def test_a_label_reads_back(gauge):
    typed = parse_wire(gauge.label)
    assert (typed.gauge, typed.standard) == (gauge.number, gauge.system.value)


@given(st.sampled_from(AWG + SWG))
def test_a_wire_of_a_gauge_is_nearest_to_it(gauge):
    nearest = wire.nearest_gauge(gauge.diameter_mm, gauge.system)
    assert nearest.gauge == gauge
    assert nearest.off_by_mm == pytest.approx(0)


@given(st.floats(min_value=0.13, max_value=8), st.sampled_from(GaugeSystem))
def test_no_gauge_is_nearer(diameter, system):
    nearest = wire.nearest_gauge(diameter, system)
    gauges = AWG if system is GaugeSystem.AWG else SWG
    assert abs(nearest.off_by_mm) <= min(abs(g.diameter_mm - diameter) for g in gauges) + 1e-12
    assert nearest.gauge.diameter_mm + nearest.off_by_mm == pytest.approx(diameter)


@pytest.mark.parametrize("number", [-4, 41, 22.5])
def test_numbers_outside_are_refused(number):
    with pytest.raises(ValueError, match="an AWG number"):
        wire.awg_diameter_mm(number)
    with pytest.raises(ValueError, match="an SWG number"):
        wire.swg_diameter_mm(number)


@pytest.mark.parametrize("diameter", [0.05, 12.0])
@pytest.mark.parametrize("system", GaugeSystem)
def test_wire_outside_the_gauges_is_refused(diameter, system):
    with pytest.raises(ValueError, match="give its diameter instead"):
        wire.nearest_gauge(diameter, system)


@pytest.mark.parametrize("metal", ["steel", " Stainless  Steel ", "piano wire", "tinned iron"])
def test_steel_is_not_sold_by_awg(metal):
    assert not wire.sold_by_awg(metal)


@pytest.mark.parametrize("metal", ["brass", "copper", "sterling silver", "bronze"])
def test_other_metals_are(metal):
    assert wire.sold_by_awg(metal)
