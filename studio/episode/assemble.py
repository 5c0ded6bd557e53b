"""From a design's path to the episode that every output draws from."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from functools import partial
from pathlib import Path

from studio.compute.batch import compute_batch
from studio.compute.parts import base_part
from studio.compute.speed import stage_measurement
from studio.compute.table import compute
from studio.design.document import Keys
from studio.design.reading import Problem, ReadDesign, load
from studio.design.schema import NOTHING, STAGES, Design, Film, Step
from studio.episode.captions import captions, captions_like, sentence_times, speaking_ms
from studio.episode.cards import (
    numbered,
    plan_cautions,
    plan_measurements,
    plan_titles,
    rows_for,
)
from studio.episode.chapters import by_hosts_rule, named_stretches
from studio.episode.film_length import film_length
from studio.episode.followed import followed
from studio.episode.insets import inset
from studio.episode.notes import plan_notes, slips_of
from studio.episode.pace import speaking_rate
from studio.episode.places import read_master_ms, read_places, with_places
from studio.episode.published import read_record
from studio.episode.records import (
    Card,
    Chapter,
    Cue,
    Cut,
    Episode,
    FrameSize,
    Link,
    Strips,
    TimedStep,
)
from studio.episode.retold import retold
from studio.episode.stamps import stamp
from studio.episode.takes import still_timed, with_takes
from studio.episode.texts import Filler, Form, TextProblem, filled
from studio.episode.times import UNTIMED, Placed, Times, placed, read_times
from studio.episode.told_rows import families, todays
from studio.episode.unseen import unseen_notes
from studio.errors import BadInput, Fault
from studio.language import FIRST, language_of, own_word, speaking, tr
from studio.measure.measurement import Measurement, MeasurementTable
from studio.measure.rounding import Direction, number_reading
from studio.measure.schedule import Schedule
from studio.measure.together import ends_sentence
from studio.measure.trace import SEP, START, mark, plain, spans
from studio.resources import shipped
from studio.safety.rules import DEFERENCE, SPEED_OVER, cautions_for, tells_nothing_of_dust
from studio.turning.bench import SLENDER_RATIO

_BEHIND_ALL = (("stock",), ("as_measured",), ("workshop", "units"))
"""A placeholder in one of these makes every computed problem doubtful."""

_BEHIND = {
    "indexing": (("workshop", "index_plates"), ("grooves",)),
    "hanger": (("workshop", "drills"), ("grooves",), ("hollow",), ("parts",)),
    "grooves": (("workshop", "cutters"), ("workshop", "chuck"), ("indexing",)),
    "rings": (("workshop", "cutters"), ("workshop", "vee_cutters"), ("hollow",)),
    "hollow": (("grooves",), ("rings",), ("workshop", "accuracy")),
    "parts": (("grooves",), ("hollow",), ("workshop", "drills"), ("workshop", "sizing")),
    "workshop": (("workshop", "lathe"), ("workshop", "chuck"), ("workshop", "climate")),
}
"""And in one of these, those of that section."""

_SUBJECTS = {"indexing": "index", "values": "value"}
"""Sections whose measurements go by another name."""


LONGEST_TITLE = 100
"""Characters that a film's title may have where films are shown (the reference of a large host's
upload interface, from memory)."""

WIDEST_STRIP = 40
"""Per cent of the picture that a strip kept clear may take (ours)."""

_SENTENCE_START = re.compile(rf"((?:^|[.!?]\s+){START}[^{SEP}]*{SEP})([a-z])")


def open_episode(
    path: Path,
    *,
    timed: bool = True,
    pieces: int | None = None,
    language: str | None = None,
    first: Episode | None = None,
    master_ms: int | None = None,
) -> Episode:
    """Read, compute, fill in, time.

    Args:
        path: the design.
        pieces: of a batch whose sheet is wanted too.
        timed: False leaves the times file beside it unread, for the command that writes it anew.
        language: tag of the language that viewers read it in; None for the design's own.
        first: the design in its own language, where that is made already: a second one has its
            times.
        master_ms: length of the master at hand, which counts where nobody tells the film's.

    Raises:
        BadInput: with every fault of the file that can be told in one run.
    """
    read = load(path, language)
    if read.language == read.design.language:
        first = None
    elif first is None:
        first = open_episode(path, timed=timed, master_ms=master_ms)
    wanted = language_of(read.language)
    opened = partial(_opened, path, read, first, timed=timed, pieces=pieces, master_ms=master_ms)
    with speaking(replace(wanted, own=read.words) if read.words else wanted) as spoken:
        try:
            made = opened()
        except BadInput as error:
            if wanted.tag == FIRST:
                raise
            raise BadInput(_as_typed(error.faults, opened)) from error
    foreign = frozenset(
        one.said if one.name else foreign_name(read, one.keys) for one in read.untranslated
    )
    return replace(
        made,
        language=spoken,
        foreign=foreign,
        # what lies under a design of another language than the tool's is most likely in that
        foreign_in=language_of(FIRST if first is None else read.design.language).page,
        own_in=language_of(read.design.language).page,
    )


def _as_typed(faults: Sequence[Fault], opened: Callable[[], object]) -> Iterator[Fault]:
    """Faults with figures as a design's file takes them, whatever the language of its papers.

    ``0,74 mm`` and ``Zoll`` are what viewers read; typed as a fault tells them they must be taken.
    """
    told: dict[tuple[object, ...], list[Fault]] = {}
    with speaking(FIRST):
        try:
            opened()
        except BadInput as error:
            for one in error.faults:
                told.setdefault(_place(one), []).append(one)
    for one in faults:
        same = told.get(_place(one))
        yield same.pop(0) if same else one


def _place(fault: Fault) -> tuple[object, ...]:
    return fault.file, fault.line, fault.column, fault.keys


def foreign_name(read: ReadDesign, keys: Keys) -> str:
    """Where a text stands in the design, its step by its name: ``steps.rough.do``."""
    if keys[0] == "steps":
        keys = (keys[0], read.design.steps[int(keys[1])].id, *keys[2:])
    return ".".join(map(str, keys))


def _opened(
    path: Path,
    read: ReadDesign,
    first: Episode | None,
    *,
    timed: bool,
    pieces: int | None,
    master_ms: int | None,
) -> Episode:
    computed = compute(read.design, read.origins)
    faults = list(read.faults)
    faults += [read.place(one) for one in computed.problems if not _is_doubtful(read, one)]
    problems: list[Problem] = []
    read, cut = with_takes(read, problems)
    # the times file is of the first language's words
    listened = read_times(path) if first is None else None
    times, stale = still_timed(listened, cut) if timed else (UNTIMED, ())
    filler = Filler(computed.table, computed.incomplete | _suspect_names(read), problems)
    doubled = _check_steps(read.design, problems)
    _check_look(read, problems)
    _check_pages(read, problems)
    if not doubled and not read.has_suspect_step_ids:
        _check_film(read, problems, times, cut)
    rate = speaking_rate(read.design.workshop.narration.words_per_minute, path)
    steps = _steps(read.design, computed.table, filler, rate)
    film = read.design.film
    length = film_length(
        film.length, times, master_ms=master_ms, burnt_ms=read_master_ms(path) if timed else None
    )
    where = placed(steps, film.marks, length.ms, times) if times is not None else None
    if where is not None:
        steps = where.applied(steps)
    if first is not None:
        steps = tuple(
            replace(step, start_ms=own.start_ms, end_ms=own.end_ms)
            for step, own in zip(steps, first.steps, strict=True)
        )
    episode = _episode(read, computed.table, computed.schedules, filler, steps)
    _check_title(episode.title, problems)
    episode = replace(
        episode,
        notes=(
            *read.notes,
            *computed.warnings,
            *_too_fast(steps),
            *_unknown_woods(read.design),
            *stale,
            *([length.note] if length.note and timed else []),
            *(where.notes if where is not None else ()),
        ),
        length_ms=first.length_ms if first is not None else length.ms,
        takes_masters_length=length.ms is not None and not length.is_told,
        thumbnail=_thumbnail(read.design, filler, steps),
        late_captions=where.late if where is not None else (),
        schedules=computed.schedules,
        piece=computed.piece,
        box=computed.box.titled(plain(episode.title)) if computed.box is not None else None,
        cut=cut,
    )
    if first is not None:
        episode = retold(first, episode)
    if not problems and not faults:
        episode = _timed(episode, read.design, where, rate, first)
    faults += [read.place(problem) for problem in problems]
    if faults:
        raise BadInput(sorted(set(faults), key=_reading_order))
    if pieces is not None:
        made = compute_batch(read.design, computed.table, pieces)
        episode = replace(episode, batch=made, notes=(*episode.notes, *made.warnings))
    return episode


def _reading_order(fault: Fault) -> tuple[str, int, int]:
    return str(fault.file), fault.line or 0, fault.column or 0


def _is_doubtful(read: ReadDesign, problem: Problem) -> bool:
    """Whether a computed problem may come from a value that was set aside."""
    section = str(problem.keys[0])
    behind: tuple[tuple[str, ...], ...] = (*_BEHIND_ALL, (section,), *_BEHIND.get(section, ()))
    if section == "workshop":
        behind = (*_BEHIND_ALL, tuple(str(key) for key in problem.keys[:2]))
    return any(read.is_suspect(*keys) for keys in behind)


def _suspect_names(read: ReadDesign) -> frozenset[str]:
    """Measurements and subjects that a fault of their section, or of one behind it, may lack."""
    names: set[str] = set()
    for keys in read.suspect:
        section = str(keys[0]) if keys else ""
        if section == "values" and len(keys) > 1:
            names.add(f"value.{keys[1]}")
        else:
            names.add(_SUBJECTS.get(section, section))
    for section, behind in _BEHIND.items():
        if any(read.is_suspect(*keys) for keys in ((section,), *behind)):
            names.add(_SUBJECTS.get(section, section))
            # a part's measurements go by its own name
            names.update(read.design.parts if section == "parts" else ())
    return frozenset(names)


def _check_look(read: ReadDesign, problems: list[Problem]) -> None:
    look = read.design.workshop.look
    folders = (read.file.parent / "overlays", shipped("overlays"))
    known = sorted({path.stem for folder in folders for path in folder.glob("*.yaml")})
    if look not in known and not read.is_suspect("workshop", "look"):
        write = f"write one of: {', '.join(known)}"
        problems.append(Problem(("workshop", "look"), f"there is no look {look!r}", write))


def _check_title(title: str, problems: list[Problem]) -> None:
    length = len(plain(title))
    if length > LONGEST_TITLE:
        problems.append(
            Problem(
                ("title",),
                f"the title has {length} characters as it is shown; hosts take {LONGEST_TITLE}",
                f"shorten it to {LONGEST_TITLE}; the rest can stand in the summary",
            )
        )


LOOKS = "looks"
"""The folder beside the designs that holds folders with looks of pages."""


def _pages(read: ReadDesign) -> Path | None:
    name = read.design.workshop.pages
    return read.file.parent / LOOKS / name if name is not None else None


def _check_pages(read: ReadDesign, problems: list[Problem]) -> None:
    folder = _pages(read)
    if folder is None or read.is_suspect("workshop", "pages"):
        return
    home = folder.parent
    known = sorted(one.name for one in home.iterdir() if one.is_dir()) if home.is_dir() else []
    keys = ("workshop", "pages")
    if folder.name not in known:
        there = f"there are: {', '.join(known)}" if known else "there is none yet"
        write = f"make that folder beside the designs, or leave pages: out; {there}"
        problems.append(Problem(keys, f"there is no folder {LOOKS}/{folder.name}", write))
    elif folder.resolve().parent != read.file.parent.resolve() / LOOKS:
        what = f"{LOOKS}/{folder.name} leads out of this folder"
        problems.append(Problem(keys, what, "copy the look itself into it"))


def _check_steps(design: Design, problems: list[Problem]) -> bool:
    """Note step names that stand twice; true when there are any."""
    seen: dict[str, int] = {}
    for place, step in enumerate(design.steps):
        if step.id in seen:
            problems.append(
                Problem(
                    ("steps", place, "id"),
                    f"two steps are called {step.id!r}",
                    f"give this one another name; the first is step {seen[step.id] + 1}",
                )
            )
        seen.setdefault(step.id, place)
        _check_part(design, step, place, problems)
    return len(seen) < len(design.steps)


def _check_part(design: Design, step: Step, place: int, problems: list[Problem]) -> None:
    """A step's part must be one, and turns about one axis alone."""
    if step.part is None:
        return
    if step.part not in design.parts:
        known = ", ".join(design.parts) or "none; write them under parts:"
        problems.append(
            Problem(
                ("steps", place, "part"),
                f"there is no part {step.part!r}",
                f"write one of: {known}" if design.parts else f"known here: {known}",
            )
        )
    elif step.stage == "off-centre":
        problems.append(
            Problem(
                ("steps", place, "stage"),
                "a turned part runs on one axis",
                "write rough, general, finish or sanding",
            )
        )


