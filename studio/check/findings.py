"""What a check reports: findings are data; nothing here prints or raises."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Severity(StrEnum):
    """How much a finding weighs; errors make the command exit with 1, hints are no findings."""

    ERROR = "error"
    NOTE = "note"
    HINT = "hint"


@dataclass(frozen=True, slots=True, kw_only=True)
class Patch:
    """Where a line is cut into a film again.

    Attributes:
        in_ms: from when on, in milliseconds of the film; None where the captions have no times.
        out_ms: until when; None with ``in_ms``.
        say: the line to say there; empty where nobody can tell which figure belongs in it.
    """

    in_ms: int | None
    out_ms: int | None
    say: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One disagreement.

    Attributes:
        code: stable name of the check's finding (``wrong-number``).
        severity: an error, a note that needs no mending, or a hint that may be mistaken.
        where: the file it was found in.
        at: place in it: a line and column, a cue's or card's number, a time.
        said: what stands there.
        expected: what the design says, or what to do.
        measurement: the measurement's name; empty when there is none.
        confidence: how sure it is, 0 to 1; None for what is certain.
        patch: the line to say again, and where; None where nothing is to be said.
    """

    code: str
    severity: Severity
    where: str
    at: str
    said: str
    expected: str
    measurement: str = ""
    confidence: float | None = None
    patch: Patch | None = None

    def as_record(self) -> dict[str, object]:
        """For ``--json``; confidence and patch are null for what has none."""
        patch = self.patch
        return {
            "code": self.code,
            "severity": str(self.severity),
            "where": self.where,
            "at": self.at,
            "said": self.said,
            "expected": self.expected,
            "measurement": self.measurement,
            "confidence": self.confidence,
            "patch": patch and {"in": patch.in_ms, "out": patch.out_ms, "say": patch.say},
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What one check found.

    Attributes:
        findings: in the order of the files.
        traced: how many numbers were traced to the design.
        untraced: how many were not.
        hints: what may be wrong and may as well not be; never counted.
    """

    findings: tuple[Finding, ...] = ()
    traced: int = 0
    untraced: int = 0
    hints: tuple[Finding, ...] = ()

    def __add__(self, other: Outcome) -> Outcome:
        return Outcome(
            findings=self.findings + other.findings,
            traced=self.traced + other.traced,
            untraced=self.untraced + other.untraced,
            hints=self.hints + other.hints,
        )

    @property
    def errors(self) -> int:
        """How many findings are errors."""
        return sum(finding.severity is Severity.ERROR for finding in self.findings)
