"""``studio check --said``: captions of what was really said."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from studio import cli
from studio.check.context import Context
from studio.check.findings import Finding, Severity
from studio.check.said import check_said, pieces_of, steps_of
from studio.errors import BadInput
from studio.measure.trace import plain
from studio.voice.captions import MAX_BYTES, Caption, read_captions


def said(built, text: str, name: str = "said.srt", **more: bool) -> tuple[Finding, ...]:
    outcome, _ = check_said(Context.of(built.design, built.out), write(built, text, name), **more)
    return outcome.findings


def write(built, text: str, name: str = "said.srt") -> Path:
    path = built.out / name
    path.write_text(text, encoding="utf-8")
    return path


def own_captions(built) -> str:
    return (built.out / "captions.srt").read_text(encoding="utf-8")


def heard(text: str) -> str:
    """Captions as a recogniser writes them: small letters, no punctuation."""
    blocks = []
    for block in text.strip().split("\n\n"):
        number, times, *words = block.split("\n")
        small = re.sub(r"[,;:!?°]|\.(?!\d)", "", " ".join(words).lower())
        blocks.append(f"{number}\n{times}\n{small}\n")
    return "\n".join(blocks)


def test_the_films_own_captions_have_nothing_wrong(built) -> None:
    for text in (own_captions(built), heard(own_captions(built))):
        path = write(built, text)
        outcome, counts = check_said(Context.of(built.design, built.out), path, details=True)
        assert outcome.findings == ()
        assert counts["right"] > 10
        assert (counts["wrong"], counts["ambiguous"], outcome.untraced) == (0, 0, 0)
        assert outcome.traced == counts["right"] + counts["rounded"]


def test_a_wrong_number_is_told_with_time_line_and_what_to_say(built) -> None:
    context = Context.of(built.design, built.out)
    right = context.episode.table["sphere.set_in"].text
    text = own_captions(built)
    assert right in text
    wrong = text.replace(right, "71.5 mm", 1)
    (finding,) = said(built, wrong)
    assert finding.code == "said-wrong"
    assert finding.severity is Severity.ERROR
    assert finding.measurement == "sphere.set_in"
    assert finding.where == "said.srt"
    line = next(n for n, one in enumerate(wrong.splitlines(), 1) if "71.5" in one)
    number = int(re.search(r"line (\d+)", finding.at)[1])  # type: ignore[index]
    assert number in (line, line - 1)
    assert re.match(r"\d+:\d\d, line", finding.at)
    assert "71.5 mm" in finding.said
    assert "say: " in finding.expected
    assert right in finding.expected
    assert "sure: " in finding.expected
    assert re.search(r"\(patch: \d:\d\d\.\d to \d:\d\d\.\d\)$", finding.expected)


def test_a_patch_is_cut_in_from_the_sentences_first_caption_to_its_last(built) -> None:
    captions = """1
00:00:03,080 --> 00:00:04,000
Nothing to see yet.

2
00:00:15,040 --> 00:00:17,000
Set dividers to

3
00:00:17,000 --> 00:00:19,634
71.5 mm, and mark in from every corner.

4
00:00:20,000 --> 00:00:21,000
That was all.
"""
    (finding,) = said(built, captions)
    assert finding.expected.endswith("(patch: 0:15.0 to 0:19.7)")
    (untimed,) = said(built, "Set dividers to 71.5 mm, and mark in.", "said.txt")
    assert "patch" not in untimed.expected


def with_times_of_lines(captions: str, form: str) -> str:
    """SubRip captions as copied from a page: a time, whole seconds, above or before the words."""
    lines = []
    for block in captions.strip().split("\n\n"):
        _, times, *words = block.split("\n")
        hours, minutes, seconds = map(int, times[:8].split(":"))
        lines.append(form.format(f"{hours * 60 + minutes}:{seconds:02d}", " ".join(words)))
    return "\n".join(lines)


@pytest.mark.parametrize("form", ["{0}\n{1}", "{0} {1}", "[{0}] {1}", "({0}) {1}", "{0} - {1}"])
def test_times_of_lines_are_no_numbers_and_take_no_words(built, form: str) -> None:
    context = Context.of(built.design, built.out)
    right = context.episode.table["sphere.set_in"].text
    for text in (own_captions(built), heard(own_captions(built))):
        plain_text = with_times_of_lines(text, form)
        _, counts = check_said(context, write(built, text))
        outcome, same = check_said(context, write(built, plain_text, "said.txt"))
        assert (same, outcome.findings) == (counts, ())
    wrong = own_captions(built).replace(right, "71.5 mm", 1)
    (finding,) = said(built, with_times_of_lines(wrong, form), "said.txt")
    assert finding.measurement == "sphere.set_in"
    assert re.match(r"\d+:\d\d, line", finding.at)
    assert finding.patch is not None
    assert finding.patch.in_ms is not None
    assert right in finding.patch.say
    assert ":" not in finding.patch.say


RUNNING_ON = """1
00:00:15,000 --> 00:00:18,900
and that is that so now set dividers to