def _check_film(
    read: ReadDesign, problems: list[Problem], times: Times | None, cut: Cut | None
) -> None:
    design = read.design
    film = design.film
    begun = {take.step_id: take.number - 1 for take in cut.takes if take.begins} if cut else {}
    ids = [step.id for step in design.steps]
    for key, name in (
        *(("marks", name) for name in film.marks),
        *(("recorded_anew", name) for name in film.recorded_anew),
    ):
        if name not in ids:
            problems.append(
                Problem(
                    ("film", key, name),
                    f"there is no step {name!r}",
                    f"write one of: {', '.join(ids)}",
                )
            )
    for edge, share in film.keep_clear.model_dump().items():
        if share > WIDEST_STRIP:
            problems.append(
                Problem(
                    ("film", "keep_clear", edge),
                    "so wide a strip leaves no room for overlays",
                    f"write {WIDEST_STRIP} % at most",
                )
            )
    if (
        film.thumbnail_at is not None
        and film.length is not None
        and film.thumbnail_at >= film.length
    ):
        problems.append(
            Problem(
                ("film", "thumbnail_at"),
                f"{stamp(film.thumbnail_at)} is past the film's end at {stamp(film.length)}",
                "write a moment of the film, such as 0:35",
            )
        )
    if film.end_screen and film.length is not None and film.end_screen >= film.length:
        problems.append(
            Problem(
                ("film", "end_screen"),
                "the end screen is as long as the film",
                "write how long the host's links stand at the end, such as 0:20",
            )
        )
    # where takes hold a fault, which is told, no mark has followed from them
    if not film.marks or (film.takes and cut is None):
        return
    if film.length is None and times is None and not read.is_suspect("film", "length"):
        problems.append(
            Problem(
                ("film",),
                "there are marks but no length",
                "write the master's length, length: 1:12",
            )
        )
    before: tuple[str, int] | None = None
    for step_id in ids:
        at = film.marks.get(step_id)
        # where the voice was timed, a mark is typed only to put one of its times right
        if at is None and (times is not None or read.is_suspect("film", "marks", step_id)):
            continue
        if at is None and cut is not None:
            what = f"no take begins step {step_id!r}"
            write = f"write step: {step_id} into the take that it begins with"
            problems.append(Problem(("film", "takes"), what, write))
            continue
        if at is None:
            problems.append(
                Problem(
                    ("film", "marks"),
                    f"step {step_id!r} has no mark",
                    f"write {step_id}: and the time at which it starts, such as 0:35",
                )
            )
            continue
        where = ("film", "marks", step_id)
        keys = ("film", "takes", begun[step_id], "step") if step_id in begun else where
        if before is not None and at <= before[1]:
            problems.append(
                Problem(
                    keys,
                    f"{stamp(at)} is not after {before[0]} at {stamp(before[1])}",
                    "marks follow the order of the steps: change the mark or the order",
                )
            )
        if film.length is not None and at >= film.length:
            problems.append(
                Problem(
                    keys,
                    f"{stamp(at)} is past the film's end at {stamp(film.length)}",
                    "write an earlier mark, or the film's real length",
                )
            )
        before = (step_id, at)


