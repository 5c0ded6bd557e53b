"""Every fault names file, line and column, says what is wrong and what to write."""

from __future__ import annotations

from collections.abc import Callable
from copy import deepcopy
from pathlib import Path

import pytest
import yaml

from studio.design.document import Keys
from studio.design.reading import load
from studio.episode.assemble import open_episode
from studio.errors import BadInput

Edit = Callable[[Path, str, str], Path]
FaultsOf = Callable[[Path], list[str]]

ONE_FAULT = [
    # (what to replace, with what, what the fault must say)
    ("  diameter: 60 mm", "  diameter: 60", ["stock.diameter", "no unit", "60 mm or 60 in"]),
    ("  diameter: 60 mm", "  diameter: 60 kg", ["stock.diameter", "'kg'", "57 mm or 2 1/4 in"]),
    ("  diameter: 60 mm", "  diameter: -60 mm", ["stock.diameter", "negative"]),
    ("  diameter: 60 mm", "  diameter: 6 m", ["stock.diameter", "too large", "8 mm to 600 mm"]),
    ("  diameter: 60 mm", "  diameter: 1 mm", ["stock.diameter", "too small", "8 mm to 600 mm"]),
    ("  diameter: 60 mm", "  diametre: 60 mm", ["unknown key 'diametre'", "diameter"]),
    ("  diameter: 60 mm", "  diameter: [60 mm]", ["stock.diameter", "one value is due"]),
    ("  diameter: 60 mm", "  diameter:", ["stock.diameter", "missing"]),
    ("  marks: 12", "  marks: twelve", ["indexing.marks", "'twelve'", "from 2 to 192"]),
    ("  plate: 24", "  plate: 10", ["indexing.plate", "does not divide", "24, 36, 60"]),
    ("  plate: 24", "  plate: 32", ["does not divide by 12 marks", "up to 3.75° off"]),
    ("  wire: 22 AWG", "  wire: 22 gauge", ["hanger.wire", "which gauge", "22 AWG", "22 SWG"]),
    ("  wire: 22 AWG", "  wire: 99 AWG", ["hanger.wire", "40"]),
    ("  pitch: 6 mm", "  pitch: 1 mm", ["hanger.pitch", "too tight", "write 3.7 mm or more"]),
    ("  blank: square", "  blank: sqare", ["stock.blank", "did you mean square?"]),
    ("    stage: rough", "    stage: ruff", ["steps[1].stage", "did you mean rough?"]),
    ("[mounting, spindle-running, callipers]", "[spindel-running]",
     ["did you mean spindle-running"]),
    ("[mounting, spindle-running, callipers]", "callipers", ["steps[1].does", "a list is due"]),
    ("    rough: 0:00", "    rough: 0", ["film.marks.rough", "not a time", "0:35"]),
    ("    mark-octagon: 0:15", "    mark-octagon: 0:35", ["film.marks.cut-octagon", "0:35"]),
    ("    hang: 1:19", "    hang: 9:00", ["film.marks.hang", "past the film's end at 1:44"]),
    ("    hang: 1:19", "    hung: 1:00", ["no step 'hung'"]),
    ("  length: 1:44\n", "", ["film", "no length"]),
    ("  size: 960x540", "  size: 12x9", ["film.size", "1920x1080"]),
    ("  glue_time: 10 min", "  glue_time: 10 bananas", ["values.glue_time", "min"]),
    ("  glue_time: 10 min", "  Glue-Time: 10 min", ["Glue-Time", "underscores"]),
    ("  glue_time: 10 min", "  bench: 10 min", ["values.bench", "does not serve"]),
    ("{{ sphere.second_mark }} both ways and", "{{ sphere.secnd_mark }} both ways and",
     ["steps[4].do", "'sphere.secnd_mark'", "did you mean sphere.second_mark"]),
    ("{{ sphere.second_mark }} both ways. Cut", "{{ 6 * 7 }} both ways. Cut",
     ["a text cannot compute"]),
    ("{{ sphere.second_mark }} both ways. Cut", "{% for a in b %} both ways. Cut", ["braces"]),
    ("{{ sphere.second_mark }} both ways. Cut", "{{ hanger.wire.bench }} Cut", ["no bench rule"]),
    ("show: [sphere.set_in,", "show: [sphere.setin,", ["steps[2].show[1]", "sphere.set_in"]),
    ("  - id: sand\n", "  - id: index\n", ["two steps are called 'index'", "step 5"]),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "said"), ONE_FAULT)
