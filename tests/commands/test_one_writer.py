"""One command at a time writes into a folder; another is refused at once, in words."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, NoReturn

import pytest

from studio import cli
from studio.errors import BadInput, WorkFailed
from studio.files import WRITER, only_writer

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