2
00:00:19,000 --> 00:00:21,900
seventy one point five millimetres and mark in from

3
00:00:22,000 --> 00:00:24,900
every corner now what i like to do here is

4
00:00:25,000 --> 00:00:27,900
just take my time and let the tool do the work

5
00:00:28,000 --> 00:00:30,900
and listen to the sound of it because you can hear

6
00:00:31,000 --> 00:00:33,900
when the bevel rubs and when it does not you know
"""


def test_in_talk_without_stops_a_patch_is_the_numbers_own_sentence(built) -> None:
    """The script says "Set dividers to …, and mark in from every corner."."""
    (finding,) = said(built, RUNNING_ON)
    assert finding.patch is not None
    assert (finding.patch.in_ms, finding.patch.out_ms) == (15_000, 24_900)
    assert finding.patch.say == (
        "and that is that so now set dividers to seventeen point five millimetres and mark in from "
        "every corner now what i like to do here is"
    )
    assert finding.expected.endswith(f"say: {finding.patch.say} (patch: 0:15.0 to 0:24.9)")
    (untimed,) = said(built, "\n".join(RUNNING_ON.splitlines()[2::4]), "said.txt")
    assert untimed.patch is not None
    assert untimed.patch.say == finding.patch.say


def test_where_the_script_has_no_such_sentence_it_is_the_numbers_captions(built) -> None:
    talk = RUNNING_ON.replace("set dividers to", "i always have").replace(
        "seventy one point five millimetres and mark in from",
        "a set in of seventy one point five millimetres here"
    )  # fmt: skip
    (finding,) = said(built, talk)
    assert finding.patch is not None
    assert (finding.patch.in_ms, finding.patch.out_ms) == (19_000, 21_900)
    assert finding.patch.say == "a set in of seventeen point five millimetres here"
    # a word or two cannot be cut in: the neighbours come with it
    alone = talk.replace("a set in of seventy one point five millimetres here", "set in 71.5 mm")
    (finding,) = said(built, alone)
    assert finding.patch is not None
    assert (finding.patch.in_ms, finding.patch.out_ms) == (15_000, 21_900)


RUNNING = (
    "just let the tool do the work and listen to it and take your time there is no hurry at "
    "all now turn a cylinder of sixty six millimetres while it is rough stay below eighteen "
    "hundred revolutions a minute and when it runs true go on to the next of the cuts here "
)


@pytest.mark.parametrize("words", range(2, 9))
def test_every_wrong_number_of_a_line_is_mended_wherever_captions_end(built, words: int) -> None:
    """The line may reach into the next piece of talk, and numbers over the ends of captions.

    Behind the film's end, so that words and not times tell the step.
    """
    talk = (RUNNING * 2).split()
    captions = "".join(
        f"{n}\n00:10:{n * 2:02},000 --> 00:10:{n * 2 + 1:02},950\n"
        f"{' '.join(talk[n * words : (n + 1) * words])}\n\n"
        for n in range(min(29, len(talk) // words))
    )
    found = [one for one in said(built, captions) if one.patch is not None]
    assert found
    for one in found:
        assert one.patch is not None
        assert one.patch.in_ms is not None
        assert one.patch.out_ms is not None
        first, last = ((ms - 600_000) // 2_000 for ms in (one.patch.in_ms, one.patch.out_ms))
        whole = " ".join(talk[first * words : (last + 1) * words])
        right = whole.replace("sixty six", "sixty").replace("eighteen", "eight")
        assert one.patch.say == right
        assert ("sixty" in right) <= ("sixty mil" in right), "no number is cut"
        assert ("eight" in right) <= ("eight hundred revolutions a minute" in right)
        assert last - first < 16 / words + 3


def test_every_changed_number_of_the_captions_is_found_or_unclear(built) -> None:
    """Each figure with a unit, one at a time, a tenth larger and one digit more."""
    text = own_captions(built)
    places = list(re.finditer(r"(\d+(?:\.\d+)?)(?= (?:mm|rpm)\b)", text))
    assert len(places) > 8
    missed = []
    for place in places:
        changed = f"{text[: place.start()]}{float(place[1]) * 1.37:.1f}{text[place.end() :]}"
        codes = {one.code for one in said(built, changed)}
        if not codes & {"said-wrong", "said-unclear"}:
            missed.append(place[0])
    assert missed == []


def test_a_number_that_runs_over_two_captions_is_read_as_one(built) -> None:
    text = (
        "1\n00:00:16,000 --> 00:00:17,900\nset the dividers to seventeen point\n\n"
        "2\n00:00:18,000 --> 00:00:19,900\nfive millimetres from each corner\n"
    )
    outcome, counts = check_said(Context.of(built.design, built.out), write(built, text))
    assert (counts["right"], sum(counts.values())) == (1, 1), outcome.findings


def test_what_is_unclear_is_a_note_and_counted_by_itself(built) -> None:
    path = write(built, "Fifteen, that's the one to remember.\n", "said.txt")
    outcome, counts = check_said(Context.of(built.design, built.out), path)
    (finding,) = outcome.findings
    assert (finding.code, finding.severity) == ("said-unclear", Severity.NOTE)
    assert finding.at == "line 1"
    assert "may mean" in finding.expected
    assert (outcome.traced, outcome.untraced, counts["ambiguous"]) == (0, 0, 1)


def test_rounding_is_told_with_details_alone(built) -> None:
    text = "1\n00:00:16,000 --> 00:00:19,000\nThat's about eighteen millimetres from each corner.\n"
    assert said(built, text) == ()
    (finding,) = said(built, text, details=True)
    assert (finding.code, finding.severity) == ("said-rounded", Severity.NOTE)


def test_without_times_the_step_is_known_by_the_words(built) -> None:
    episode = Context.of(built.design, built.out).episode
    lines = [plain(step.say) for step in episode.steps]
    captions = tuple(Caption(None, None, " ".join(t.split()), n) for n, t in enumerate(lines, 1))
    assert steps_of(episode, captions) == [step.id for step in episode.steps]


def test_captions_longer_than_the_film_go_by_words_too(built) -> None:
    episode = Context.of(built.design, built.out).episode
    assert episode.length_ms is not None
    late = episode.length_ms + 60_000
    step = episode.steps[2]
    captions = (Caption(late, late + 4_000, plain(step.say), 3),)
    assert steps_of(episode, captions) == [step.id]
    early = (Caption(1_000, 4_000, plain(step.say), 3),)
    assert steps_of(episode, early) == [episode.steps[0].id]


def test_sentences_end_at_full_stops_and_not_at_abbreviations() -> None:
    captions = (
        Caption(0, 900, "Drill it with a No.", 3),
        Caption(950, 1900, "51 drill. Then glue", 7),
        Caption(1950, 2900, "the wire in.", 11),
    )
    pieces = list(pieces_of(captions))
    assert [one.text for one in pieces] == [
        "Drill it with a No. 51 drill.",
        "Then glue the wire in.",
    ]
    assert pieces[1].caption_at(0).line == 7
    assert pieces[1].caption_at(12).line == 11


def test_the_command_counts_exits_with_one_and_prints_json(
    built, capsys: pytest.CaptureFixture[str]
) -> None:
    arguments = ["check", str(built.design), "--out", str(built.out), "--said"]
    fine = write(built, own_captions(built))
    assert cli.main([*arguments, str(fine)]) == 0
    assert "0 wrong" in capsys.readouterr().out
    context = Context.of(built.design, built.out)
    right = context.episode.table["sphere.set_in"].text
    wrong = write(built, own_captions(built).replace(right, "71.5 mm", 1))
    assert cli.main([*arguments, str(wrong), "--json"]) == 1
    told = json.loads(capsys.readouterr().out)
    assert told["said"]["wrong"] == 1
    assert [one["code"] for one in told["findings"]] == ["said-wrong"]
    assert told["untraced"] == 1
    (found,) = told["findings"]
    assert 0.5 <= found["confidence"] <= 1
    assert right in found["patch"]["say"]
    assert "71.5" not in found["patch"]["say"]
    around = [one for one in read_captions(wrong) if "71.5" in one.text]
    assert found["patch"]["in"] <= around[0].start_ms < around[0].end_ms <= found["patch"]["out"]
    untimed = write(built, "The set-in is 71.5 mm from each corner.", "said.txt")
    assert cli.main([*arguments, str(untimed), "--json"]) == 1
    patch = json.loads(capsys.readouterr().out)["findings"][0]["patch"]
    assert (patch["in"], patch["out"]) == (None, None)
    assert right in patch["say"]
    assert cli.main(["check", str(built.design), "--out", str(built.out), "--json"]) == 0
    assert "said" not in json.loads(capsys.readouterr().out)


VTT = """\
WEBVTT