def test_a_fault_is_told_where_it_stands(
    globe: Path, edit: Edit, faults_of: FaultsOf, old: str, new: str, said: list[str]
) -> None:
    edit(globe, old, new)
    told = faults_of(globe)
    joined = "\n".join(told)
    for words in said:
        assert words in joined
    changed = new.strip().splitlines()
    lines = globe.read_text(encoding="utf-8").splitlines()
    if changed:
        near = [number for number, line in enumerate(lines, 1) if changed[0] in line]
        numbers = [int(fault.split(":")[1]) for fault in told if fault.split(":")[1].isdigit()]
        # a fault of order or of an id may stand at the other of the two places
        assert any(abs(number - at) <= 12 for number in numbers for at in near)
    assert all(str(globe) in fault.split("\n")[0] for fault in told)
    assert all("\n    " in fault for fault in told), "each says what to write instead"


def test_line_and_column_are_exact(globe: Path, edit: Edit, faults_of: FaultsOf) -> None:
    edit(globe, "  diameter: 60 mm", "  diameter: 60")
    line = globe.read_text(encoding="utf-8").splitlines().index("  diameter: 60") + 1
    assert faults_of(globe)[0].startswith(f"{globe}:{line}:13: stock.diameter: ")


def test_a_name_inside_a_folded_text_is_told_on_its_own_line(
    globe: Path, edit: Edit, faults_of: FaultsOf
) -> None:
    edit(globe, "that far in from each corner", "that {{ sphere.nope }} far in from each corner")
    lines = globe.read_text(encoding="utf-8").splitlines()
    line = next(number for number, text in enumerate(lines, 1) if "sphere.nope" in text)
    column = lines[line - 1].index("sphere.nope") + 1
    assert faults_of(globe)[0].startswith(f"{globe}:{line}:{column}: steps[2].do: ")


def test_all_faults_are_told_in_one_run(globe: Path, edit: Edit, faults_of: FaultsOf) -> None:
    edit(globe, "  diameter: 60 mm", "  diameter: 60")
    edit(globe, "  blank: square", "  blanc: square")
    edit(globe, "    stage: rough", "    stage: ruff")
    edit(globe, "    hang: 1:19", "    hang: 1:14")
    edit(globe, "    sand: 1:06", "    sand: 1:16")
    edit(globe, "title: A plain globe in sycamore", "title: A {{ sphere.diametre }} globe")
    joined = "\n".join(faults_of(globe))
    for words in ("stock.diameter", "'blanc'", "'ruff'", "film.marks.hang", "sphere.diametre"):
        assert words in joined


def test_a_placeholder_never_brings_a_fault_of_its_own(
    globe: Path, edit: Edit, faults_of: FaultsOf
) -> None:
    edit(globe, "  diameter: 60 mm", "  diameter: nonsense")
    assert len(faults_of(globe)) == 1


def leaves(tree: object, keys: Keys = ()) -> list[Keys]:
    """Keys of every single value; of a list its last entry alone."""
    if isinstance(tree, dict):
        return [found for key, one in tree.items() for found in leaves(one, (*keys, key))]
    if isinstance(tree, list):
        return leaves(tree[-1], (*keys, len(tree) - 1)) if tree else []
    return [keys]