def _typed_speed(asked: float) -> str:
    reading = number_reading(asked, "rpm", Fraction(1, 10), Direction.EXACT)
    return mark("typed:speed", reading.text)


def _steps(
    design: Design, table: MeasurementTable, filler: Filler, rate: int
) -> tuple[TimedStep, ...]:
    return tuple(
        _step(design, table, filler, place, step, rate) for place, step in enumerate(design.steps)
    )


def _step(
    design: Design, table: MeasurementTable, filler: Filler, place: int, step: Step, rate: int
) -> TimedStep:
    keys = ("steps", place)
    shows = [
        measurement
        for number, name in enumerate(step.show)
        if (measurement := filler.measurement(name, *keys, "show", number)) is not None
    ]
    marks = design.film.marks
    start = marks.get(step.id)
    said = _aloud(step.say, table)
    do = filler.fill(step.do, Form.BOTH, *keys, "do")
    say = filler.fill(step.say, Form.TEXT, *keys, "say")
    named = {span.name for text in (do, say) for span in spans(text)[1]}
    named |= {shown.name for shown in shows}
    return TimedStep(
        id=step.id,
        number=place + 1,
        title=filler.fill(step.title, Form.TEXT, *keys, "title"),
        tools=tuple(
            filler.fill(tool, Form.TEXT, *keys, "tools", number)
            for number, tool in enumerate(step.tools)
        ),
        chapter=filler.fill(step.chapter or "", Form.TEXT, *keys, "chapter"),
        do=do,
        say=say,
        part=step.part or "",
        stage=step.stage or "",
        does=step.does,
        aloud=said,
        takes=_takes(said, step.id, rate),
        shows=tuple(shows),
        inset=inset(step, table, filler.teller(*keys)),
        corner=step.corner or "",
        cautions=cautions_for(
            (action for action in step.does if action != NOTHING),
            species=_woods(design, step),
            slender=_is_slender(table, step),
            runs=step.stage is not None or step.speed is not None,
            ceilings=_ceilings(design, place, table, named),
            asked=step.speed,
            print_speed=_typed_speed,
            has_pin=bool(design.workshop.index_plates) or "index.plate" in table,
        ),
        start_ms=start,
        end_ms=_end(design.film, start),
    )


