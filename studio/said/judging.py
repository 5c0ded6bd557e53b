"""Which measurement a number said means, and whether the design agrees.

Each mention is weighed against every measurement that its unit allows: by the words near it (each
by how few measurements it may mean and how near it stands), by the step in hand, by the size of the
figure. The heaviest is what it means, where words speak for it, or step and figure do together.
Where several weigh the same and disagree about it, the mention is ambiguous, and that is told.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

from studio.said.agreeing import Verdict, agrees, is_of_two, is_printed, ratio_off
from studio.said.approximations import ADJECTIVES
from studio.said.asides import (
    adds_up,
    exceeds,
    is_denied,
    is_half_way,
    is_offset,
    is_per_pass,
    is_supposed,
    part_of_whole,
)
from studio.said.bounds import Force, told_turned
from studio.said.ceilings import (
    fastest,
    is_run_at,
    states_limit,
)
from studio.said.finding import Mention
from studio.said.foreign import is_a_turn, is_foreign, is_of_unknown, relates
from studio.said.in_order import papers_in_order, papers_name, round_in_hand
from studio.said.judged import Judged
from studio.said.limits import size_of
from studio.said.material import Material, Meaning, stem
from studio.said.mending import (
    edit_to_say,
    figure_to_say,
    in_the_same_form,
    readings,
    turned_edit,
)
from studio.said.one_unit import is_waited
from studio.said.places import row_of
from studio.said.rows import cell_at, is_in_hand, is_own, judged_by_row
from studio.said.speeds import as_speed, up_to_speeds
from studio.said.units import MINUTES, MM, OURS
from studio.said.vocabulary import trade_words
from studio.said.weighing import (
    BY,
    FAR,
    FARTHER,
    LEAD,
    LISTING,
    TIE,
    TOLD,
    Sizes,
    Talk,
    Weighed,
    is_fine,
    is_particular,
)
from studio.said.words import word_set

_CLAIMED = -0.6
"""What is left less for a measurement that another figure beside it says rightly (ours)."""

_SIMILAR = 2.0
"""A figure without a word is only taken for one of the step's where it is so near in size: half to
twice as large is a slip, ten times is another thing (ours)."""

_FEW = 3
"""A unit in which so few measurements are given tells by itself which is meant (ours)."""

_SOME = 8
"""In a unit with so few measurements an exact figure that several have is of one of them (ours)."""

_SMALL = 36
"""Figures up to this fit something by chance (ours)."""

_SCRIPTED = 3.0
"""What the words of the script weigh, more than any others (ours)."""


_STATES = frozenset({Verdict.RIGHT, Verdict.ROUNDED, Verdict.WRONG})

_TURNED = 0.8
"""So sure it is that a limit which is asked for the wrong way round is wrong (ours)."""

_MOST_SURE_OF_SEVERAL = 0.7
"""A wrong figure that may mean several things is told with no more certainty than this (ours)."""


class Judge:
    """Judges talk about one design."""

    def __init__(self, material: Material):
        self.material = material
        self._sizes = Sizes(material)

    def judge(
        self, text: str, mentions: Sequence[Mention], step: str | None = None
    ) -> tuple[Judged, ...]:
        """A verdict for each mention of ``text``.

        Args:
            text: a sentence, or what surrounds the mentions.
            mentions: its numbers, as found in it.
            step: the step in hand; None where nobody knows.
        """
        names = self.material.steps.get(step or "")
        talk = Talk(text, mentions, names, self.material, self._sizes)
        scripted = self.material.script.meant(
            talk.tokens, mentions, step if names else None, self.material.naming
        )
        return tuple(self._told(text, one) for one in _Verdicts(talk, scripted).all())

    def _told(self, text: str, judged: Judged) -> Judged:
        if not judged.measurement and not judged.candidates:
            return judged
        name, one = judged.measurement or judged.candidates[0], judged.mention
        printed = self.expected(one, name)
        figure = ""
        if judged.verdict is Verdict.WRONG and judged.sure:
            if judged.due:
                figure = in_the_same_form(one, judged.due, text)
            else:
                figure = figure_to_say(one, self.material.by_name[name], printed, text)
        edit = edit_to_say(text, one, figure)
        if judged.turned is not None:
            fits = self._fits(one, name)
            sure = judged.sure and judged.verdict is Verdict.WRONG
            edit = turned_edit(text, one, edit, judged.turned, fits=fits) if sure else None
            printed = f"{printed} {judged.turned.bound.other}"
        if judged.due:
            printed = f"{judged.due} in the order {printed}"
        return replace(judged, expected=printed, edit=edit)

    def _fits(self, mention: Mention, name: str) -> bool:
        return (
            agrees(mention, self.material.by_name[name], self.material.bench) is not Verdict.WRONG
        )

    def expected(self, mention: Mention, name: str) -> str:
        """What the design prints for a measurement, in the system that was said."""
        measurement = self.material.by_name[name].measurement
        if mention.unit in ("mm", "cm"):
            return measurement.metric.text
        if mention.unit in ("in", "drill", "gauge", "swg"):
            return measurement.imperial.text
        return measurement.text


class _Verdicts:
    """The verdicts on one piece of talk."""

    def __init__(self, talk: Talk, scripted: Mapping[int, tuple[tuple[str, ...], float]]):
        self.talk = talk
        self.scripted = scripted
        self.tokens = talk.tokens
        self.mentions = talk.mentions
        self._topics: list[str] = []
        self._weighed_all: list[list[Weighed]] = []

    def all(self) -> list[Judged]:
        """A first weighing of each mention, then of those that lean on another one."""
        by_script = self._by_script()
        weighed = [
            self._as_scripted(by_script[number]) if number in by_script
            else self._weighed(number)
            for number in range(len(self.mentions))
        ]  # fmt: skip
        self._share_out(weighed)
        self._lean(weighed)
        self._pair_off(weighed)
        self._repeat(weighed)
        self._swap(weighed)
        self._weighed_all = weighed
        self._topics = [
            one[0].meaning.name.partition(".")[0] if one and self._is_sure(number, one) else ""
            for number, one in enumerate(weighed)
        ]
        decided = [
            by_script[number] if number in by_script
            else self._as_supposed(
                as_speed(self.talk, number, one, self._decided(number, one))
            )
            for number, one in enumerate(weighed)
        ]  # fmt: skip
        placed = self._in_place(up_to_speeds(self.talk, decided), by_script)
        return self._without_denied([self._as_bound(one) for one in placed])

    def _as_bound(self, judged: Judged) -> Judged:
        """A figure that is told as the least where the design has it as the most, or the reverse.

        Where nothing tells whether it is asked for it is unclear.
        """
        named = judged.verdict in _STATES and judged.measurement
        one = judged.mention
        told = named and told_turned(
            self.tokens, one.first, one.after, self.talk.taken, judged.measurement
        )
        if not told or told.force is Force.EXCUSED:
            return judged
        names = judged.may_mean
        if told.force is Force.LATER:
            # "you may go above 800 once it is round": from which ceiling on, its words do not tell,
            # and a higher one in their line would send somebody over it
            wrong = judged.verdict is Verdict.WRONG
            return replace(judged, sure=False, candidates=names) if wrong else judged
        if told.force is Force.ORDERED:
            return replace(
                judged, verdict=Verdict.WRONG, candidates=names, turned=told,
                confidence=max(judged.confidence, _TURNED) if judged.sure else judged.confidence,
            )  # fmt: skip
        if judged.verdict is Verdict.WRONG:
            return replace(judged, sure=False, candidates=names, turned=told)
        return Judged(one, Verdict.AMBIGUOUS, "", names, 0.5, turned=told)

    def _without_denied(self, decided: list[Judged]) -> list[Judged]:
        """A figure behind "not" is no slip, unless it is the one that the design says."""
        denied = [is_denied(self.talk, number) for number in range(len(decided))]
        if not any(denied):
            return decided
        right = {
            one.measurement for one, no in zip(decided, denied, strict=True)
            if no and one.verdict is Verdict.RIGHT
        }  # fmt: skip
        wrong = {
            one.measurement for one, no in zip(decided, denied, strict=True)
            if not no and one.verdict is Verdict.WRONG
        }  # fmt: skip
        out = []
        for one, no in zip(decided, denied, strict=True):
            name = one.measurement
            if no and (one.verdict in (Verdict.WRONG, Verdict.ROUNDED) or name in wrong):
                one = Judged(one.mention, Verdict.NONE, confidence=one.confidence)
            elif no and one.verdict is Verdict.RIGHT:
                one = Judged(one.mention, Verdict.AMBIGUOUS, "", (name,), 0.5)
            elif one.verdict is Verdict.WRONG and name in right:
                # with the figure that is denied behind it no line would make sense
                one = replace(one, sure=False)
            out.append(one)
        return out

    def _weighed(self, number: int) -> list[Weighed]:
        """What a mention may mean: of what is run so fast it is a ceiling and no paper."""
        weighed = self.talk.weighed(number)
        if is_half_way(self.talk, self.mentions[number]):
            return [one for one in weighed if is_of_two(one.meaning)]
        if not is_run_at(self.talk, number):
            return weighed
        ceilings = self.talk.material.ceiling_names
        return [one for one in weighed if one.meaning.name in ceilings]

    def _as_supposed(self, judged: Judged) -> Judged:
        """What is supposed of somebody else's piece may well be another figure: it is only told."""
        if judged.verdict is not Verdict.WRONG or not is_supposed(self.talk, judged.mention):
            return judged
        names = judged.may_mean
        return Judged(judged.mention, Verdict.AMBIGUOUS, "", names, 0.5)

    def _by_script(self) -> dict[int, Judged]:
        """What is said in the words of the script means what the script has there."""
        found: dict[int, Judged] = {}
        material = self.talk.material
        for number, (names, share) in self.scripted.items():
            mention = self.mentions[number]
            possible = material.possible(mention.unit).meanings
            meanings = [one for one in map(material.by_name.get, names) if one in possible]
            verdicts = {one: agrees(mention, one, material.bench) for one in meanings if one}
            fit = [one for one, verdict in verdicts.items() if verdict is not Verdict.WRONG]
            # of two lines in the same words, of two parts, only a figure that fits tells which
            meaning = next(iter(fit or verdicts), None)
            if meaning is None or mention.dated or (not fit and len(names) > 1):
                continue
            verdict, name = verdicts[meaning], meaning.name
            other_rank = self.talk.rank(number) not in ("", meaning.rank) and bool(meaning.rank)
            if verdict is Verdict.WRONG and (other_rank or self._said_rightly(number, meaning)):
                continue
            found[number] = Judged(mention, verdict, name, (name,), round(share, 2))
        return found

    def _as_scripted(self, judged: Judged) -> list[Weighed]:
        """The same for those that lean on it: nothing else may be meant."""
        meaning = self.talk.material.by_name[judged.measurement]
        return [Weighed(meaning, _SCRIPTED, 1.0, 0.0, judged.verdict)]

    def _said_rightly(self, number: int, meaning: Meaning) -> bool:
        """Whether a figure beside this one, in no words of the script, is the right one."""
        return any(
            abs(other - number) == 1 and other not in self.scripted and is_printed(two, meaning)
            for other, two in enumerate(self.mentions)
        )

    def _in_place(self, decided: list[Judged], by_script: Mapping[int, Judged]) -> list[Judged]:
        """What is right by itself but not where it is said: order of papers, round of cuts."""
        name = papers_name(self.talk)
        group = name.partition(".")[0]
        papers = [
            one.verdict is Verdict.RIGHT and one.measurement.partition(".")[0] == group
            for one in decided
        ]
        out = list(decided)
        for number, (due, sure) in papers_in_order(self.talk, papers).items():
            one = decided[number]
            out[number] = (
                Judged(one.mention, Verdict.WRONG, name, (name,), 0.8, due=due)
                if sure
                else Judged(one.mention, Verdict.AMBIGUOUS, "", (name,), 0.5, due=due)
            )
        for number, one in enumerate(decided):
            if number in by_script:
                continue
            out[number] = self._as_place(out[number], out)
            other = ""
            if one.verdict is Verdict.RIGHT:
                other = round_in_hand(self.talk, number, one.measurement)
            if other:
                names = (one.measurement, other)
                out[number] = Judged(one.mention, Verdict.AMBIGUOUS, "", names, 0.5)
        return out

    def _as_place(self, judged: Judged, beside: Sequence[Judged]) -> Judged:
        """A place in a row that was taken for the row's own count: "mark three" of twelve marks.

        Where the design prints the places themselves, such as the marks of each groove, a wrong
        one stays wrong.
        """
        if judged.verdict is not Verdict.WRONG:
            return judged
        mention, material = judged.mention, self.talk.material
        row = row_of(self.talk, mention)
        if row is None or material.by_name[judged.measurement].listed:
            return judged
        within = any(1 <= mention.value <= number for number, _ in row.printed)
        if mention.unit == "drill":
            names = (judged.measurement, row.name)
            return Judged(mention, Verdict.AMBIGUOUS, "", names, 0.5) if within else judged
        if within:
            listed = [one for one in judged.candidates if material.by_name[one].listed]
            fits = [one for one in listed if is_printed(mention, material.by_name[one])]
            # marks said together are those of one groove
            kinds = {one.rpartition("_")[0] for one in fits}
            said = {one.measurement for one in beside if one.verdict is Verdict.RIGHT}
            alike = {one for one in said if one.rpartition("_")[0] in kinds}
            together = [one for one in fits if one in alike]
            if fits and (together or not alike):
                name = (together or fits)[0]
                return Judged(mention, Verdict.RIGHT, name, tuple(fits), 0.6)
            if listed:
                return Judged(mention, Verdict.AMBIGUOUS, "", tuple(listed), 0.5)
            return Judged(mention, Verdict.NONE, confidence=judged.confidence)
        station = cell_at(self.talk, mention)
        if station is not None:
            return Judged(mention, Verdict.RIGHT, station.name, (station.name,), 0.6)
        # which place was meant nobody can tell, only that the row has no such one
        return replace(
            judged, measurement=row.name, candidates=(row.name,), sure=False,
            confidence=min(judged.confidence, _MOST_SURE_OF_SEVERAL),
        )  # fmt: skip

    def _swap(self, weighed: list[list[Weighed]]) -> None:
        """Two figures of which each is the other's: "tenon 8, hole 7.8", where it is 7.8 and 8.

        Their words tell it: each stands nearer to the measurement that its figure is not of.
        """
        for number in range(1, len(weighed)):
            pair = weighed[number - 1], weighed[number]
            best = [max(one, key=lambda w: w.words, default=None) for one in pair]
            if best[0] is None or best[1] is None or best[0].meaning is best[1].meaning:
                continue
            crossed = [
                next((w for w in one if w.meaning is other.meaning), None)
                for one, other in zip(pair, reversed(best), strict=True)
                if other is not None
            ]
            if all(
                mine is not None and theirs is not None and mine.words >= TOLD
                and mine.verdict is Verdict.WRONG and theirs.verdict is Verdict.RIGHT
                and mine.words > theirs.words + TIE
                for mine, theirs in zip(best, crossed, strict=True)
            ):  # fmt: skip
                for place, mine in zip((number - 1, number), best, strict=True):
                    assert mine is not None
                    led = replace(mine, words=weighed[place][0].sum + 1)
                    weighed[place] = [led, *(w for w in weighed[place] if w is not mine)]

    def _repeat(self, weighed: list[list[Weighed]]) -> None:
        """A figure said again means what it rightly meant before: "58 mm, so 58 times 0.293"."""
        for number, mine in enumerate(weighed):
            if not mine or mine[0].verdict is not Verdict.WRONG:
                continue
            one = self.mentions[number]
            for other in range(number):
                two, before = self.mentions[other], weighed[other]
                said = one.value == two.value and one.unit == ""
                sure = said and before and before[0].verdict is Verdict.RIGHT
                same = [w for w in mine if sure and w.meaning is before[0].meaning]
                if not same or self.talk.goes_otherwise(number, same[0].meaning):
                    continue  # "three sixteenths wide, three sixteenths deep" is no width again
                if before[0].words >= TOLD:
                    led = replace(same[0], words=max(TOLD, mine[0].sum + 1))
                    weighed[number] = [led, *(w for w in mine if w is not same[0])]
                    break

    def _is_sure(self, number: int, weighed: list[Weighed]) -> bool:
        """Whether it is plain what a figure means: by words and size, or as the only such unit."""
        best = weighed[0]
        if len(weighed) == 1 and self.mentions[number].unit in ("drill", "gauge", "swg"):
            return True
        return best.verdict is Verdict.RIGHT and best.words + best.step > TOLD

    # repairs and lists

    def _share_out(self, weighed: list[list[Weighed]]) -> None:
        """What one figure says, another one beside it says rather not."""
        for number, mine in enumerate(weighed):
            if not mine or mine[0].verdict is not Verdict.WRONG:
                continue
            for other in (number - 1, number + 1):
                if not 0 <= other < len(weighed) or not weighed[other]:
                    continue
                best = weighed[other][0]
                rightly = best.verdict is Verdict.RIGHT
                claimed = (rightly or self._is_likelier(other, best, number, mine[0])) and (
                    best.step > 0.5 or best.words >= mine[0].words * 0.5
                )
                same = claimed and best.meaning is mine[0].meaning
                if same and not self._is_repair(number, other):
                    less = replace(mine[0], size=mine[0].size + _CLAIMED)
                    weighed[number] = mine = sorted([less, *mine[1:]], key=lambda one: -one.sum)

    def _is_likelier(self, other: int, best: Weighed, number: int, mine: Weighed) -> bool:
        """Whether another figure, though wrong too, is of such a size and this bare one is not.

        "At 36 set the dividers to 5/8 in": they are set to 3/4.
        """
        has_unit = bool(self.mentions[other].unit) and not self.mentions[number].unit
        return has_unit and mine.size <= FARTHER < best.size

    def _lean(self, weighed: list[list[Weighed]]) -> None:
        """A bare figure beside a sure one of its kind means the same: "seventeen; no, sixteen"."""
        for number, mine in enumerate(weighed):
            if not mine or mine[0].words >= TOLD:
                continue
            for other in (number - 1, number + 1):
                if not 0 <= other < len(weighed) or not weighed[other]:
                    continue
                best = weighed[other][0]
                sure = best.words >= TOLD or (best.step > 0.5 and best.verdict is Verdict.RIGHT)
                repaired = self._is_repair(number, other)
                listed = not repaired and other == number - 1 and self._is_list(other, number)
                if not sure or not (listed or repaired):
                    continue
                same = next((one for one in mine if one.meaning is best.meaning), None)
                if same is None or (listed and same.verdict is Verdict.WRONG):
                    continue
                if self.talk.goes_otherwise(number, same.meaning):
                    continue
                led = Weighed(
                    same.meaning, max(TOLD, mine[0].sum + 1), same.step, same.size, same.verdict
                )
                weighed[number] = [led, *(one for one in mine if one is not same)]
                break

    def _pair_off(self, weighed: list[list[Weighed]]) -> None:
        """The second figure of "tenon 8 by 7" is another size of the same thing.

        Of what is called alike: "Tenon, across" and "Tenon, length", "Blank, side of the square"
        and "Blank, length".
        """
        for number in range(1, len(weighed)):
            mine, first = weighed[number], weighed[number - 1]
            one, two = self.mentions[number - 1 : number + 1]
            between = [
                token.word for token in self.tokens[one.after : two.first]
                if token.word not in ADJECTIVES
            ]  # fmt: skip
            if not mine or not first or between not in BY or one.value == two.value:
                continue
            best = first[0].meaning
            alike = [
                w for w in mine
                if w.meaning is not best and w.meaning.part == best.part
                and w.meaning.thing == best.thing and first[0].words >= TOLD
            ]  # fmt: skip
            if alike:
                led = replace(alike[0], words=max(TOLD, mine[0].sum + 1))
                weighed[number] = [led, *(w for w in mine if w is not alike[0])]

    def _is_list(self, first: int, second: int) -> bool:
        """Whether two neighbouring figures of a kind stand in one list: "P150, P220, then P320"."""
        one, two = self.mentions[first], self.mentions[second]
        between = [token.word for token in self.tokens[one.after : two.first]]
        return one.unit == two.unit and len(between) <= 3 and set(between) <= LISTING

    def _is_repair(self, number: int, other: int) -> bool:
        """Whether one of two neighbouring figures is said instead of the other."""
        first, second = sorted((number, other))
        one, two = self.mentions[first], self.mentions[second]
        if one.value == two.value and (one.unit == two.unit or "" in (one.unit, two.unit)):
            return True
        between = {token.word for token in self.tokens[one.after : two.first]}
        if between <= {"or", ",", "maybe", "even", "perhaps"} and _same_kind(one.unit, two.unit):
            return True
        around = {token.word for token in self.tokens[max(0, one.first - 4) : two.after + 6]}
        ahead = [token.word for token in self.tokens[max(0, two.first - 2) : two.first]]
        if ahead[:1] == ["not"] and ahead[-1] in _PASSED:
            between.discard("not")  # "…, 320, not above 500" takes nothing back
        return bool(between & _REPAIRS or around & _FORMER)

    # the verdict

    def _decided(self, number: int, weighed: list[Weighed]) -> Judged:
        """What a mention means by itself, and with a wrong one all that it may mean besides."""
        aside = self._as_aside(number, weighed)
        if aside is not None:
            return aside
        by_row = judged_by_row(self.talk, number, weighed[0], self._weighed_all)
        if by_row is not None:
            return by_row
        judged = self._of_size(number, _with_rivals(self._meant(number, weighed), weighed))
        if judged.verdict is Verdict.WRONG and is_of_unknown(self.talk, self.mentions[number]):
            return replace(judged, sure=False, candidates=judged.may_mean)
        return judged

    def _of_size(self, number: int, judged: Judged) -> Judged:
        """What fits a limit that no word tells of may as well be a slip for the size itself."""
        if judged.measurement not in self.talk.unsaid_limits(number):
            return judged
        names = (judged.measurement, size_of(judged.measurement))
        return Judged(judged.mention, Verdict.AMBIGUOUS, "", names, 0.5)

    def _as_aside(self, number: int, weighed: list[Weighed]) -> Judged | None:
        """What says nothing of a measurement, or only how many of a whole; None for the rest."""
        mention = self.mentions[number]
        if stem(mention.thing) == "side" and mention.value < _LEAST_SIDES:
            return Judged(mention, Verdict.NONE, confidence=0.9)
        if is_offset(self.talk, number) or is_per_pass(self.talk, mention):
            return Judged(mention, Verdict.NONE, confidence=0.8)
        whole = part_of_whole(self.talk, number)
        if whole is not None:
            return self._as_part(number, whole)
        if not weighed and is_a_turn(self.talk, mention):
            names = tuple(one.name for one in self.talk.material.possible("deg").meanings)
            return Judged(mention, Verdict.AMBIGUOUS, "", names, 0.4)
        told = bool(weighed) and weighed[0].words >= TOLD
        if not weighed or is_foreign(self.talk, number, told=told) or relates(self.talk, number):
            return Judged(mention, Verdict.NONE, confidence=0.9)
        if self._keeps_below(number, weighed[0]):
            return Judged(mention, Verdict.NONE, confidence=0.7)
        return None

    def _meant(self, number: int, weighed: list[Weighed]) -> Judged:
        mention, best = self.mentions[number], weighed[0]
        close = self._close(number, weighed)
        printed = self._printed_in_step(mention, best, weighed)
        if printed:
            names = (best.meaning.name, *(one.meaning.name for one in printed))
            return Judged(mention, Verdict.AMBIGUOUS, "", names, 0.5)
        named = self._named(best, weighed)
        if named is not None:
            names = (named.meaning.name, best.meaning.name)
            lead = named.words - best.words - _NAMED
            return Judged(mention, Verdict.WRONG, names[0], names, _confidence(lead))
        rather = self._called(best, weighed)
        if rather:
            fit = [one for one in close if one.verdict is not Verdict.WRONG]
            names = tuple(dict.fromkeys(one.meaning.name for one in (best, *fit, *rather)))
            return Judged(mention, Verdict.AMBIGUOUS, "", names, 0.5)
        if best.words < TOLD or self._is_other_count(mention, best):
            return self._by_figure_and_step(mention, weighed, self.talk.points(number))
        return self._settled(mention, best, close)

    def _close(self, number: int, weighed: list[Weighed]) -> list[Weighed]:
        """What hardly less speaks for than for the heaviest, that one among them."""
        mention, best = self.mentions[number], weighed[0]
        close = [
            one for one in weighed
            if one.sum > best.sum - LEAD
            or (self._is_tied(mention, best, one) and not self._is_topic(number, best, one))
        ]  # fmt: skip
        if best.verdict is not Verdict.RIGHT or not is_own(self.talk, best.meaning):
            return close
        # a row of the tables in hand is not in doubt for what another part would have there
        return [
            one for one in close
            if one.verdict is not Verdict.WRONG or is_in_hand(self.talk, one.meaning)
        ]  # fmt: skip

    def _as_part(self, number: int, whole: Meaning) -> Judged:
        """What counts some of a whole: wrong only where the whole has not so many."""
        mention = self.mentions[number]
        if adds_up(self.talk, number, whole):
            return Judged(mention, Verdict.NONE, confidence=0.8)
        if exceeds(mention, whole):
            names = (whole.name,)
            return Judged(mention, Verdict.WRONG, whole.name, names, 0.7, sure=False)
        return Judged(mention, Verdict.AMBIGUOUS, "", (whole.name,), 0.5)

    def _named(self, best: Weighed, weighed: list[Weighed]) -> Weighed | None:
        """What is named where the figure fits another measurement that nothing names.

        "The bundle is 1.7 mm" is said of the bundle, though the drill for it is 1.7 mm.
        """
        if best.verdict is Verdict.WRONG or best.words > _UNNAMED:
            return None
        named = [
            one for one in weighed
            if one.verdict is Verdict.WRONG and one.words >= best.words + _NAMED
            and one.step >= best.step - TIE and one.size > FAR and not one.meaning.listed
        ]  # fmt: skip
        return max(named, key=lambda one: one.sum, default=None)

    def _keeps_below(self, number: int, best: Weighed) -> bool:
        """Whether a size keeps below what is only a limit: "20 mm" where an end must be below 25.

        Given as the limit itself, another one is wrong.
        """
        if best.verdict is not Verdict.WRONG or _BELOW not in best.meaning.words:
            return False
        mention = self.mentions[number]
        limits = [
            limit for limit, unit in best.meaning.printed
            if unit == mention.unit or (not mention.unit and (limit, unit) in best.meaning.own)
        ]  # fmt: skip
        below = bool(limits) and fastest(mention) < max(limits)
        return below and not states_limit(self.talk, number)

    def _printed_in_step(
        self, mention: Mention, best: Weighed, weighed: list[Weighed]
    ) -> list[Weighed]:
        """Of what the step in hand names and calls alike, what a fine figure hits to a digit.

        "0.26 mm is left": 0.15 mm are left proud by the third round, 0.26 mm by its printed marks.
        """
        fine = is_particular(mention) or bool(mention.about)
        if best.verdict is not Verdict.WRONG or best.step >= _OWN or not fine:
            return []
        return [
            one for one in weighed
            if one.verdict in (Verdict.RIGHT, Verdict.ROUNDED) and one.step >= _OWN
            and mention.unit in MM and one.meaning.thing == best.meaning.thing
        ]  # fmt: skip

    def _called(self, best: Weighed, weighed: list[Weighed]) -> list[Weighed]:
        """What is plainly named where a figure far from it fits what nothing names.

        "The 62 mm neck": the finial is 62 mm long, and its neck is a twentieth of that.
        """
        if best.verdict is Verdict.WRONG or best.words > _UNNAMED:
            return []
        return [
            one for one in weighed
            if one.verdict is Verdict.WRONG and one.words >= best.words + _CALLED
            and one.step >= best.step - TIE and one.size <= FAR and not one.meaning.listed
        ]  # fmt: skip

    def _is_tied(self, mention: Mention, best: Weighed, one: Weighed) -> bool:
        """Whether only the figure tells between two that are called alike.

        The depth of one hole fits and that of another one does not: it may be either.
        """
        return (
            mention.unit not in ("", "count", "ordinal")
            and one.meaning.label == best.meaning.label
            and not one.meaning.listed
            and one.words >= best.words - TIE
            and one.step >= best.step - TIE
            and one.size > FAR
            and best.step > 0.5
        )

    def _is_topic(self, number: int, best: Weighed, one: Weighed) -> bool:
        """Whether another figure of the sentence is surely of what one of two belongs to."""
        topics = {topic for place, topic in enumerate(self._topics) if place != number}
        mine, other = (w.meaning.name.partition(".")[0] for w in (best, one))
        return mine in topics and other not in topics

    def _is_other_count(self, mention: Mention, best: Weighed) -> bool:
        """Whether a wrong count is of something else: "two lines" where no mark is set."""
        if mention.unit != "count" or best.verdict is not Verdict.WRONG:
            return False
        thing, meaning = stem(mention.thing), best.meaning
        everyday = thing in _EVERYDAY and not self._tells(mention, meaning)
        # in a step that has nothing of it the label's own word is asked for
        elsewhere = best.step <= 0.0 and thing not in meaning.named | meaning.label
        unlike = self._is_of_foreign(mention) or self._is_unlike(mention, meaning)
        return everyday or elsewhere or unlike

    def _tells(self, mention: Mention, meaning: Meaning) -> bool:
        """Whether another word than the counted thing itself is of a measurement's label."""
        return bool((meaning.label - {stem(mention.thing)}) & set(self.talk.stems))

    def _is_unlike(self, mention: Mention, meaning: Meaning) -> bool:
        """Whether what is counted is named nowhere in what a measurement is called."""
        thing = stem(mention.thing)
        named = meaning.heads | meaning.label
        return bool(thing) and thing not in named and (thing,) not in meaning.phrases

    def _is_of_foreign(self, mention: Mention) -> bool:
        """Whether what is counted is of a thing of the shop: "three turns of the handwheel"."""
        behind = [token.word for token in self.tokens[mention.after : mention.after + 4]]
        behind = behind[1:] if behind[:1] == [mention.thing] else behind
        return behind[:1] == ["of"] and bool(trade_words().foreign & set(behind[1:3]))

    def _settled(self, mention: Mention, best: Weighed, close: list[Weighed]) -> Judged:
        names = tuple(one.meaning.name for one in close)
        told = [
            one for one in close
            if one.words >= best.words * 0.8 and (best.meaning.listed or not one.meaning.listed)
        ]  # fmt: skip
        if len({one.verdict is Verdict.WRONG for one in told}) > 1:
            return Judged(mention, Verdict.AMBIGUOUS, "", names, 0.5)
        lead = best.sum - max((o.sum for o in close if o.verdict is not best.verdict), default=0.0)
        return Judged(mention, best.verdict, best.meaning.name, names, _confidence(lead))

    def _by_figure_and_step(self, mention: Mention, weighed: list[Weighed], points: bool) -> Judged:
        """No word tells what is meant: the step's own figure, said exactly, does."""
        if mention.unit in ("count", "ordinal") and not any(
            one.verdict is not Verdict.WRONG and one.step > 0.5 for one in weighed
        ):
            return Judged(mention, Verdict.NONE, confidence=0.7)
        fits = [one for one in weighed if one.verdict is not Verdict.WRONG and self._fits(one)]
        own = [one for one in weighed if one.step > 0.5]
        mine = [one for one in own if one.verdict is not Verdict.WRONG]
        telling = [one for one in weighed if not one.meaning.listed]
        few_of = self.talk.material.possible(mention.unit).talked <= _SOME
        few = self.talk.material.possible(mention.unit).talked <= _FEW
        if mention.unit not in ("", "count", "ordinal") and telling and few:
            best = next((one for one in telling if one.verdict is not Verdict.WRONG), telling[0])
            return Judged(mention, best.verdict, best.meaning.name, (best.meaning.name,), 0.8)
        if mine and (mention.unit or is_particular(mention)):
            return Judged(
                mention, mine[0].verdict, mine[0].meaning.name,
                tuple(one.meaning.name for one in mine), 0.7,
            )  # fmt: skip
        if fits and not mine and not points and self._nothing_rivals(mention, fits, own):
            return Judged(
                mention, fits[0].verdict, fits[0].meaning.name,
                tuple(one.meaning.name for one in fits), 0.6,
            )  # fmt: skip
        own.sort(key=lambda one: (-round(max(0.0, one.words), 1), ratio_off(mention, one.meaning)))
        bare = mention.unit == "" and not is_particular(mention) and own and own[0].words <= 0
        if (
            not fits
            and own
            and not bare
            and min(ratio_off(mention, o.meaning) for o in own) < _SIMILAR
        ):
            return Judged(
                mention, Verdict.WRONG, own[0].meaning.name,
                tuple(one.meaning.name for one in own[:4]), 0.5,
            )  # fmt: skip
        fine = mention.value.denominator > 1 and is_fine(mention)
        waited = mention.unit in MINUTES and is_waited(self.tokens, mention.first, mention.after)
        if not fits and own and ((mention.unit in MM and fine) or waited):
            # so fine a figure is hardly talk, nor is what is waited where the step has a time;
            # which of the step's it should be nobody can tell
            names = [one.meaning.name for one in own[:4]]
            return Judged(mention, Verdict.AMBIGUOUS, "", tuple(names), 0.4)
        if not fits:
            return Judged(mention, Verdict.NONE, confidence=0.5)
        names = [one.meaning.name for one in (*fits, *own)]
        alone = len(set(names)) == 1 and (is_particular(mention) or mention.value > _SMALL)
        alike = mention.unit in OURS and few_of and not own
        if (alone or alike) and not points and not mention.thing:
            # it can mean nothing else, or nothing that says otherwise, and hardly fits by chance
            return Judged(mention, fits[0].verdict, names[0], tuple(dict.fromkeys(names)), 0.6)
        return Judged(mention, Verdict.AMBIGUOUS, "", tuple(dict.fromkeys(names)), 0.4)

    def _nothing_rivals(self, mention: Mention, fits: list[Weighed], own: list[Weighed]) -> bool:
        """Whether a figure that hardly agrees by chance fits, and none of the step comes near."""
        sure = is_particular(mention) or mention.unit not in ("", "count", "ordinal", "sides")
        named = fits[0].words > 0 or fits[0].step > 0
        near = [
            one for one in own
            if one.words >= fits[0].words * 0.8 and ratio_off(mention, one.meaning) < _SIMILAR
        ]  # fmt: skip
        return sure and named and not near

    def _fits(self, one: Weighed) -> bool:
        """One of many alike counts only where its part is in hand."""
        return not one.meaning.listed or (
            self.talk.step is not None
            and bool(self.talk.step.part)
            and one.meaning.part == self.talk.step.part
        )