@pytest.mark.parametrize(
    "section",
    ["stock", "indexing", "grooves", "hollow", "hanger", "parts.finial", "parts.cap",
     "workshop.chuck", "workshop.drills", "workshop.cutters", "workshop.index_plates"],
)  # fmt: skip
def test_one_slip_is_one_fault_whatever_is_computed_from_what_stands_in_for_it(
    section: str, folder: Path
) -> None:
    """Each value of a sound design in turn is no such value: nothing but that is told."""
    tree = load(folder / "crowned-globe.yaml").tree.plain()
    del tree["based_on"], tree["scale_to"]
    name = tuple(section.split("."))
    slips = [keys for keys in leaves(tree) if keys[: len(name)] == name]
    assert slips
    path = folder / "slip.yaml"
    for keys in slips:
        if keys[-1] == "species":
            continue
        slipped = deepcopy(tree)
        holder = slipped
        for key in keys[:-1]:
            holder = holder[key]
        holder[keys[-1]] = "zzz"
        workshop = slipped.pop("workshop")
        for file, typed in ((path, slipped), (folder / "workshop.yaml", workshop)):
            file.write_text(yaml.safe_dump(typed, sort_keys=False), "utf-8")
        with pytest.raises(BadInput) as raised:
            open_episode(path)
        (fault,) = raised.value.faults
        assert fault.keys.endswith(f"[{keys[-1] + 1}]" if isinstance(keys[-1], int) else keys[-1])


def test_a_fault_in_the_workshop_file_names_that_file(
    globe: Path, edit: Edit, faults_of: FaultsOf
) -> None:
    workshop = globe.parent / "workshop.yaml"
    edit(workshop, "fastest: 3600 rpm", "fastest: 3600")
    (told,) = faults_of(globe)
    assert told.startswith(f"{workshop}:")
    assert "workshop.lathe.fastest" in told


def test_a_design_overrides_the_workshop_and_its_fault_names_the_design(
    globe: Path, edit: Edit, faults_of: FaultsOf
) -> None:
    edit(globe, "indexing:\n", "workshop:\n  lathe:\n    fastest: 900 rpm\nindexing:\n")
    assert open_episode(globe).table["speed.finish"].text == "900 rpm"
    edit(globe, "    fastest: 900 rpm", "    fastest: soon")
    (told,) = faults_of(globe)
    assert told.startswith(f"{globe}:")


def test_no_workshop_file(globe: Path, faults_of: FaultsOf) -> None:
    (globe.parent / "workshop.yaml").unlink()
    assert any("no workshop.yaml beside the design" in fault for fault in faults_of(globe))


def test_a_drill_set_that_cannot_be_read(globe: Path, edit: Edit, faults_of: FaultsOf) -> None:
    workshop = globe.parent / "workshop.yaml"
    edit(workshop, "number 1 to 60", "number 1 to 600")
    (told,) = faults_of(globe)
    assert told.startswith(f"{workshop}:")
    assert "workshop.drills[3]" in told


def test_a_drill_that_the_turner_lacks(globe: Path, edit: Edit, faults_of: FaultsOf) -> None:
    workshop = globe.parent / "workshop.yaml"
    edit(workshop, "metric 1 mm to 10 mm by 0.1 mm", "metric 1 mm to 1.5 mm by 0.1 mm")
    edit(workshop, "  - fraction 1/16 in to 1/2 in by 1/64 in\n  - number 1 to 60\n", "")
    (told,) = faults_of(globe)
    assert "no drill owned lets in a bundle of 1.62 mm" in told
    assert "add 1.7 mm" in told


def test_an_owned_drill_of_the_other_system_serves(globe: Path, edit: Edit) -> None:
    """#51 is 1.702 mm (ASME B94.11M): the metric turner who owns it needs no 1.7 mm."""
    workshop = globe.parent / "workshop.yaml"
    edit(workshop, "metric 1 mm to 10 mm by 0.1 mm", "metric 1 mm to 1.5 mm by 0.1 mm")
    assert open_episode(globe).table["hanger.drill"].text == "#51"


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "empty"),
        (b"# only a remark\n", "empty"),
        (b"just words\n", "no keys and values"),
        (b"- a\n- list\n", "no keys and values"),
        (b"title: [open\n", "not YAML"),
        (b"title: a: b\n", "quotes"),
        (b"title: x\n\tdiameter: 3\n", "indent with spaces"),
        (b"\xff\xfe\x00\x01", "UTF-8"),
        (b"title: a\x00b\n", "not a text file"),
        (b"title: &a x\nsummary: *a\n", "anchor or alias"),
        (b"title: !!python/object/apply:os.system [ls]\n", "tag"),
        (b"title: x\ntitle: y\n", "stands twice"),
        (b"a: " + b"[" * 40 + b"]" * 40, "nested too deep"),
        (b"title: " + b"x" * 300_000, "larger than a design may be"),
        (b"title: " + b"x" * 9_000, "characters"),
        ("title: a\ue000b\n".encode(), "private-use"),
        ("title: a\u202e21\u202c\n".encode(), "direction of writing"),
        (b"? [a, b]\n: c\n", "not a word"),
    ],
)
def test_files_that_are_no_designs(tmp_path: Path, content: bytes, said: str) -> None:
    path = tmp_path / "x.yaml"
    path.write_bytes(content)
    with pytest.raises(BadInput) as caught:
        open_episode(path)
    assert said in str(caught.value)
    assert str(path) in str(caught.value)


