"""Scores the finder and the judge of talk on one half of the labelled set.

``python tests/said/score.py build`` prints the figures and lists what was missed. ``judge`` prints
figures alone: those sentences are not to be read by whoever mends. ``keep`` lists too: that half
was kept until 2026-11-26 and has been read since. ``fold 4`` does it for the
fourth of five folds of both: whoever mends reads some of them, and the figures of those not yet
read tell how general the mending is.

Finding: a labelled mention is found when a mention overlaps its span and has exactly its value, a
range's upper end too, and its unit; the span itself may differ by an article or the like. Recall is
the share of labelled mentions found, precision the share of mentions that are labelled ones.

Judging: over the labelled mentions that were found, the share whose verdict is the label's and
which, where the label names measurements, are tied to one of them (of an ambiguous mention, one of
its candidates).
"""

from __future__ import annotations

import hashlib
import sys
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT)] if str(ROOT) not in sys.path else []

from studio.said.finding import Mention as Found  # noqa: E402
from studio.said.heard import judged_talk  # noqa: E402
from studio.said.judging import Judge, Judged  # noqa: E402
from studio.said.material import material_of  # noqa: E402
from tests.said.loading import HALVES, STYLES, Item, Mention, load_half  # noqa: E402

NAMES = ("finding, precision", "finding, recall", "judging")


@dataclass
class Score:
    """Counts over some sentences."""

    labelled: int = 0
    found: int = 0
    matched: int = 0
    judged: int = 0
    misses: list[str] = field(default_factory=list)

    @property
    def precision(self) -> float:
        """Share of the mentions found that are labelled."""
        return self.matched / max(1, self.found)

    @property
    def recall(self) -> float:
        """Share of the labelled mentions that were found."""
        return self.matched / max(1, self.labelled)

    @property
    def judging(self) -> float:
        """Share of the mentions found rightly that were judged rightly."""
        return self.judged / max(1, self.matched)

    def __add__(self, other: Score) -> Score:
        return Score(
            self.labelled + other.labelled,
            self.found + other.found,
            self.matched + other.matched,
            self.judged + other.judged,
            self.misses + other.misses,
        )

    def told(self) -> str:
        """The figures in a line."""
        return (
            f"finding: precision {self.precision:.3f} ({self.matched}/{self.found}), "
            f"recall {self.recall:.3f} ({self.matched}/{self.labelled}); "
            f"judging {self.judging:.3f} ({self.judged}/{self.matched})"
        )


@cache
def judge_of(design: Path) -> Judge:
    """The judge of one design, made once."""
    return Judge(material_of(design))


def score_item(item: Item) -> Score:
    """One sentence."""
    judged = judged_talk(judge_of(item.design_path), item.text, item.step)
    found = [one.mention for one in judged]
    score = Score(labelled=len(item.mentions), found=len(found))
    left = list(zip(found, judged, strict=True))
    for label in item.mentions:
        pair = next((one for one in left if is_same(item, label, one[0])), None)
        if pair is None:
            score.misses.append(f"{item.id} NOT FOUND {told(label)}: {item.text}")
            continue
        left.remove(pair)
        score.matched += 1
        if is_judged(label, pair[1]):
            score.judged += 1
        else:
            score.misses.append(
                f"{item.id} [{item.step}] JUDGED {label.written!r} {pair[1].verdict} "
                f"{pair[1].measurement} {pair[1].candidates} conf {pair[1].confidence:.2f}; "
                f"is {label.verdict} {label.means}: {item.text}"
            )
    for one, _ in left:
        score.misses.append(
            f"{item.id} TOO MUCH {one.written!r} = {one.value} {one.unit!r}: {item.text}"
        )
    return score


def is_same(item: Item, label: Mention, found: Found) -> bool:
    """Whether a mention found is the labelled one."""
    start, stop = label.span(item.text)
    return (
        found.start < stop
        and start < found.stop
        and found.value == label.value
        and found.high == label.high
        and found.unit == label.unit
    )


def is_judged(label: Mention, judged: Judged) -> bool:
    """Whether a verdict is the labelled one, of a measurement that the label allows."""
    if judged.verdict != label.verdict:
        return False
    if not label.means:
        return True
    named = {judged.measurement} if judged.measurement else set(judged.candidates)
    return bool(named & set(label.means))


def told(label: Mention) -> str:
    """A labelled mention in short."""
    return f"{label.written!r} = {label.value} {label.unit!r}"


def score_half(name: str) -> dict[str, Score]:
    """Scores of one half, by style and under ``all``."""
    scores = {style: Score() for style in STYLES}
    for item in load_half(name).items:
        scores[item.style] += score_item(item)
    scores["all"] = sum(scores.values(), Score())
    return scores


UNREAD = "judge"
"""Whose sentences are not shown."""

FOLDS = 5
FOLDED = ("build", "keep")


def fold_of(item: Item) -> int:
    """The fold of an item, 1 to 5, by the SHA-256 of its id: new items move no other one."""
    return int(hashlib.sha256(f"fold:{item.id}".encode()).hexdigest(), 16) % FOLDS + 1


def score_fold(number: int) -> dict[str, Score]:
    """Scores of one fold, by the half that its sentences come from and under ``all``."""
    scores = {
        name: sum(
            (score_item(one) for one in load_half(name).items if fold_of(one) == number), Score()
        )
        for name in FOLDED
    }
    scores["all"] = sum(scores.values(), Score())
    return scores


def main(arguments: Sequence[str]) -> int:
    """Print the scores of the half or fold named."""
    match arguments:
        case [name] if name in HALVES:
            scores = score_half(name)
        case ["fold", number] if number in {str(fold + 1) for fold in range(FOLDS)}:
            scores = score_fold(int(number))
        case _:
            sys.stderr.write(f"write one of: {', '.join(HALVES)}, fold 1 to fold {FOLDS}\n")
            return 2
    if arguments != [UNREAD]:
        sys.stdout.write("\n".join(scores["all"].misses) + "\n")
    kinds = Counter(miss.split()[2 if "JUDGED" in miss else 1] for miss in scores["all"].misses)
    sys.stdout.write(f"{dict(kinds)}\n")
    for style, score in scores.items():
        sys.stdout.write(f"{style:11} {score.told()}\n")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