def _with_rivals(judged: Judged, weighed: list[Weighed]) -> Judged:
    """A wrong figure with all that it may mean; where that is more than one it is not sure."""
    if judged.verdict is not Verdict.WRONG:
        return judged
    names = readings(judged.measurement, weighed)
    if not names:
        return judged
    sure = min(judged.confidence, _MOST_SURE_OF_SEVERAL)
    return replace(judged, candidates=names, sure=False, confidence=sure)


def _same_kind(unit: str, other: str) -> bool:
    """Whether two units measure the same."""
    return bool(unit) and (
        unit == other or any(unit in sizes and other in sizes for sizes in (MM, MINUTES))
    )


def _confidence(lead: float) -> float:
    """A lead as a number from 0.5 to 1 (ours)."""
    return round(1 - 0.5 * math.exp(-max(0.0, lead)), 2)


_OWN = 0.9
"""From here on a step names a measurement itself (ours)."""

_BELOW = "below"
"""The word of labels whose figure is a limit to keep under."""

_UNNAMED, _NAMED, _CALLED = 0.2, 1.0, 1.2
"""With words of no more than the first nothing is named; with the second more something is, and
with the third whatever the figure's size (ours)."""

_EVERYDAY = frozenset({"cut", "time"})
"""What is counted at every turn; a measurement is only meant where more of it is named."""

_LEAST_SIDES = 3
"""No figure has fewer; "from two sides" is talk."""

_REPAIRS = word_set("no not call or rather sorry wait actually instead mean said say tell hang was")
_PASSED = word_set("above over past beyond below under")
_FORMER = word_set("old last used year before said some")
