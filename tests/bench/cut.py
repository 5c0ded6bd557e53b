"""How exactly recordings line up, and a rehearsal of a cut: ``python tests/bench/cut.py [DIR]``.

The scene, its sound and its cameras are invented (``tests/conftest.py``): pictures tell the scene's
time, sounds have a start, a clock, a level, a colour and a noise of their own. Printed: errors of
offset and drift, and how long 40 minutes take. With a folder named, the invented cameras, a design
with takes and its cut are left there. Not part of CI.
"""

from __future__ import annotations

import shutil
import sys
import time
from fractions import Fraction
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "tests"))

import conftest as scene  # noqa: E402

from studio import cli  # noqa: E402
from studio.film.lining import NotSureError, line_up  # noqa: E402
from studio.resources import shipped  # noqa: E402

RATE = 16_000

# minutes, offset in s, drift in ppm, signal over noise in dB, tilt above 1 kHz
CASES = (
    (0.33, -2.5, 100, 10, -1),
    (1, 7.251, 40, 10, 0.5),
    (5, 33.333, -80, 10, -1),
    (5, -12.1, 25, 3, 0),
    (5, 8.2, 25, -5, 0),
    (40, 41.0567, 60, 10, -1),
    (40, -300.5, 100, 5, 0),
)


def figures() -> None:
    """A line a case."""
    print("minutes  offset s  drift ppm  noise dB  off by ms  off by ppm  agree  took s")  # noqa: T201
    whole = scene._scene_sound(40 * 60 + 400)
    for minutes, offset, ppm, snr, tilt in CASES:
        seconds, begin = minutes * 60, 310.0 if minutes == 40 else 20.0
        ours = scene._heard_by(whole, begin, seconds, rate=RATE, snr_db=snr, seed=5)
        other = scene._heard_by(
            whole,
            begin + offset,
            seconds,
            rate=RATE,
            ppm=ppm,
            gain=0.3,
            snr_db=snr,
            tilt=tilt,
            seed=6,
        )
        began = time.monotonic()
        try:
            found = line_up(ours, other, RATE)
        except NotSureError as why:
            print(f"{minutes:7g}  {offset:8.3f}  {ppm:9d}  {snr:8d}  refused: {why}")  # noqa: T201
            continue
        took = time.monotonic() - began
        late, fast = 1000 * (found.offset_s - offset), (found.drift_ppm or 0) - ppm
        print(  # noqa: T201
            f"{minutes:7g}  {offset:8.3f}  {ppm:9d}  {snr:8d}  {late:+9.3f}  {fast:+10.2f}  "
            f"{found.confidence:5.0%}  {took:6.1f}"
        )


def rehearse(folder: Path) -> None:
    """Two cameras at one scene and one at another time, the takes of the tests, and their cut."""
    designs, footage = folder / "designs", folder / "designs" / "footage"
    shutil.copytree(shipped("designs"), designs, dirs_exist_ok=True)
    footage.mkdir(exist_ok=True)
    whole, size = scene._scene_sound(20), (640, 360)
    for camera, later, seconds, ppm, fps in (
        ("bench", 0.0, 12.0, 0.0, Fraction(25)),
        ("top", 1.234, 10.0, 80.0, Fraction(30)),
    ):
        sound = scene._heard_by(whole, 2 + later, seconds, ppm=ppm, seed=len(camera))
        path = footage / f"{camera}.mp4"
        scene._film_scene(
            path, camera, sound, begin=2 + later, seconds=seconds, ppm=ppm, fps=fps, size=size
        )
    alone = scene._heard_by(scene._scene_sound(4, 9), 0, 3)
    scene._film_scene(footage / "detail.mp4", "detail", alone, begin=30, seconds=3, size=size)
    text = (designs / "globe.yaml").read_text(encoding="utf-8")
    film = scene.TAKES.replace("320x180", "640x360")
    (designs / "takes.yaml").write_text(text[: text.index("film:\n")] + film, encoding="utf-8")
    cli.main(["cut", str(designs / "takes.yaml"), "--out", str(folder / "takes")])


if __name__ == "__main__":
    if len(sys.argv) > 1:
        rehearse(Path(sys.argv[1]))
    else:
        figures()
