"""``studio check``: does everything said, shown and printed agree?"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from studio.commands.telling import note, say, say_json, say_under
from studio.errors import BadInput, to_type
from studio.files import only_writer

if TYPE_CHECKING:
    from studio.check.beside import Beside
    from studio.check.context import Context
    from studio.check.findings import Outcome


def check(
    design: Path,
    out: Path,
    *,
    as_json: bool,
    said: Path | None = None,
    details: bool = False,
    film: Path | None = None,
) -> int:
    """Print the findings and write them as a page; 1 when any is an error.

    Args:
        design: the design's file.
        out: the folder of its outputs.
        as_json: whether the findings are printed for another program.
        said: captions of what was said in the film, to be looked through too.
        details: whether figures rounded in talk are told.
        film: the film, or a recording of its voice, whose figures are listened to.

    Raises:
        BadInput: the design has faults, nothing has been built yet, the captions cannot be read,
            or the folder of the outputs cannot be written, or another command is writing into it.
    """
    from studio.check.context import Context

    context = Context.of(design, out)
    if not out.is_dir():
        raise BadInput.of(
            f"there is nothing to check: no folder {out}", f"run: studio build {to_type(design)}"
        )
    # half of a build or a film would be found wrong, and right a moment later
    with only_writer(out, "studio check"):
        return _check(context, as_json=as_json, said=said, details=details, film=film)


def _check(
    context: Context, *, as_json: bool, said: Path | None, details: bool, film: Path | None
) -> int:
    talk = _talk(context, said, details=details) if said is not None else None

    # loaded behind the fork: they bring threads of their own
    from studio.check.checks import run
    from studio.check.findings import Severity
    from studio.check.report import FILE_NAME as REPORT
    from studio.check.report import render
    from studio.files import write_outputs

    outcome = run(context)
    counts: dict[str, int] = {}
    if talk is not None:
        spoken, counts = talk.result()
        outcome += spoken
    listened_to = 0
    if film is not None:
        from studio.check.heard import check_heard

        heard, listened_to = check_heard(context, film)
        outcome += heard
    written, kept = write_outputs(
        context.out_dir, {REPORT: render(context.episode, outcome).encode("utf-8")}, among=REPORT
    )
    if as_json:
        say_json(
            {
                "findings": [finding.as_record() for finding in outcome.findings],
                "traced": outcome.traced,
                "untraced": outcome.untraced,
                **({"said": counts} if said is not None else {}),
                **(
                    {
                        "hints": [hint.as_record() for hint in outcome.hints],
                        "listened_to": listened_to,
                    }
                    if film is not None
                    else {}
                ),
            }
        )
        return 1 if outcome.errors else 0
    for finding in (*outcome.findings, *outcome.hints):
        place = f"{finding.where}: {finding.at}" if finding.at else finding.where
        mark = "" if finding.severity is Severity.ERROR else f" ({finding.severity})"
        say(f"{place}: {finding.code}{mark}")
        say_under("says", finding.said)
        name = f"  [{finding.measurement}]" if finding.measurement else ""
        do = "listen" if finding.severity is Severity.HINT else "should be"
        say_under(do, f"{finding.expected}{name}")
    say(
        f"{outcome.traced} numbers traced to the design, {outcome.untraced} not; "
        f"{outcome.errors} to mend"
    )
    if said is not None:
        told = ", ".join(f"{number} {verdict}" for verdict, number in counts.items())
        say(f"said in {said.name}: {told} (none: of nothing that the design states)")
    if film is not None:
        say(f"heard in {film.name}: {listened_to} figures listened to (hints, no proof)")
    say(f"report: {written[0]}")
    for text in kept:
        note(text)
    return 1 if outcome.errors else 0


def _talk(context: Context, said: Path, *, details: bool) -> Beside[tuple[Outcome, dict[str, int]]]:
    """The check of what was said, begun beside the others: an hour of talk is much of the work."""
    from studio.check.beside import Beside
    from studio.check.said import check_said

    return Beside(lambda: check_said(context, said, details=details))