STYLE
::cue {color: white}

00:15.000 --> 00:17.000 align:start
<v Ann>Set &amp; go</v>
"""


def test_webvtt_with_voices_and_settings_is_read(tmp_path: Path) -> None:
    path = tmp_path / "a.vtt"
    path.write_text(VTT, encoding="utf-8")
    (one,) = read_captions(path)
    assert (one.start_ms, one.end_ms, one.text, one.line) == (15_000, 17_000, "Set & go", 7)


def test_rolling_captions_are_said_once(tmp_path: Path) -> None:
    path = tmp_path / "a.vtt"
    path.write_text(
        "WEBVTT\n\n00:00.000 --> 00:02.000\none two\n\n00:02.000 --> 00:02.010\none two\n\n"
        "00:02.010 --> 00:04.000\none two\nthree four\n",
        encoding="utf-8",
    )
    assert [one.text for one in read_captions(path)] == ["one two", "three four"]


@pytest.mark.parametrize(
    ("name", "data", "says"),
    [
        ("a.srt", b"1\n00:00:01,000 --> 00:0x:02,000\nhello\n", "a.srt:2:1"),
        ("a.srt", b"\xff\xfe\x00\x01 -->", "UTF-8"),
        ("a.txt", b"a\x00b", "UTF-8"),
        ("a.srt", b"x" * (MAX_BYTES + 1), "5 MB"),
    ],
)
def test_what_cannot_be_read_is_told_with_what_to_give(
    tmp_path: Path, name: str, data: bytes, says: str
) -> None:
    path = tmp_path / name
    path.write_bytes(data)
    with pytest.raises(BadInput) as caught:
        read_captions(path)
    assert says in str(caught.value)
    assert str(path) in str(caught.value)


def test_a_missing_file_is_told(built, capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    missing = tmp_path / "none.srt"
    arguments = ["check", str(built.design), "--out", str(built.out), "--said", str(missing)]
    assert cli.main(arguments) == 2
    assert "no such file" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("1\n00:00:15 -> 00:00:19\nThe dividers are set to 25 millimetres.\n", "no time of a"),
        ("1\n00:00:15,000 → 00:00:19,000\nThe dividers are set to 25 mm.\n", "no time of a"),
        ("The dividers are set to 25 millimetres.\n", "no caption in it has a time"),
        ("1\n00:00:15,000 --> 00:00:19,000\n\n", "no words are in it"),
        ("", "no words are in it"),
    ],
)
def test_captions_that_hold_nothing_to_check_are_refused(built, text: str, told: str) -> None:
    with pytest.raises(BadInput, match=told):
        said(built, text)


def test_the_line_to_say_is_right_as_a_whole(built) -> None:
    line = "The octagon's side is 27 mm, so set the dividers to 19.5 mm."
    found = said(built, line, "said.txt")
    assert len(found) == 2
    for one in found:
        assert "The octagon's side is 25 mm, so set the dividers to 17.5 mm." in one.expected


@pytest.mark.parametrize("ending", [".", ""])
def test_the_line_to_say_has_the_article_of_its_figure(built, ending: str) -> None:
    (found,) = said(built, f"So it is an 11 mm ball{ending}", "said.txt")
    size = Context.of(built.design, built.out).episode.table["sphere.diameter"].text
    assert found.patch is not None
    assert found.patch.say == f"So it is a {size} ball{ending}"


def test_where_it_is_not_sure_what_is_meant_the_line_is_left_to_the_turner(built) -> None:
    text = "1\n00:00:01,000 --> 00:00:04,000\nNot over 29,000 rpm, please.\n"
    late = text.replace("00:00:0", "09:00:0")  # behind the film's end: no step is known
    (finding,) = said(built, late)
    assert finding.code == "said-wrong"
    assert " may mean " in finding.expected
    assert "speed.sanding" in finding.expected
    assert "say: " not in finding.expected
    assert "the figure that is meant (patch: 9:00:01.0 to 9:00:04.0)" in finding.expected
    assert finding.measurement == ""
    assert finding.patch is not None
    assert finding.patch.say == ""


def test_a_line_with_another_number_in_doubt_is_not_given(built) -> None:
    table = Context.of(built.design, built.out).episode.table
    wrong = f"{table['sphere.set_in'].value + 3:g} mm"
    text = f"Set the dividers to {wrong} from each corner, and not over 29,000 rpm.\n"
    sure, doubtful = said(built, text, "said.txt")
    assert f"is {table['sphere.set_in'].text} by the design" in sure.expected
    assert " may mean " in doubtful.expected
    assert "say: " not in sure.expected + doubtful.expected