def _too_fast(steps: Iterable[TimedStep]) -> Iterator[str]:
    """What is told of every step that asks for more than its ceiling."""
    for step in steps:
        for caution in step.cautions:
            if caution.code == SPEED_OVER:
                yield (
                    f"step {step.id}: {plain(caution.short)} Write a speed: up to that, or leave "
                    "it out"
                )


def _woods(design: Design, step: Step) -> tuple[str, ...]:
    """The woods that a step works on: its part's, or every one of the piece."""
    if step.part in design.parts:
        return (design.wood_of(step.part),)
    return _every_wood(design)


def _every_wood(design: Design) -> tuple[str, ...]:
    return (design.wood_of(), *(design.wood_of(name) for name in design.parts))


def _unknown_woods(design: Design) -> Iterator[str]:
    """What is told of every wood whose name says nothing of its dust."""
    for wood in dict.fromkeys(_every_wood(design)):
        if tells_nothing_of_dust(wood):
            yield (
                f"wood: {wood!r} is no name of a wood known here, so nothing tells whether its "
                "dust is one of those that bring on allergy, and no caution says so: write its "
                "usual name in English, or look it up"
            )


def _is_slender(table: MeasurementTable, step: Step) -> bool:
    ratio = table.get(f"{step.part}.slenderness") if step.part is not None else None
    return ratio is not None and ratio.value > SLENDER_RATIO


