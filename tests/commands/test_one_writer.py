"""One command at a time writes into a folder; another is refused at once, in words."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, NoReturn

import pytest

from studio import cli
from studio.episode.places import places_file
from studio.errors import BadInput, WorkFailed
from studio.files import WRITER, only_writer, only_writer_of

Capture = pytest.CaptureFixture[str]

_HOLDS = """
import sys
from pathlib import Path
from studio.files import only_writer
with only_writer(Path(sys.argv[1]), "studio burn"):
    print("holds", flush=True)
    sys.stdin.read()
"""


@contextmanager
def another(folder: Path) -> Iterator[subprocess.Popen[str]]:
    """Another process that writes into a folder, as a burn that goes on does."""
    process = subprocess.Popen(
        [sys.executable, "-c", _HOLDS, str(folder)],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
    )  # fmt: skip
    assert process.stdout is not None
    assert process.stdout.readline() == "holds\n"
    try:
        yield process
    finally:
        process.communicate("")


def arguments(command: str, design: Path, out: Path) -> list[str]:
    """A command line that writes into ``out``."""
    more = {
        "burn": ["--master", str(design)],
        "short": ["rough", "--master", str(design)],
        "cut": ["--timeline-only"],
    }
    return [command, str(design), *more.get(command, []), "--out", str(out)]


WORK = {
    "build": "studio.commands.build.build_files",
    "burn": "studio.film.burn.require_ready",
    "short": "studio.film.short.make_short",
    "check": "studio.check.checks.run",
    "publish": "studio.check.checks.run",
    "cut": "studio.film.cut.cut_film",
}
"""What each command that writes calls first when it has the folder."""


@pytest.mark.parametrize("command", WORK)
def test_a_second_command_is_refused_at_once(
    command: str, takes: Path, tmp_path: Path, capsys: Capture, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "out"
    begun: list[str] = []
    monkeypatch.setattr(WORK[command], lambda *_, **__: begun.append(command))
    with another(out):
        assert cli.main(arguments(command, takes, out)) == 2
        assert [path.name for path in out.iterdir()] == [WRITER]
    told = capsys.readouterr().err
    assert f"studio burn is writing into {out}" in told
    assert "wait until it has finished" in told
    assert begun == []


@pytest.mark.parametrize("command", WORK)
def test_a_command_keeps_others_out_while_it_works_and_not_afterwards(
    command: str, takes: Path, tmp_path: Path, capsys: Capture, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "out"
    out.mkdir()
    refused: list[str] = []

    def work(*_: Any, **__: Any) -> NoReturn:
        with pytest.raises(BadInput) as caught, only_writer(out, "studio build"):
            pass
        refused.append(str(caught.value))
        raise WorkFailed("stopped by the test")

    monkeypatch.setattr(WORK[command], work)
    assert cli.main(arguments(command, takes, out)) == 1
    assert "stopped by the test" in capsys.readouterr().err
    assert len(refused) == 1
    assert f"studio {command} is writing into {out}" in refused[0]
    with only_writer(out, "studio build"):
        pass
    assert list(out.iterdir()) == []


def test_what_a_killed_command_leaves_keeps_nobody_out(tmp_path: Path) -> None:
    with another(tmp_path) as process:
        process.kill()
        process.wait()
        assert [path.name for path in tmp_path.iterdir()] == [WRITER]
        with only_writer(tmp_path, "studio build"):
            assert (tmp_path / WRITER).read_text(encoding="utf-8") == "studio build"
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_was_made_for_nothing_goes_again(tmp_path: Path) -> None:
    with pytest.raises(WorkFailed), only_writer(tmp_path / "build" / "globe", "studio build"):
        raise WorkFailed("nothing came of it")
    assert list(tmp_path.iterdir()) == []
    with only_writer(tmp_path / "build" / "globe", "studio build"):
        (tmp_path / "build" / "globe" / "film.mp4").touch()
    assert (tmp_path / "build" / "globe" / "film.mp4").exists()


FULL = """
import resource, signal, sys
from pathlib import Path
from studio.files import only_writer
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
resource.setrlimit(resource.RLIMIT_FSIZE, (0, 0))
with only_writer(Path(sys.argv[1]), "studio build"):
    sys.stdout.write("written into")
