"""What killed work leaves is cleared away by the next, and what goes on is left alone."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from studio.film.working import working_folder

_WORKS = """
import sys
from pathlib import Path
from studio.film.working import working_folder
with working_folder(Path(sys.argv[1]), ".burn-", "the film") as folder:
    (folder / "film.mp4").write_bytes(b"half")
    print(folder.name, flush=True)
    sys.stdin.read()
"""


def worker(out: Path) -> tuple[subprocess.Popen[str], str]:
    process = subprocess.Popen(
        [sys.executable, "-c", _WORKS, str(out)],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
    )  # fmt: skip
    assert process.stdout is not None
    return process, process.stdout.readline().strip()


def test_the_next_one_clears_what_no_living_process_owns(tmp_path: Path) -> None:
    killed, left = worker(tmp_path)
    killed.kill()
    killed.communicate()
    going_on, own = worker(tmp_path)
    try:
        # cleared at once by the second, which still works on
        assert {path.name for path in tmp_path.iterdir()} == {own}
        with working_folder(tmp_path, ".burn-", "the film") as folder:
            assert {path.name for path in tmp_path.iterdir()} == {own, folder.name}
            assert (tmp_path / own / "film.mp4").read_bytes() == b"half"
    finally:
        going_on.communicate()
    assert left != own
    assert list(tmp_path.iterdir()) == []


def test_a_folder_without_an_owner_goes_after_an_hour_and_nothing_else_does(tmp_path: Path) -> None:
    for name in (".burn-old", ".burn-new", ".short-old"):
        (tmp_path / name).mkdir()
    kept = tmp_path / "kept"
    kept.mkdir()
    (kept / "precious").touch()
    (tmp_path / ".burn-link").symlink_to(kept)
    (tmp_path / ".burn-file").touch()
    before = time.time() - 4000
    for name in (".burn-old", ".short-old", ".burn-file"):
        os.utime(tmp_path / name, (before, before))
    with working_folder(tmp_path, ".burn-", "the film"):
        pass
    assert {path.name for path in tmp_path.iterdir()} == {
        ".burn-new", ".short-old", ".burn-link", ".burn-file", "kept",
    }  # fmt: skip
    assert (kept / "precious").exists()


LARGE = """
import resource, sys
from studio.errors import WorkFailed
from studio.film.joining import run_ffmpeg
resource.setrlimit(resource.RLIMIT_FSIZE, (3000, 3000))
try:
    run_ffmpeg("failed", ["-f", "lavfi", "-i", "testsrc=s=160x90:d=2", sys.argv[1]])
except WorkFailed as error:
    sys.stdout.write(str(error))
"""


@pytest.mark.skipif(sys.platform == "win32", reason="limits as POSIX has them")
def test_a_film_larger_than_a_file_may_be_is_told(tmp_path: Path) -> None:
    """A stick's 4 GB, or a limit set for somebody: the system's own limit, set low."""
    command = [sys.executable, "-c", LARGE, str(tmp_path / "large.mp4")]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert "larger than a file may be there" in done.stdout, done.stderr
