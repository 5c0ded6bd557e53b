"""Every check, in the order in which findings are told; adding one is a file and a line here."""

from __future__ import annotations

from collections.abc import Callable

from studio.check import (
    cautions,
    credits,
    film,
    languages,
    measurements,
    overlays,
    papers,
    pdfs,
    pictures,
    publication,
    shorts,
    signs,
    speeds,
    turned_limits,
    typed_numbers,
    unit_pairs,
)
from studio.check.context import Context
from studio.check.findings import Finding, Outcome
from studio.language import speaking

CHECKS: tuple[Callable[[Context], Outcome], ...] = (
    typed_numbers.check,
    speeds.check,
    turned_limits.check,
    papers.check,
    pdfs.check,
    measurements.check,
    unit_pairs.check,
    overlays.check,
    signs.check,
    pictures.check,
    cautions.check,
    credits.check,
    film.check,
    shorts.check,
    publication.check,
)


IN_LANGUAGE: tuple[Callable[[Context], Outcome], ...] = (
    languages.check,
    typed_numbers.check,
    turned_limits.check,
    papers.check_in_language,
    pdfs.check_in_language,
    signs.check,
    cautions.check,
    credits.check,
)
"""Those that look at what viewers read in a second language."""


def run(context: Context) -> Outcome:
    """All checks over one design and its outputs, in every language that it was built in."""
    outcome = Outcome()
    with speaking(context.episode.language):
        for check in CHECKS:
            outcome += check(context)
        typed = typed_numbers.typed_figures(context)
    for other in context.others:
        with speaking(other.episode.language):
            for check in IN_LANGUAGE:
                outcome += check(other)
            typed |= typed_numbers.typed_figures(other)
    return _without_echoes(outcome, typed)


def _without_echoes(outcome: Outcome, typed: frozenset[str]) -> Outcome:
    """A number typed in the design is told once, with its line, not again in every output."""

    def is_echo(finding: Finding) -> bool:
        return (
            finding.code == "untraced-number" and not finding.measurement and finding.said in typed
        )

    kept = tuple(finding for finding in outcome.findings if not is_echo(finding))
    return Outcome(findings=kept, traced=outcome.traced, untraced=outcome.untraced)
