"""Files are whole or not there, and nothing of the turner's is lost."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest

from studio.errors import BadInput, WorkFailed
from studio.files import LEDGER, write_outputs

FILES = {"a.txt": b"one", "overlays/b.png": b"two"}


def names(folder: Path) -> set[str]:
    found = {str(p.relative_to(folder)) for p in folder.rglob("*") if p.is_file()}
    return found - {LEDGER}


def test_files_are_written_and_told(tmp_path: Path) -> None:
    written, notes = write_outputs(tmp_path / "out", FILES)
    assert [path.read_bytes() for path in written] == [b"one", b"two"]
    assert notes == ()
    assert names(tmp_path / "out") == set(FILES)


def test_a_second_build_replaces_what_is_ours(tmp_path: Path) -> None:
    write_outputs(tmp_path, FILES)
    _, notes = write_outputs(tmp_path, {**FILES, "a.txt": b"new"})
    assert notes == ()
    assert (tmp_path / "a.txt").read_bytes() == b"new"
    assert names(tmp_path) == set(FILES)


def test_what_was_changed_by_hand_is_kept_with_a_word(tmp_path: Path) -> None:
    write_outputs(tmp_path, FILES)
    for number in (1, 2):
        (tmp_path / "a.txt").write_text(f"by hand {number}", encoding="utf-8")
        _, notes = write_outputs(tmp_path, FILES)
        assert notes == (
            f"a.txt was not as studio last wrote it; it is kept as a.txt.kept-{number}",
        )
        assert (tmp_path / f"a.txt.kept-{number}").read_text() == f"by hand {number}"
        assert (tmp_path / "a.txt").read_bytes() == b"one"


def test_a_file_that_was_there_before_the_first_build_is_kept(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_text("mine", encoding="utf-8")
    _, notes = write_outputs(tmp_path, FILES)
    assert len(notes) == 1
    assert (tmp_path / "a.txt.kept-1").read_text() == "mine"


def test_outputs_that_a_design_no_longer_has_go(tmp_path: Path) -> None:
    write_outputs(tmp_path, FILES)
    (tmp_path / "overlays" / "mine.png").write_bytes(b"mine")
    _, notes = write_outputs(tmp_path, {"a.txt": b"one"})
    assert notes == ()
    assert names(tmp_path) == {"a.txt", "overlays/mine.png"}


def test_one_of_them_changed_by_hand_stays(tmp_path: Path) -> None:
    write_outputs(tmp_path, FILES)
    (tmp_path / "overlays" / "b.png").write_bytes(b"retouched")
    write_outputs(tmp_path, {"a.txt": b"one"})
    assert (tmp_path / "overlays" / "b.png.kept-1").read_bytes() == b"retouched"


@pytest.mark.parametrize(
    "ledger",
    ['{"../outside.txt": "x"}', '{"/etc/passwd": "x"}', "[1]", "{", "\xff"],
)
def test_a_ledger_from_elsewhere_does_no_harm(tmp_path: Path, ledger: str) -> None:
    out = tmp_path / "out"
    out.mkdir()
    outside = tmp_path / "outside.txt"
    outside.write_text("mine", encoding="utf-8")
    (out / LEDGER).write_text(ledger, encoding="latin-1")
    write_outputs(out, FILES)
    assert outside.read_text() == "mine"
    assert names(out) == set(FILES)


def test_a_full_disk_leaves_the_old_file_and_no_pieces(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_outputs(tmp_path, FILES)

    def full(self: Path, target: Path) -> Path:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(Path, "replace", full)
    with pytest.raises(WorkFailed):
        write_outputs(tmp_path, {"a.txt": b"new"})
    assert (tmp_path / "a.txt").read_bytes() == b"one"
    assert names(tmp_path) == set(FILES)


def test_a_folder_that_cannot_be_made_is_told_in_words(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way", encoding="utf-8")
    with pytest.raises(BadInput) as caught:
        write_outputs(tmp_path / "file" / "out", FILES)
    assert "--out" in caught.value.faults[0].write
