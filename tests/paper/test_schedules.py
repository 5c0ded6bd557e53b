"""Schedules as they are printed: complete, traced, beside their drawing, and nothing said twice."""

from __future__ import annotations

import re
from dataclasses import replace
from html import unescape

import pytest

from studio.episode.records import Episode
from studio.measure.schedule import Schedule
from studio.measure.trace import mark, plain, spans
from studio.paper import PAPERS, visible_text
from studio.paper.unbroken import parted
from studio.paper.views import groups, is_wide, plates, word_columns

PAGES = ("handout.html", "cut-sheet.html")
HOSTILE = '<script>alert("x")</script> {{ seven }} &lt;i&gt;'


def tables(page: str) -> list[str]:
    return re.findall(r'<table class="schedule.*?</table>', page, re.DOTALL)


def cells(table: str) -> list[list[str]]:
    """The figures of each row, names of columns left out."""
    rows = re.findall(r"<tr>(.*?)</tr>", table.partition("</thead>")[2], re.DOTALL)
    bare = [re.sub(r'<span class="column".*?</span>\n', "", row, flags=re.DOTALL) for row in rows]
    return [re.findall(r"<td.*?</td>", row, re.DOTALL) for row in bare]


@pytest.mark.parametrize("paper", PAGES)
def test_every_schedule_is_printed_once_with_every_row(paper: str, crowned: Episode) -> None:
    page, known = parted(PAPERS[paper](crowned)), dict(crowned.table)
    assert len(tables(page)) == len(crowned.schedules) >= 8
    for schedule in crowned.schedules:
        same = [one for one in tables(page) if f"schedule:{schedule.name}" in one]
        assert len(same) == 1, schedule.name
        rows = cells(same[0])
        assert len(rows) == len(schedule.rows)
        for row, names in zip(rows, schedule.rows, strict=True):
            for cell, name in zip(row, names, strict=False):
                found = [span for span in spans(cell)[1] if ":" not in span.name]
                assert {span.name for span in found} == ({name} if name else set())
                if name:
                    assert unescape(found[0].text) == crowned.table[name].text
        for words in schedule.columns:
            shown = known[words].text if words in known else words
            assert shown in plain(same[0])
        for note in schedule.notes:
            assert plain(note) in plain(visible_text(page))


def test_the_handout_prints_both_systems_and_the_cut_sheet_the_first(crowned: Episode) -> None:
    name = "finial.at_2"
    other = crowned.table[name].other
    assert other
    for paper, times in (("handout.html", 1), ("cut-sheet.html", 0)):
        page = parted(PAPERS[paper](crowned))
        table = next(one for one in tables(page) if "finial.stations" in one)
        assert table.count(mark(name, other)) == times
        size = "figure in-first" if times else "figure big"
        assert f'<span class="{size}">{mark(name, crowned.table[name].text)}' in table


def test_a_pencil_has_room_on_the_cut_sheet_where_callipers_are_used(crowned: Episode) -> None:
    page = PAPERS["cut-sheet.html"](crowned)
    for one in tables(page):
        schedule = next(each for each in crowned.schedules if f"schedule:{each.name}" in one)
        assert one.count('<td class="pencil">') == (len(schedule.rows) if schedule.pencil else 0)
    assert any(each.pencil for each in crowned.schedules)
    assert 'class="pencil"' not in "".join(tables(PAPERS["handout.html"](crowned)))


def test_what_stands_in_a_schedule_is_not_listed_again(crowned: Episode) -> None:
    scheduled = {name for one in crowned.schedules for name in one.names()}
    listed = [one.name for group in groups(crowned) for one in group.measurements]
    assert len(listed) == len(set(listed))
    assert not scheduled & set(listed)
    titles = {name for name in crowned.table if name.endswith(".title")}
    assert scheduled | set(listed) | titles == set(crowned.table)
    page = PAPERS["handout.html"](crowned)
    for name in scheduled:
        assert f'id="m-{name}"' not in page