def _aloud(text: str, table: MeasurementTable) -> str:
    """The narration as it is said; empty where the text has a fault, which is told already."""
    try:
        said = filled(text, table, Form.TEXT, aloud=True)
    except TextProblem:
        return ""
    # a figure in digits needs no capital at the start of a sentence; one in words does
    return _SENTENCE_START.sub(_capital, said)


def _capital(match: re.Match[str]) -> str:
    """A figure's first letter, large where a sentence begins with it: behind “No.” none does."""
    words = plain(match.string[: match.start() + 1]).split()
    before = words[-1] if words and match.start() else ""
    begins = not before or ends_sentence(before, match[2])
    return match[1] + (match[2].upper() if begins else match[2])


def _thumbnail(design: Design, filler: Filler, steps: tuple[TimedStep, ...]) -> Measurement | None:
    """The measurement on the thumbnail: the one named, or the first one that a card shows.

    Of a turned form cards show one part at a time, and the thumbnail has no room to say which: it
    tells how tall the whole piece is.
    """
    if design.film.thumbnail is not None:
        return filler.measurement(design.film.thumbnail, "film", "thumbnail")
    whole = filler.table.get("assembly.height") if design.form == "turned" else None
    return whole or next((shown for step in steps for shown in step.shows), None)


def _takes(said: str, step_id: str, words_per_minute: int) -> str:
    """How long a narration takes to say, in whole seconds rounded up, marked."""
    if not said:
        return ""
    seconds = speaking_ms(said, words_per_minute) / 1000
    return mark(f"takes:{step_id}", number_reading(seconds, "s", Fraction(1), Direction.UP).text)


