"""The finder and the judge against the labelled talk.

Two parts have been read by whoever tuned; of the third only the counts are known. The levels are
those reached, docs/check.md tells them.
"""

from __future__ import annotations

import pytest

from .loading import STYLES
from .score import FOLDED, FOLDS, Score, score_fold, score_half

LEAST = {
    "build": {"precision": 0.99, "recall": 0.99, "judging": 0.99},
    "keep": {"precision": 0.99, "recall": 0.99, "judging": 0.97},
    "judge": {"precision": 0.98, "recall": 0.98, "judging": 0.95},
}


@pytest.fixture(scope="module", params=LEAST)
def scored(request: pytest.FixtureRequest) -> tuple[str, dict[str, Score]]:
    return request.param, score_half(request.param)


def test_numbers_are_found_and_judged(scored: tuple[str, dict[str, Score]]) -> None:
    name, scores = scored
    whole = scores["all"]
    # figures alone: an unread sentence is not to be shown in a failure either
    for what, least in LEAST[name].items():
        assert getattr(whole, what) >= least, f"{name}: {whole.told()}"


def test_every_style_is_scored(scored: tuple[str, dict[str, Score]]) -> None:
    _, scores = scored
    assert set(scores) == {*STYLES, "all"}
    assert sum(scores[style].labelled for style in STYLES) == scores["all"].labelled > 300


def test_every_sentence_is_in_one_fold() -> None:
    folds = [score_fold(number)["all"].labelled for number in range(1, FOLDS + 1)]
    assert sum(folds) == sum(score_half(name)["all"].labelled for name in FOLDED)
    assert min(folds) > 100


def test_the_score_counts_what_is_missing_and_what_is_too_much() -> None:
    score = Score(labelled=4, found=5, matched=3, judged=2)
    assert (score.precision, score.recall, score.judging) == (3 / 5, 3 / 4, 2 / 3)