def test_no_file_tells_what_is_there(globe: Path) -> None:
    with pytest.raises(BadInput, match=r"globe\.yaml"):
        open_episode(globe.parent / "glob.yaml")


def test_a_folder_is_no_design(globe: Path) -> None:
    with pytest.raises(BadInput, match="this is a folder"):
        open_episode(globe.parent)


@pytest.mark.parametrize(
    "name", ["../outside.yaml", "/etc/passwd", "..", "sub/dir.yaml", "C:\\\\x.yaml"]
)
def test_based_on_never_leaves_the_folder(
    globe: Path, edit: Edit, faults_of: FaultsOf, name: str
) -> None:
    edit(globe, "title: A plain globe in sycamore", f'title: x\nbased_on: "{name}"')
    assert "not the name of a file in this folder" in faults_of(globe)[0]


def test_a_link_out_of_the_folder_is_refused(
    globe: Path, tmp_path: Path, edit: Edit, faults_of: FaultsOf
) -> None:
    outside = tmp_path / "outside.yaml"
    outside.write_text("title: secret\n", encoding="utf-8")
    (globe.parent / "inside.yaml").symlink_to(outside)
    edit(globe, "title: A plain globe in sycamore", "title: x\nbased_on: inside.yaml")
    assert "leads out of this folder" in faults_of(globe)[0]


def test_a_circle_of_designs_is_told(globe: Path, edit: Edit, faults_of: FaultsOf) -> None:
    edit(globe, "title: A plain globe in sycamore", "title: x\nbased_on: lobed-globe.yaml")
    assert "based on this design itself" in faults_of(globe)[0]


def test_what_has_to_be_told_with_other_faults(
    globe: Path, edit: Edit, faults_of: FaultsOf
) -> None:
    """Faults of different kinds, in both files, in one run; and none that only follow."""
    workshop = globe.parent / "workshop.yaml"
    edit(workshop, "fastest: 3600 rpm", "fastest: 3600")
    edit(workshop, "look: fernhollow", "look: nosuch")
    edit(globe, "title: A plain globe in sycamore", "title: A\ntitle: B")
    edit(globe, "  glue_time: 10 min", "  glue_time: 10 bananas")
    edit(globe, "  plate: 24", "  plate: 25")
    edit(globe, "    index: 0:56", "    index: 0:99")
    edit(globe, "    hang: 1:19", "    hang: 0:01")
    told = faults_of(globe)
    joined = "\n".join(told)
    for words in (
        "stands twice", "workshop.lathe.fastest", "no look 'nosuch'", "values.glue_time",
        "25 stops does not divide", "'0:99' is not a time", "film.marks.hang",
    ):  # fmt: skip
        assert words in joined
    assert len(told) == 7, joined


def test_an_unknown_key_is_told_at_the_key(globe: Path, edit: Edit, faults_of: FaultsOf) -> None:
    edit(globe, "film:\n", "film:\n  sizes:\n    a: b\n")
    line = globe.read_text(encoding="utf-8").splitlines().index("  sizes:") + 1
    assert faults_of(globe)[0].startswith(f"{globe}:{line}:3: film.sizes: unknown key")