def _ceilings(
    design: Design, place: int, table: MeasurementTable, named: Collection[str]
) -> tuple[Measurement, ...]:
    """The ceilings that hold in a step: its stage's, and those of what it does besides.

    A step that does not tell its stage could be any: all ceilings hold, so the least does. The
    first step that runs a blank begins with all its corners, whatever stage it comes to. A step
    that works to grooves is on their axes, which no other stage allows for.
    """
    step = design.steps[place]
    stages = {step.stage} if step.stage is not None else set(STAGES)
    if "sanding" in step.does:
        stages.add("sanding")
    if "hollowing" in step.does:
        # deep inside and unsupported: held to the ceiling of the roughest work (ours)
        stages.add("rough")
    base = (None, base_part(design))
    same = base if step.part in base else (step.part,)
    if not any(_runs(one) and one.part in same for one in design.steps[:place]):
        stages.add("rough")
    if step.stage != "sanding" and any(name.startswith(("grooves.", "axis.")) for name in named):
        stages.add("off-centre")
    names = (stage_measurement(stage, step.part) for stage in STAGES if stage in stages)
    return tuple(table[name] for name in names if name in table)


def _runs(step: Step) -> bool:
    """Whether the lathe runs in a step."""
    return step.stage is not None or step.speed is not None or "spindle-running" in step.does


def _end(film: Film, start: int | None) -> int | None:
    """The next mark, or the film's end."""
    if start is None or film.length is None:
        return None
    return min((at for at in film.marks.values() if at > start), default=film.length)


