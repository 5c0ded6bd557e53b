"""How long the film is where nobody types it: by whom it is told, and who has to agree."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from studio.episode.film_length import film_length
from studio.episode.places import as_text as places_text
from studio.episode.places import places_file, read_master_ms, read_places
from studio.episode.times import StepTimes, Times, as_text, read_times, times_file

STEP = StepTimes(id="rough", digest="", start_ms=40_000, end_ms=None, confidence=1.0)
RECORDER = Times(source="voice.wav", length_ms=49_200, steps={STEP.id: STEP})
FILM = replace(RECORDER, source="cut.mp4", film_ms=49_200)


@pytest.mark.parametrize(
    ("told", "times", "master", "burnt", "expected", "is_told"),
    [
        (60_000, RECORDER, 51_800, 50_000, 60_000, True),
        (None, FILM, 51_800, 50_000, 49_200, True),
        (None, RECORDER, 51_800, 50_000, 51_800, False),
        (None, RECORDER, None, 50_000, 50_000, False),
        # recorded anew since the last burn: what is heard now is in the next film
        (None, RECORDER, None, 30_000, 40_000, False),
        (None, RECORDER, None, None, 49_200, False),
        (None, None, 51_800, 50_000, None, False),
    ],
)
def test_the_surest_that_is_there_counts(
    told: int | None,
    times: Times | None,
    master: int | None,
    burnt: int | None,
    expected: int | None,
    is_told: bool,
) -> None:
    found = film_length(told, times, master_ms=master, burnt_ms=burnt)
    assert (found.ms, found.is_told) == (expected, is_told)
    reckoned = expected == RECORDER.length_ms and not is_told
    assert ("where voice.wav ends" in found.note) == reckoned


def test_the_files_keep_what_they_were_told(globe: Path) -> None:
    for times in (RECORDER, FILM):
        times_file(globe).write_text(as_text(times), encoding="utf-8")
        assert read_times(globe) == times
    assert read_master_ms(globe) is None
    for length in (None, 51_834):
        places_file(globe).write_text(places_text({}, length), encoding="utf-8")
        assert read_master_ms(globe) == length
        assert read_places(globe) == {}
