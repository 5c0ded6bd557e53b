"""Makes the README's pictures from a finished demo: python tests/bench/pictures.py [build]

Needs Chromium. Everything shown is the tool's own output; the terminal's is set in a page.
"""

from __future__ import annotations

import html
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

import imageio_ffmpeg
from PIL import Image

ROOT = Path(__file__).parent.parent.parent
OUT = ROOT / "docs" / "pictures"
FRAME_AT = "3.5"


def screenshot(page: Path, out: Path, width: int, height: int) -> None:
    with tempfile.TemporaryDirectory() as profile:
        command = [
            "chromium", "--headless", "--no-sandbox", "--disable-gpu", "--no-first-run",
            "--disable-quic", "--disable-background-networking", "--disable-component-update",
            "--disable-sync", f"--user-data-dir={profile}", "--hide-scrollbars",
            f"--window-size={width},{height}", f"--screenshot={out}", page.resolve().as_uri(),
        ]  # fmt: skip
        subprocess.run(command, check=True, capture_output=True)
    with Image.open(out) as picture:
        picture.convert("RGB").quantize(128).save(out, optimize=True)


def printed(page: Path, out: Path, *holding: str) -> None:
    """The first printed A4 page of a paper on which all of ``holding`` stands."""
    with tempfile.TemporaryDirectory() as place:
        pdf = Path(place) / "paper.pdf"
        command = [
            "chromium", "--headless", "--no-sandbox", "--disable-gpu", "--no-first-run",
            "--disable-quic", "--disable-background-networking", "--disable-component-update",
            "--disable-sync", f"--user-data-dir={place}/profile", "--no-pdf-header-footer",
            f"--print-to-pdf={pdf}", page.resolve().as_uri(),
        ]  # fmt: skip
        subprocess.run(command, check=True, capture_output=True)
        sheet(pdf, out, *holding)


def sheet(pdf: Path, out: Path, *holding: str) -> None:
    """The first sheet of a PDF on which all of ``holding`` stands."""
    with tempfile.TemporaryDirectory() as place:
        head = Path(place) / "page"
        text = subprocess.run(["pdftotext", str(pdf), "-"], check=True, capture_output=True)
        number = next(
            count
            for count, words in enumerate(text.stdout.decode().split("\f"), 1)
            if all(text in words for text in holding)
        )
        which = ["-f", str(number), "-l", str(number), "-singlefile"]
        subprocess.run(["pdftoppm", "-r", "100", "-png", *which, str(pdf), str(head)], check=True)
        with Image.open(head.with_suffix(".png")) as picture:
            picture.convert("RGB").quantize(64).save(out, optimize=True)


def terminal(command: str, out: Path, *, lines: int, width: int = 1180) -> None:
    shown = command.replace("studio", f"'{Path(sys.executable).parent / 'studio'}'", 1)
    done = subprocess.run(shown, shell=True, cwd=ROOT, capture_output=True, text=True, check=False)
    text = "\n".join((done.stdout + done.stderr).splitlines()[:lines])
    page = out.with_suffix(".html")
    page.write_text(
        "<body style='margin:0;background:#fbfaf7'><pre style='margin:18px 22px;font:15px/1.45 "
        f"DejaVu Sans Mono,monospace;color:#222'>$ {html.escape(command)}\n"
        f"{html.escape(text)}</pre>",
        encoding="utf-8",
    )
    screenshot(page, out, width, 60 + round(21.75 * (text.count("\n") + 2)))
    page.unlink()


def main(build: Path) -> int:
    if shutil.which("chromium") is None:
        sys.stderr.write("the pictures need Chromium; on Debian: apt-get install chromium\n")
        return 1
    OUT.mkdir(exist_ok=True)
    film, frame = build / "globe" / "film.mp4", OUT / "frame.png"
    ffmpeg = [imageio_ffmpeg.get_ffmpeg_exe(), "-v", "error", "-y", "-ss", FRAME_AT]
    subprocess.run([*ffmpeg, "-i", str(film), "-frames:v", "1", str(frame)], check=True)
    with Image.open(frame) as picture:
        picture.convert("RGB").quantize(256).save(frame, optimize=True)
    for name in ("globe", "lobed-globe", "twelve-lobe-drop", "crowned-globe"):
        with Image.open(build / name / "piece.png") as picture:
            small = picture.resize((960, 540), Image.Resampling.LANCZOS)
            small.save(OUT / f"{name}.jpg", quality=88, optimize=True, progressive=True)
    printed(
        build / "crowned-globe" / "cut-sheet.html",
        OUT / "stations.png",
        "Stations, from",
        "Parting cuts",
    )
    sheet(build / "globe" / "cut-sheet.pdf", OUT / "cut-sheet-pdf.png", "Second and third round")
    sheet(build / "crowned-globe" / "templates.pdf", OUT / "templates.png", "Octagon layout gauge")
    screenshot(build / "globe" / "handout.html", OUT / "handout.png", 900, 1500)
    screenshot(build / "globe" / "cut-sheet.html", OUT / "cut-sheet.png", 1000, 1500)
    terminal("studio measure designs/globe.yaml", OUT / "measure.png", lines=36)
    with tempfile.TemporaryDirectory() as place:
        copy = Path(place) / "globe"
        shutil.copytree(build / "globe", copy)
        description = copy / "description.txt"
        text = description.read_text(encoding="utf-8")
        description.write_text(re.sub(r"17\.5 mm", "17.8 mm", text, count=1), encoding="utf-8")
        link = ROOT / "build-with-a-slip"
        link.symlink_to(copy)
        try:
            terminal(
                "studio check designs/globe.yaml --out build-with-a-slip",
                OUT / "check.png",
                lines=8,
            )
        finally:
            link.unlink()
    return 0


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1]) if len(sys.argv) > 1 else ROOT / "build"))
