"""``old-picture``, ``missing-picture``: the piece's picture and meshes, and the thumbnail.

What it does: reads the stamp inside each file, and compares it with that of the design's piece;
of the thumbnail, title and figure.
Why it matters: a picture of last month's size under this month's figures tells two stories.
Use instead of keeping an old picture: run ``studio build`` again.
"""

from __future__ import annotations

from pathlib import Path

from studio.check.context import Context
from studio.check.findings import Finding, Outcome, Severity
from studio.files import as_last_written
from studio.film.thumbnail import THUMBNAIL, told, told_in, wanted_frame
from studio.picture.files import FILES
from studio.picture.stamps import stamp, stamp_in


def check(context: Context) -> Outcome:
    """Each of the piece's files against the piece."""
    piece = context.episode.piece
    assert piece is not None
    wanted = stamp(piece)

    def is_current(path: Path) -> bool:
        if path.name == THUMBNAIL:
            framed = wanted_frame(context.episode, context.out_dir) is not None
            return told_in(path) == told(context.episode, framed=framed)
        return stamp_in(path.read_bytes()) == wanted

    findings = []
    for name in (*FILES, THUMBNAIL):
        path = context.out_dir / name
        if not path.is_file():
            code, said = "missing-picture", "(no such file)"
        elif not is_current(path):
            code, said = "old-picture", "(another piece or title, or none of ours)"
        elif as_last_written(context.out_dir, name) is None:
            code, said = "old-picture", "(the file is not as it was made)"
        else:
            continue
        findings.append(
            Finding(
                code=code,
                severity=Severity.ERROR,
                where=name,
                at="",
                said=said,
                expected="as the design has it: run studio build again",
            )
        )
    return Outcome(findings=tuple(findings))
