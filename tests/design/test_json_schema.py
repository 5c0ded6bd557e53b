"""The shipped JSON Schemas, judged by jsonschema, a general-purpose validator."""

from __future__ import annotations

import json
from typing import Any

import jsonschema
import pytest
import yaml

from studio.design.json_schema import as_json, design_schema, workshop_schema
from studio.episode.beside import design_files
from studio.resources import shipped

SCHEMAS = {"design": design_schema, "workshop": workshop_schema}


@pytest.mark.parametrize("name", SCHEMAS)
def test_the_shipped_file_is_the_one_that_the_models_make(name: str) -> None:
    found = (shipped("designs") / f"{name}.schema.json").read_text(encoding="utf-8")
    assert found == as_json(SCHEMAS[name]()), (
        f"run: studio schema {name} > designs/{name}.schema.json"
    )


@pytest.mark.parametrize("name", SCHEMAS)
def test_it_is_a_schema(name: str) -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMAS[name]())


def as_an_editor_reads(text: str) -> Any:
    """YAML 1.2's core types, as editors read them: 0:10 is a text there, not a number."""

    class Loader(yaml.SafeLoader):
        pass

    Loader.yaml_implicit_resolvers = {
        first: [(tag, regexp) for tag, regexp in resolvers if not tag.endswith((":int", ":float"))]
        for first, resolvers in yaml.SafeLoader.yaml_implicit_resolvers.items()
    }
    import re

    Loader.add_implicit_resolver(
        "tag:yaml.org,2002:int", re.compile(r"[-+]?[0-9]+$"), list("0123456789+-")
    )
    return yaml.load(text, Loader=Loader)


@pytest.mark.parametrize(
    "design", ["workshop.yaml", *(path.name for path in design_files(shipped("designs")))]
)
def test_shipped_files_pass(design: str) -> None:
    kind = "workshop" if design == "workshop.yaml" else "design"
    content = as_an_editor_reads((shipped("designs") / design).read_text(encoding="utf-8"))
    jsonschema.validate(content, SCHEMAS[kind]())
    first_line = (shipped("designs") / design).read_text(encoding="utf-8").splitlines()[0]
    assert f"$schema={kind}.schema.json" in first_line


@pytest.mark.parametrize(
    ("keys", "value"),
    [
        (("stock", "diameter"), "60"),
        (("stock", "diametre"), "60 mm"),
        (("stock", "blank"), "oval"),
        (("indexing", "marks"), 1),
        (("hanger", "wire"), "22 gauge"),
        (("film", "marks"), {"rough": "35"}),
        (("steps",), []),
    ],
)
def test_an_editor_sees_the_usual_slips(keys: tuple[str, ...], value: object) -> None:
    content = as_an_editor_reads((shipped("designs") / "globe.yaml").read_text(encoding="utf-8"))
    holder = content
    for key in keys[:-1]:
        holder = holder[key]
    holder[keys[-1]] = value
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(content, design_schema())


def test_every_key_has_its_help() -> None:
    for schema in (design_schema(), workshop_schema()):
        sections = {"": schema, **schema["$defs"]}
        for section in sections.values():
            for key, field in section.get("properties", {}).items():
                # a section that says the same as its key's help says it once
                told = field.get("description") or schema["$defs"][field["$ref"][8:]]["description"]
                assert told, f"{key} has no docstring in studio/design/schema.py"
    assert json.loads(as_json(design_schema()))
