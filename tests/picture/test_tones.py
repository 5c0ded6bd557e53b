"""Tones of woods: one for each species, and no claim to a source."""

from importlib import resources

import pytest

from studio.picture.tones import NEUTRAL, Figure, all_tones, linear, tone_of
from studio.turning.wood import all_species


def test_every_species_has_a_tone_and_no_tone_is_left_over():
    assert list(all_tones()) == [wood.name for wood in all_species()]


def test_the_table_says_that_it_has_no_source():
    head = resources.files("studio.picture").joinpath("wood_tones.csv").read_text(encoding="utf-8")
    assert "All of this is ours, chosen by eye; it has no\n; source" in head


@pytest.mark.parametrize("tone", [*all_tones().values(), NEUTRAL], ids=lambda tone: tone.name)
def test_late_wood_is_darker_and_everything_in_range(tone):
    assert sum(linear(tone.late)) < sum(linear(tone.early))
    assert all(0 < part < 1 for part in (*tone.early, *tone.late))
    assert 0.5 <= tone.ring_mm <= 6
    assert 0 <= tone.pores <= 1
    assert 0 <= tone.rays <= 1
    # red over green over blue: wood is a shade of brown
    assert tone.early[0] >= tone.early[1] >= tone.early[2]


def test_conifers_have_no_pores():
    conifers = [tone for tone in all_tones().values() if tone.figure is Figure.CONIFER]
    assert len(conifers) == 3
    assert not any(tone.pores for tone in conifers)


@pytest.mark.parametrize("name", ["cherry", "Cherry, black", "Prunus serotina"])
def test_any_name_of_a_wood_finds_its_tone(name):
    assert tone_of(name).name == "black cherry"


@pytest.mark.parametrize("name", ["", "driftwood", "oak", "x" * 500, "<script>"])
def test_a_wood_not_held_or_not_clear_is_neutral(name):
    assert tone_of(name) is NEUTRAL


def test_linear_light():
    # IEC 61966-2-1, from memory: 8-bit 188 is half the light, 10 lies on the straight piece
    assert linear((188 / 255,) * 3)[0] == pytest.approx(0.5, abs=0.003)
    assert linear((10 / 255,) * 3)[1] == pytest.approx(10 / 255 / 12.92)
