"""``studio check``: does everything said, shown and printed agree?"""

from __future__ import annotations

from pathlib import Path

from studio.commands.telling import note, say, say_json
from studio.errors import BadInput


def check(design: Path, out: Path, *, as_json: bool) -> int:
    """Print the findings and write them as a page; 1 when any is an error.

    Raises:
        BadInput: the design has faults, nothing has been built yet, or the folder of the outputs
            cannot be written.
    """
    from studio.check.checks import run
    from studio.check.context import Context
    from studio.check.findings import Severity
    from studio.check.report import FILE_NAME as REPORT
    from studio.check.report import render
    from studio.files import write_outputs

    context = Context.of(design, out)
    if not out.is_dir():
        raise BadInput.of(
            f"there is nothing to check: no folder {out}", f"run: studio build {design}"
        )
    outcome = run(context)
    written, kept = write_outputs(
        out, {REPORT: render(context.episode, outcome).encode("utf-8")}, among=REPORT
    )
    if as_json:
        say_json(
            {
                "findings": [finding.as_record() for finding in outcome.findings],
                "traced": outcome.traced,
                "untraced": outcome.untraced,
            }
        )
        return 1 if outcome.errors else 0
    for finding in outcome.findings:
        place = f"{finding.where}: {finding.at}" if finding.at else finding.where
        mark = "" if finding.severity is Severity.ERROR else " (note)"
        say(f"{place}: {finding.code}{mark}")
        say(f"    says: {finding.said}")
        name = f"  [{finding.measurement}]" if finding.measurement else ""
        say(f"    should be: {finding.expected}{name}")
    say(
        f"{outcome.traced} numbers traced to the design, {outcome.untraced} not; "
        f"{outcome.errors} to mend"
    )
    say(f"report: {written[0]}")
    for text in kept:
        note(text)
    return 1 if outcome.errors else 0