def _episode(
    read: ReadDesign,
    table: MeasurementTable,
    schedules: Sequence[Schedule],
    filler: Filler,
    steps: tuple[TimedStep, ...],
) -> Episode:
    design = read.design
    workshop = design.workshop
    credits = (
        (("credit",), design.credit),
        (("workshop", "credit"), workshop.credit),
        (("film", "credit"), design.film.credit),
    )
    credit = "\n\n".join(filler.fill(text, Form.TEXT, *keys) for keys, text in credits if text)
    width, height = design.film.size
    record = read_record(read.file)
    rows = followed(record, todays(table), families(schedules, table))
    episode = Episode(
        name=read.file.stem,
        design_file=read.file,
        title=filler.fill(design.title, Form.TEXT, "title"),
        summary=filler.fill(design.summary, Form.BOTH, "summary"),
        workshop=workshop.name,
        credit=credit,
        licence=workshop.licence,
        demo_note=workshop.note,
        species=own_word(design.stock.species),
        links=tuple(Link(label=link.label, url=link.url) for link in workshop.links),
        first=workshop.units.system,
        table=table,
        steps=steps,
        deference=tr(DEFERENCE),
        chapters=(),
        cues=(),
        cards=(),
        size=FrameSize(width, height),
        length_ms=design.film.length,
        look=workshop.look,
        pages=_pages(read),
        paper=workshop.paper,
        plain_words=design.plain_words,
        thumbnail_at_ms=design.film.thumbnail_at,
        keep_clear=Strips(
            **{edge: share / 100 for edge, share in design.film.keep_clear.model_dump().items()}
        ),
        site=workshop.site.address,
        chapters_stand=design.film.chapters_stand,
        silent=design.film.silent,
        last_published=max((one.on for one in record.publications), default=""),
        corrections=rows.corrections,
        slips=slips_of(rows, steps, table, _recorded_anew(design)),
    )
    cards = [*_plain_cards(design, episode, None), *plan_cautions(steps, (), None)[0]]
    return replace(episode, cards=numbered(cards, steps))


def _timed(
    episode: Episode,
    design: Design,
    where: Placed | None,
    rate: int,
    first: Episode | None,
) -> Episode:
    """The episode with chapters, captions and cards at their times; unchanged without times."""
    if episode.length_ms is None or any(step.start_ms is None for step in episode.steps):
        return episode
    titles = {step.id: step.chapter for step in episode.steps if step.chapter}
    named = named_stretches(episode.steps, titles, episode.length_ms)
    chapters, chapter_notes = by_hosts_rule(named)
    if first is not None:
        cues, caption_notes = captions_like(episode.steps, first.steps, first.cues)
    else:
        words = where.words if where is not None else {}
        cues, caption_notes, late = captions(episode.steps, rate, words)
        episode = replace(episode, late_captions=late)
    heard = where.sentences if where is not None else {}
    said_at = {
        step.id: sentence_times(step, cues, heard.get(step.id, ())) for step in episode.steps
    }
    episode = replace(episode, said_at=said_at)
    return _with_times(
        episode, design, named, chapters, cues, (*episode.notes, *chapter_notes, *caption_notes)
    )


def _plain_cards(design: Design, episode: Episode, length_ms: int | None) -> list[Card]:
    """All cards but cautions."""
    room = rows_for(FrameSize(*design.film.size))
    notes, steps = plan_notes(episode.steps, episode.slips, episode.said_at, length_ms, room)
    titles = plan_titles(steps, length_ms) if design.film.titles else []
    return [*notes, *plan_measurements(steps, length_ms, room), *titles]


def _recorded_anew(design: Design) -> dict[str, str]:
    """When steps' voices were recorded anew, ISO 8601 as in the published record."""
    return {step: day.isoformat() for step, day in design.film.recorded_anew.items()}


def _with_times(
    episode: Episode,
    design: Design,
    named: Iterable[Chapter],
    chapters: tuple[Chapter, ...],
    cues: tuple[Cue, ...],
    notes: tuple[str, ...],
) -> Episode:
    assert episode.length_ms is not None
    last = max(0, episode.length_ms - design.film.end_screen)
    marked = chapters or tuple(named)
    cautions, late = plan_cautions(episode.steps, marked, last)
    # nothing of the film held free: what is late even so is not the end screen's doing
    anyway = {
        (one.step_id, one.code)
        for one in plan_cautions(episode.steps, marked, episode.length_ms)[1]
    }
    late = [replace(one, by_end_screen=(one.step_id, one.code) not in anyway) for one in late]
    others = _plain_cards(design, episode, last)
    unseen = unseen_notes(episode.steps, episode.slips, [*others, *cautions], late, last)
    return replace(
        episode,
        chapters=chapters,
        cues=cues,
        cards=with_places(
            numbered([*others, *cautions], episode.steps), read_places(episode.design_file)
        ),
        late_cautions=tuple(late),
        notes=(*notes, *unseen),
    )