def test_a_name_that_begins_like_another_is_told_at_its_own_place(
    globe: Path, edit: Edit, faults_of: FaultsOf
) -> None:
    edit(
        globe, "that far in from each corner, along", "that far\n      in {{ sphere.set_i }}, along"
    )
    lines = globe.read_text(encoding="utf-8").splitlines()
    line = next(n for n, text in enumerate(lines, 1) if "sphere.set_i }}" in text)
    assert faults_of(globe)[0].startswith(f"{globe}:{line}:")


@pytest.mark.parametrize(
    ("name", "old", "new", "said"),
    [
        ("globe.yaml", "hole_depth: 12 mm", "hole_depth: 200 mm", "goes through the ball"),
        (
            "globe.yaml",
            "indexing:\n",
            "as_measured:\n  bundle: 0.3 mm\nindexing:\n",
            "thinner than",
        ),
        ("globe.yaml", "indexing:\n", "as_measured:\n  diameter: 70 mm\nindexing:\n", "more than"),
        ("globe.yaml", "wire: 22 AWG", "wire: 30 mm", "makes no hanger"),
        ("workshop.yaml", "slowest: 250 rpm", "slowest: 0 rpm", "no speed of a lathe"),
        ("workshop.yaml", "name: Fernhollow Bench", "name: A {{ sphere.diameter }}", "braces"),
    ],
)
def test_absurd_figures(
    folder: Path, edit: Edit, faults_of: FaultsOf, name: str, old: str, new: str, said: str
) -> None:
    edit(folder / name, old, new)
    assert said in "\n".join(faults_of(folder / "globe.yaml"))


@pytest.mark.parametrize(
    ("entry", "said"),
    [
        (
            "  - id: new\n    after: nope\n    title: N\n    does: [nothing]\n    do: x\n",
            "names no step",
        ),
        (
            "  - id: nope\n    drop: yes\n    title: N\n    does: [nothing]\n    do: x\n",
            "takes nothing",
        ),
    ],
)
def test_a_cousins_own_words(folder: Path, faults_of: FaultsOf, entry: str, said: str) -> None:
    cousin = folder / "cousin.yaml"
    cousin.write_text(f"title: x\nbased_on: globe.yaml\nsteps:\n{entry}", encoding="utf-8")
    assert said in "\n".join(faults_of(cousin))


def test_a_workshop_file_that_is_none(globe: Path, faults_of: FaultsOf) -> None:
    (globe.parent / "workshop.yaml").write_text("- a\n", encoding="utf-8")
    assert "name: Your workshop" in faults_of(globe)[0]


def test_an_empty_override_is_none(globe: Path, edit: Edit) -> None:
    edit(globe, "indexing:\n", "workshop:\nindexing:\n")
    assert open_episode(globe).workshop == "Fernhollow Bench"


def test_a_range_is_told_in_the_system_that_was_typed(
    globe: Path, edit: Edit, faults_of: FaultsOf
) -> None:
    """0.2 mm is 0.00787 in and 200 mm 7.874 in: rounded inwards, so that both would be taken."""
    edit(globe, "hole_depth: 12 mm", "hole_depth: 9 in")
    (told,) = [fault for fault in faults_of(globe) if "hole_depth" in fault]
    assert "'9 in' is too large here" in told
    assert "write a length from 0.04 in to 7.874 in" in told


@pytest.mark.parametrize(
    ("typed", "said"), [("{a: 3,5}", "'5' stands"), ("{a: 3 mm, b}", "'b' stands")]
)
def test_a_comma_inside_a_number_between_braces_loses_none_of_it(
    folder: Path, faults_of: FaultsOf, typed: str, said: str
) -> None:
    """YAML 1.2 (7.4.2): what stands there without a colon is a key with an empty value."""
    design = folder / "ball.yaml"
    text = "title: A ball\nvalues: {typed}\nstock: {{species: maple, diameter: 2 in}}\nsteps:\n"
    text += "  - {{id: a, title: A, does: [nothing], do: Turn.}}\n"
    design.write_text(text.format(typed=typed), "utf-8")
    (fault,) = faults_of(design)
    assert said in fault
    assert ":2:" in fault
    assert "write a point" in fault
    design.write_text(
        text.format(typed="{a: 3 mm}").replace("diameter: 2 in", "diameter: "), "utf-8"
    )
    assert "stands between" not in "".join(faults_of(design))
