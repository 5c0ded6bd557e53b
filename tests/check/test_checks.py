"""Every check finds what it is for, and says nothing of a sound set."""

from __future__ import annotations

import json
import random
import re

import pytest
from PIL import Image, ImageDraw

from studio.check import overlays
from studio.check.context import Context
from studio.check.findings import Severity
from studio.commands.build import build_files
from studio.episode.assemble import open_episode
from studio.files import write_outputs
from studio.measure.numbers import find_numbers

TEXTS = (
    "handout.html",
    "cut-sheet.html",
    "script.md",
    "description.txt",
    "newsletter.txt",
    "newsletter.md",
    "captions.srt",
    "captions.vtt",
)


def test_a_sound_set_has_no_findings(built) -> None:
    outcome = built.check()
    assert outcome.findings == ()
    assert outcome.untraced == 0
    assert outcome.traced > 300


@pytest.mark.parametrize("name", TEXTS)
def test_a_wrong_number_is_found_with_the_right_one(built, name: str) -> None:
    built.replace(name, "17.5 mm", "18.5 mm")
    finding = built.only()
    assert finding.code == "wrong-number"
    assert finding.where == name
    assert "18.5" in finding.said
    assert "17.5" in finding.expected
    assert "sphere.set_in" in finding.measurement


@pytest.mark.parametrize("name", TEXTS)
def test_a_number_in_words_is_found_too(built, name: str) -> None:
    built.replace(name, "P180", "P two hundred")
    assert "wrong-number" in built.codes()


def test_a_lost_number_is_found(built) -> None:
    built.replace("description.txt", "17.5 mm (11/16 in)", "")
    assert built.only().code == "wrong-number"


def test_an_added_number_is_found(built) -> None:
    built.replace("description.txt", "CHAPTERS", "CHAPTERS, about 7 mm each")
    assert built.only().code == "wrong-number"


def test_a_changed_sentence_is_only_a_note(built) -> None:
    built.replace("description.txt", "hanging ornament", "splendid ornament")
    finding = built.only()
    assert (finding.code, finding.severity) == ("text-changed", Severity.NOTE)


def random_digit_change(text: str, chance: random.Random) -> tuple[str, str, str] | None:
    """One digit of one number in a visible text replaced by another."""
    places = [
        place
        for number in find_numbers(text)
        for place in range(number.start, number.stop)
        if text[place].isdigit()
    ]
    if not places:
        return None
    place = chance.choice(places)
    digit = chance.choice([d for d in "0123456789" if d != text[place]])
    return text[:place] + digit + text[place + 1 :], text[place], digit


