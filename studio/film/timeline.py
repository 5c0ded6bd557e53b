"""The cut as OpenTimelineIO, for an editor to go on from.

One video track, a clip a take and no gap; one sound track beside it, with gaps where a take is not
played at its own speed. Times are whole pictures at the film's rate, the very ones of the rough
cut. A take at another speed carries a ``LinearTimeWarp``; as OpenTimelineIO has it, a clip's range
is as long as it is on the track, and the warp tells how much of the recording that takes.
Steps and overlays are markers on the timeline.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from math import ceil
from typing import TYPE_CHECKING, Any

from studio.episode.records import CardKind, Cut, Episode
from studio.film.recordings import Recording
from studio.film.rough import Shown, in_pictures, source_of_sound
from studio.measure.trace import plain

if TYPE_CHECKING:
    import opentimelineio as otio

OURS = "studio"
"""Under this key clips and markers carry what OpenTimelineIO has no place for."""


def render_timeline(
    episode: Episode, cut: Cut, recordings: Mapping[str, Recording], fps: Fraction
) -> str:
    """The timeline as OpenTimelineIO's own JSON.

    Args:
        episode: with times.
        cut: its takes.
        recordings: by name, lined up; their files are named by absolute address.
        fps: the film's pictures per second.
    """
    import opentimelineio as otio

    return str(otio.adapters.write_to_string(_timeline(episode, cut, recordings, fps), "otio_json"))


def _timeline(
    episode: Episode, cut: Cut, recordings: Mapping[str, Recording], fps: Fraction
) -> otio.schema.Timeline:
    import opentimelineio as otio

    at = _Clock(fps)
    shown = in_pictures(cut, fps)
    titles = {step.id: plain(step.title) for step in episode.steps}
    pictures = otio.schema.Track(name="Pictures", kind=otio.schema.TrackKind.Video)
    sound = otio.schema.Track(name="Sound", kind=otio.schema.TrackKind.Audio)
    for one in shown:
        name = titles.get(one.take.step_id, "")
        label = f"{one.take.number} {name}".rstrip()
        pictures.append(_clip(label, one, recordings[one.take.camera], at))
        source = source_of_sound(cut, one.take)
        if source is not None and recordings[source].has_sound:
            sound.append(_clip(label, one, recordings[source], at))
        else:
            sound.append(otio.schema.Gap(source_range=at.range(0, one.beyond - one.first)))
    timeline = otio.schema.Timeline(name=plain(episode.title))
    timeline.metadata[OURS] = {"design": episode.name, "length_ms": cut.length_ms}
    timeline.tracks.append(pictures)
    timeline.tracks.append(sound)
    timeline.tracks.markers.extend(_markers(episode, at))
    return timeline


class _Clock:
    """Whole pictures at the film's rate."""

    def __init__(self, fps: Fraction) -> None:
        self._fps = fps
        self._rate = float(fps)

    def pictures(self, seconds: float) -> int:
        """The picture that is nearest to a time."""
        return round(seconds * self._rate)

    def first(self, ms: int) -> int:
        """The first picture at or after a time in the film, as a cut begins with it."""
        return ceil(Fraction(ms, 1000) * self._fps)

    def range(self, start: int, length: int) -> otio.opentime.TimeRange:
        """A stretch of pictures."""
        import opentimelineio as otio

        return otio.opentime.TimeRange(
            otio.opentime.RationalTime(start, self._rate),
            otio.opentime.RationalTime(length, self._rate),
        )


def _clip(label: str, one: Shown, recording: Recording, at: _Clock) -> otio.schema.Clip:
    import opentimelineio as otio

    take = one.take
    own = recording.lining.own_seconds(take.in_ms / 1000)
    media = otio.schema.ExternalReference(
        target_url=recording.path.resolve().as_uri(),
        available_range=at.range(0, at.pictures(recording.length_s)),
    )
    media.name = recording.name
    effects = (
        [otio.schema.LinearTimeWarp(name="speed", time_scalar=float(take.speed))]
        if take.speed != 1
        else []
    )
    metadata: dict[str, Any] = {
        "take": take.number,
        "step": take.step_id,
        "camera": recording.name,
        "start_ms": take.start_ms,
        "end_ms": take.end_ms,
        "recording_starts_s": round(own, 3),
    }
    return otio.schema.Clip(
        name=label,
        media_reference=media,
        source_range=at.range(at.pictures(own), one.beyond - one.first),
        effects=effects,
        metadata={OURS: metadata},
    )


def _markers(episode: Episode, at: _Clock) -> list[otio.schema.Marker]:
    import opentimelineio as otio

    colours = otio.schema.MarkerColor
    found: list[tuple[int, int, str, str, dict[str, Any]]] = []
    for step in episode.steps:
        if step.start_ms is not None and step.end_ms is not None:
            told: dict[str, Any] = {"kind": "step", "step": step.id}
            name = f"{step.number}. {plain(step.title)}"
            found.append((step.start_ms, step.end_ms, name, colours.GREEN, told))
    for card in episode.cards:
        if card.start_ms is not None and card.end_ms is not None:
            told = {"kind": f"overlay-{card.kind.value}", "step": card.step_id,
                    "file": f"overlays/{card.file_name}"}  # fmt: skip
            colour = colours.ORANGE if card.kind is CardKind.CAUTION else colours.CYAN
            name = f"overlay {card.number}: {plain(card.called)}"
            found.append((card.start_ms, card.end_ms, name, colour, told))
    markers = []
    for start, end, name, colour, told in sorted(found, key=lambda one: one[:2]):
        first = at.first(start)
        marker = otio.schema.Marker(
            name=name,
            marked_range=at.range(first, at.first(end) - first),
            color=colour,
            metadata={OURS: {**told, "start_ms": start, "end_ms": end}},
        )
        markers.append(marker)
    return markers