def test_subjects_hold_their_own_drawings_and_schedules(crowned: Episode) -> None:
    found = {group.key: group for group in groups(crowned)}
    assert len(found["sphere"].drawings) == 4
    assert [one.name for one in found["axis"].wide] == ["axis.card"]
    assert len(found["axis"].drawings) == 1
    finial = found["finial"]
    assert plain(finial.heading) == crowned.table["finial.title"].text
    assert [one.name for one in finial.narrow] == ["finial.stations", "finial.partings"]
    assert len(finial.drawings) == 1
    keys = list(found)
    assert keys.index("profile") < keys.index("finial") < keys.index("hanger")
    assert all(one.subject == group.key for group in found.values() for one in group.drawings)


def test_at_the_bench_each_stands_in_the_step_that_wants_it(crowned: Episode) -> None:
    found = plates(crowned)
    steps = [step.id for step in crowned.steps]
    assert set(found.by_step) <= set(steps)
    where = {
        one.name: step
        for step, plate in found.by_step.items()
        for one in (*plate.narrow, *plate.wide)
    }
    assert where["finial.stations"] == where["finial.partings"] == "turn-finial"
    assert where["axis.card"] == "mount-axis"
    drawn = {one.subject: step for step, plate in found.by_step.items() for one in plate.drawings}
    assert drawn["finial"] == "turn-finial"
    assert drawn["axis"] == "mount-axis"
    assert [one.subject for one in found.leading] == ["sphere"]
    rest = (one.plate for one in found.rest)
    everything = [one.name for plate in (*found.by_step.values(), *rest)
                  for one in (*plate.narrow, *plate.wide)]  # fmt: skip
    stock = [one.name for one in crowned.schedules if one.subject == "stock"]
    assert sorted(everything + stock) == sorted(one.name for one in crowned.schedules)


def test_without_steps_schedules_and_drawings_still_have_a_place(crowned: Episode) -> None:
    found = plates(replace(crowned, steps=(), cards=()))
    assert found.by_step == {}
    assert {one.key for one in found.rest if one.plate.drawings} >= {"finial", "axis", "assembly"}
    for one in found.rest:
        plate = one.plate
        assert {each.subject for each in (*plate.drawings, *plate.narrow, *plate.wide)} == {one.key}
    text = visible_text(PAPERS["cut-sheet.html"](replace(crowned, steps=(), cards=())))
    rest = text.partition("More for the bench")[2]
    # two parts have a table of the same name: each stands under its part's
    assert rest.count("Parting cuts, in order from the tailstock") == 2
    assert rest.index("Finial") < rest.index("Parting cuts") < rest.index("Cap")


def test_columns_are_words_or_figures_all_the_way_down(crowned: Episode) -> None:
    by_name = {one.name: one for one in crowned.schedules}
    assert word_columns(crowned.table, by_name["finial.stations"]) == {3}
    assert is_wide(crowned.table, by_name["axis.card"])
    assert not is_wide(crowned.table, by_name["finial.stations"])
    # few columns, but sentences in most of them
    few = replace(
        by_name["grooves.seats"],
        columns=by_name["grooves.seats"].columns[:4],
        rows=tuple(row[:4] for row in by_name["grooves.seats"].rows),
    )
    assert is_wide(crowned.table, few)


@pytest.mark.parametrize("paper", PAGES)
def test_a_schedule_of_harmful_words_is_shown_as_text(paper: str, episode: Episode) -> None:
    bad = Schedule(
        name="value.bad",
        heading=HOSTILE,
        columns=(HOSTILE, "sphere.diameter"),
        rows=(("sphere.diameter", "value.flat"), ("sphere.set_in", "")),
        notes=(HOSTILE,),
        pencil=True,
    )
    page = PAPERS[paper](replace(episode, schedules=(bad,)))
    # the handout's own: its data, its script
    assert page.count("<script") == (2 if paper == "handout.html" else 0)
    assert visible_text(page).count("{{ seven }}") >= 3
    assert '<td class="empty"></td>' in page
    assert mark("sphere.diameter", episode.table["sphere.diameter"].text) in page


@pytest.mark.parametrize("paper", PAPERS)
def test_every_mark_of_the_fullest_design_says_what_its_name_says(
    paper: str, crowned: Episode
) -> None:
    marked = PAPERS[paper](crowned)
    seen = visible_text(marked) if paper.endswith(".html") else marked
    known = dict(crowned.table)
    for span in spans(seen)[1]:
        if span.name in known:
            m = known[span.name]
            assert " ".join(span.text.split()) in {m.text, m.other, m.both}, span