@pytest.mark.parametrize(
    "name",
    ["script.md", "description.txt", "captions.srt", "captions.vtt", "chapters.vtt",
     "chapters.ffmeta"],
)  # fmt: skip
def test_any_changed_digit_is_found(built, name: str) -> None:
    """Every tenth digit of the file, cue numbers, times and headers included."""
    whole = (built.out / name).read_text(encoding="utf-8")
    places = [place for place, sign in enumerate(whole) if sign.isdigit()]
    assert len(places) > 20
    for place in places[:: max(1, len(places) // 12)]:
        digit = "7" if whole[place] != "7" else "3"
        (built.out / name).write_text(whole[:place] + digit + whole[place + 1 :], encoding="utf-8")
        assert built.text_errors(name), f"digit {place} of {name} changed and nobody saw"


@pytest.mark.parametrize(
    ("name", "old", "new"),
    [
        ("captions.srt", "\n\n2\n", "\n99\n\n2\n"),
        ("captions.vtt", "WEBVTT", "WEBVTT 99 mm"),
        ("chapters.ffmeta", "TIMEBASE=1/1000", "TIMEBASE=1/100"),
        ("handout.html", "</style>", "h1::after{content:'99 mm'}</style>"),
        ("handout.html", 'role="img"', 'role="img" aria-label="9000 rpm"'),
        ("handout.html", "https://fernhollow", "https://elsewhere"),
        ("description.txt", "CHAPTERS", "Sand with P80, thin to Ø61\n\nCHAPTERS"),
        ("handout.html", "</main>", "<p>Use an inch and three holes at two thousand</p></main>"),
    ],
)
def test_tampering_out_of_sight_is_found(built, name: str, old: str, new: str) -> None:
    built.replace(name, old, new)
    assert built.text_errors(name)


def test_a_doubled_entry_of_the_table_is_found(built) -> None:
    path = built.out / "measurements.json"
    entries = json.loads(path.read_text(encoding="utf-8"))
    path.write_text(json.dumps([{**entries[1], "text": "99 mm"}, *entries]), encoding="utf-8")
    assert built.codes() == ["wrong-number"]


def test_a_caption_of_a_lone_figure_is_no_fault(built) -> None:
    text = built.design.read_text(encoding="utf-8")
    spoken = r"    say: >\n      Sand from.*?\n    show"
    alone = "    say: '{{ index.marks }}'\n    show"
    changed = re.sub(spoken, alone, text, flags=re.DOTALL)
    assert changed != text
    built.design.write_text(changed, encoding="utf-8")
    write_outputs(built.out, build_files(open_episode(built.design)))
    assert built.codes() == []


def test_chapters_and_tools_may_name_measurements(built) -> None:
    text = built.design.read_text(encoding="utf-8")
    text = text.replace("chapter: Round it over", "chapter: Round {{ sphere.diameter }} over")
    text = text.replace("tools: [index plate, pencil]", "tools: ['plate of {{ index.plate }}']")
    built.design.write_text(text, encoding="utf-8")
    write_outputs(built.out, build_files(open_episode(built.design)))
    assert built.codes() == []
    description = (built.out / "description.txt").read_text(encoding="utf-8")
    assert "Round 60 mm over" in description
    assert "plate of 24" in description


def test_the_place_of_each_typed_number(built) -> None:
    text = built.design.read_text(encoding="utf-8")
    changed = text.replace(
        "      Sand from {{ sanding.first }}",
        "      With 120 strokes,\n      then 12 more,\n      and 12 more.\n"
        "      Sand from {{ sanding.first }}",
        1,
    )
    assert changed != text
    built.design.write_text(changed, encoding="utf-8")
    lines = changed.splitlines()
    first = next(number for number, line in enumerate(lines, 1) if "120 strokes" in line)
    told = [f.at for f in built.check().findings if f.code == "typed-number"]
    assert [int(at.split()[1].rstrip(",")) for at in told] == [first, first + 1, first + 2]


def test_talk_is_only_noted_and_things_can_be_excused(built) -> None:
    text = built.design.read_text(encoding="utf-8")
    changed = text.replace(
        "with flat cuts.\n    show", "with the other two, a hexagon key.\n    show"
    )
    assert changed != text
    built.design.write_text(changed + "plain_words: [hexagon key]\n", encoding="utf-8")
    write_outputs(built.out, build_files(open_episode(built.design)))
    finding = built.only()
    assert (finding.code, finding.severity) == ("number-word", Severity.NOTE)


@pytest.mark.parametrize("name", ["handout.html", "cut-sheet.html"])
def test_any_changed_digit_on_a_page_is_found(built, name: str) -> None:
    chance = random.Random(24)
    whole = (built.out / name).read_text(encoding="utf-8")
    body = whole.index("<body")
    inside = [m for m in re.finditer(r">([^<>&]*\d[^<>&]*)<", whole) if m.start() > body]
    for match in chance.sample(inside, 10):
        changed = random_digit_change(match[1], chance)
        if changed is None:
            continue
        page = whole[: match.start(1)] + changed[0] + whole[match.end(1) :]
        (built.out / name).write_text(page, encoding="utf-8")
        assert built.text_errors(name), f"{match[1]!r} became {changed[0]!r} and nobody saw"


def test_a_number_typed_in_the_design_is_told_with_its_line(built) -> None:
    text = built.design.read_text(encoding="utf-8")
    changed = text.replace("with flat cuts.\n    show", "with flat cuts, 18 mm deep.\n    show")
    assert changed != text
    built.design.write_text(changed, encoding="utf-8")
    line = next(n for n, words in enumerate(changed.splitlines(), 1) if "18 mm deep" in words)
    findings = [f for f in built.check().findings if f.code == "typed-number"]
    (finding,) = findings
    assert finding.where == str(built.design)
    assert finding.at.startswith(f"line {line}, ")
    assert finding.said == "18"


def test_a_typed_number_that_is_a_measurement_names_it(built) -> None:
    text = built.design.read_text(encoding="utf-8")
    changed = text.replace("with flat cuts.\n    show", "at 17.5 mm.\n    show")
    built.design.write_text(changed, encoding="utf-8")
    (finding,) = [f for f in built.check().findings if f.code == "typed-number"]
    assert finding.measurement == "sphere.set_in"
    assert "{{ sphere.set_in }}" in finding.expected


def test_number_words_typed_in_the_design_are_found(built) -> None:
    text = built.design.read_text(encoding="utf-8")
    built.design.write_text(
        text.replace("with flat cuts.\n    show", "in twelve cuts.\n    show"), encoding="utf-8"
    )
    assert "typed-number" in built.codes()


def test_a_figure_that_this_sphere_never_has(built) -> None:
    text = built.design.read_text(encoding="utf-8")
    built.design.write_text(text.replace("The octagon's side is", "The hexagon's side is"), "utf-8")
    assert "unknown-figure" in built.codes()


def test_outputs_of_an_older_design_are_found(built) -> None:
    text = built.design.read_text(encoding="utf-8")
    built.design.write_text(text.replace("  diameter: 60 mm", "  diameter: 58 mm"), "utf-8")
    found = {finding.where for finding in built.check().findings}
    assert {*TEXTS, "measurements.json"} <= found
    assert any(where.startswith("overlays/") for where in found)


@pytest.mark.parametrize("name", [*TEXTS, "chapters.vtt", "chapters.ffmeta", "measurements.json"])
def test_a_missing_file_is_found(built, name: str) -> None:
    (built.out / name).unlink()
    assert "missing-file" in built.codes()


@pytest.mark.parametrize("content", [b"\xff\xfe broken", b"", b"{"])
def test_a_broken_table_is_found(built, content: bytes) -> None:
    (built.out / "measurements.json").write_bytes(content)
    assert built.codes() == ["missing-file"]


def test_a_changed_value_in_the_table_is_found(built) -> None:
    path = built.out / "measurements.json"
    entries = json.loads(path.read_text(encoding="utf-8"))
    entries[1]["value"] += 1
    path.write_text(json.dumps(entries), encoding="utf-8")
    assert built.only().measurement == entries[1]["name"]


def test_a_retouched_overlay_is_found(built) -> None:
    path = sorted((built.out / "overlays").glob("*.png"))[0]
    with Image.open(path) as picture:
        info = dict(picture.info)
        changed = picture.convert("RGBA")
    # a digit's worth of pixels painted over, alpha untouched
    ImageDraw.Draw(changed).rectangle((60, 60, 63, 66), fill=(1, 2, 3, 255))
    from PIL.PngImagePlugin import PngInfo

    kept = PngInfo()
    for key, value in info.items():
        if isinstance(value, str):
            kept.add_itxt(key, value)
    changed.save(path, pnginfo=kept)
    assert built.only().code == "wrong-overlay"


def test_a_missing_overlay_is_found_and_its_caution_missed(built) -> None:
    (path,) = (built.out / "overlays").glob("02-rough-caution.png")
    path.unlink()
    assert set(built.codes()) == {"missing-overlay", "missing-caution"}


def test_an_overlay_left_from_an_earlier_build_is_found(built) -> None:
    overlays = built.out / "overlays"
    old = sorted(overlays.glob("*.png"))[0]
    (overlays / "99-gone.png").write_bytes(old.read_bytes())
    assert built.only().code == "left-over-overlay"


@pytest.mark.parametrize("name", ["99-hang.png", "mine.JPG"])
def test_a_picture_of_the_turners_own_is_told_and_left_alone(built, name: str) -> None:
    path = built.out / "overlays" / name
    Image.new("RGB", (8, 8)).save(path)
    before = path.read_bytes()
    outcome = overlays.check(Context.of(built.design, built.out))
    (note,) = outcome.findings
    assert (note.code, note.severity) == ("unknown-overlay", Severity.NOTE)
    assert note.where == f"overlays/{name}"
    assert "another folder" in note.expected
    assert outcome.errors == 0
    assert path.read_bytes() == before


def test_what_is_no_picture_is_not_told(built) -> None:
    (built.out / "overlays" / "notes.txt").write_text("60 mm", "utf-8")
    assert overlays.check(Context.of(built.design, built.out)).findings == ()


@pytest.mark.parametrize("name", ["handout.html", "cut-sheet.html"])
def test_a_caution_cut_from_a_page_is_found(built, name: str) -> None:
    text = (built.out / name).read_text(encoding="utf-8")
    words = "A cut end of wire flies."
    assert words in text
    (built.out / name).write_text(text.replace(words, ""), encoding="utf-8")
    assert "missing-caution" in built.codes()


def test_a_caution_cut_from_the_description_is_found(built) -> None:
    built.replace("description.txt", "Mask and extraction on. Tool rest away.", "")
    assert "missing-caution" in built.codes()


def test_the_deference_may_not_go(built) -> None:
    built.replace("description.txt", "your local codes and licensed practice", "your mood")
    assert "missing-caution" in built.codes()


def test_stamps_that_disagree_are_found(built) -> None:
    built.replace("chapters.vtt", "00:00:40.000 -->", "00:00:42.000 -->")
    assert {"chapters-disagree", "wrong-time"} <= set(built.codes())
    built.replace("description.txt", "0:40", "0:42")
    assert "wrong-number" in built.codes()


def test_marks_that_leave_a_caution_no_time_are_an_error(built) -> None:
    text = built.design.read_text(encoding="utf-8")
    built.design.write_text(
        text.replace("    mark-octagon: 0:15", "    mark-octagon: 0:02"), "utf-8"
    )
    assert "late-caution" in built.codes()


def test_a_file_that_is_no_film_is_told(built) -> None:
    (built.out / "film.mp4").write_bytes(b"not a film")
    write_outputs(built.out, build_files(open_episode(built.design), built.out))
    assert built.only().code == "stale-film"


def test_a_player_without_a_film_is_told_and_a_film_without_a_player(built) -> None:
    film = built.out / "film.mp4"
    film.write_bytes(b"not a film")
    found = [one for one in built.check().findings if one.where == "handout.html"]
    assert [(one.code, one.said) for one in found] == [
        ("page-changed", "(no player, but a film lies here)")
    ]
    write_outputs(built.out, build_files(open_episode(built.design), built.out))
    assert "<video" in (built.out / "handout.html").read_text("utf-8")
    film.unlink()
    (one,) = built.check().findings
    assert (one.code, one.where, one.said) == (
        "page-changed", "handout.html", "(a player, but no film here)",
    )  # fmt: skip


def test_swapped_ends_of_the_lathe_are_found(built) -> None:
    text = (built.out / "handout.html").read_text(encoding="utf-8")
    assert "tailstock" in text
    built.replace("handout.html", "tailstock", "headstock")
    assert "wrong-side" in built.codes()