"""


@pytest.mark.skipif(sys.platform == "win32", reason="limits as POSIX has them")
def test_where_not_a_byte_can_be_written_the_lock_is_no_fault(tmp_path: Path) -> None:
    """What is written into the folder tells that the disk is full, not the name of the command."""
    done = subprocess.run(
        [sys.executable, "-c", FULL, str(tmp_path)], capture_output=True, text=True, check=False
    )
    assert (done.returncode, done.stdout) == (0, "written into"), done.stderr
    assert list(tmp_path.iterdir()) == []


_BURNS = """
import sys
from pathlib import Path
import studio.film.burn as burning
from studio.commands.burn import burn
def stops(*_, **__):
    print("holds", flush=True)
    sys.stdin.read()
    raise SystemExit(0)
burning.require_ready = stops
burn(Path(sys.argv[1]), Path(sys.argv[1]), Path(sys.argv[2]), as_json=False)
"""


@contextmanager
def another_burn(design: Path, out: Path) -> Iterator[subprocess.Popen[str]]:
    """Another process that burns a design into a folder of its own."""
    process = subprocess.Popen(
        [sys.executable, "-c", _BURNS, str(design), str(out)],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
    )  # fmt: skip
    assert process.stdout is not None
    assert process.stdout.readline() == "holds\n"
    try:
        yield process
    finally:
        process.communicate("")


def test_a_design_is_burned_into_one_folder_at_a_time(
    takes: Path, tmp_path: Path, capsys: Capture, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Both would write where its cards stand, and one film have cards where the other's are."""
    beside = sorted(takes.parent.iterdir())
    begun: list[str] = []
    monkeypatch.setattr(WORK["burn"], lambda *_, **__: begun.append("burn"))
    with another_burn(takes, tmp_path / "one"):
        assert cli.main(arguments("burn", takes, tmp_path / "two")) == 2
        told = capsys.readouterr().err
        assert f"studio burn is at work on {places_file(takes)}" in told
        assert "wait until it has finished" in told
        assert begun == []
        assert not (tmp_path / "two").exists()
        # it writes no places, and so keeps out of nobody's way
        assert cli.main(["build", str(takes), "--out", str(tmp_path / "three")]) == 0
        # a burn of another design in the same folder is none of its business
        other = takes.with_name("other.yaml")
        other.write_bytes(takes.read_bytes())
        with only_writer_of(places_file(other), "studio burn"):
            pass
        other.unlink()
    assert sorted(takes.parent.iterdir()) == beside
    with only_writer_of(places_file(takes), "studio burn"):
        pass


def test_a_killed_burn_keeps_no_other_one_out(takes: Path, tmp_path: Path) -> None:
    with another_burn(takes, tmp_path / "one") as process:
        process.kill()
        process.wait()
        with only_writer_of(places_file(takes), "studio burn"):
            pass


@pytest.mark.skipif(sys.platform == "win32" or os.geteuid() == 0, reason="root may write anywhere")
def test_beside_a_design_that_nobody_may_write_nothing_is_locked(tmp_path: Path) -> None:
    folder = tmp_path / "read-only"
    folder.mkdir()
    folder.chmod(0o555)
    with only_writer_of(folder / "globe.places.yaml", "studio burn"):
        assert list(folder.iterdir()) == []


def test_beside_a_design_that_is_not_there_nothing_is_made(tmp_path: Path) -> None:
    with only_writer_of(tmp_path / "gone" / "globe.places.yaml", "studio burn"):
        assert list(tmp_path.iterdir()) == []
