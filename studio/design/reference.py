"""``docs/design-keys.md``: every key of a design and of the workshop file, from their schemas.

Write it again with ``python -m studio.design.reference > docs/design-keys.md``.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from typing import Any

from studio.design.json_schema import design_schema, workshop_schema

_HEAD = """# Keys of a design and of the workshop file

Made from the schema by `python -m studio.design.reference`; do not change it by hand.
Lengths carry their unit: `57 mm`, `2 1/4 in`, `2¼″`, `1' 3 1/2"`. Speeds: `1200 rpm`.
Times in the film: `0:35` or `1:02:03`. An unknown key is an error that names the nearest one.
"""


def reference() -> str:
    """The page as Markdown."""
    lines = [_HEAD]
    lines += _page("A design", design_schema())
    lines += _page("The workshop file, `workshop.yaml`", workshop_schema())
    return "\n".join(lines) + "\n"


def _page(title: str, schema: dict[str, Any]) -> Iterator[str]:
    yield f"## {title}\n"
    yield from _table("", schema, schema["$defs"])


def _table(path: str, section: dict[str, Any], defs: dict[str, Any]) -> Iterator[str]:
    below: list[tuple[str, dict[str, Any]]] = []
    yield "| key | what it is | written as | left out |"
    yield "| --- | --- | --- | --- |"
    for key, field in section["properties"].items():
        name, model = _model(field, defs)
        inner = f"{path}.{key}".lstrip(".")
        cells = (f"`{inner}`", field["description"], _written(field, model), _default(field))
        yield f"| {' | '.join(cells)} |"
        if model is not None and not (path == "" and key == "workshop"):
            many = {"array": "[]", "object": ".NAME"}.get(field.get("type", ""), "")
            below.append((f"{inner}{many}", defs[name]))
    yield ""
    for inner, model in below:
        yield f"### `{inner}`\n"
        yield f"{model['description']}\n"
        yield from _table(inner, model, defs)


def _model(field: dict[str, Any], defs: dict[str, Any]) -> tuple[str, dict[str, Any] | None]:
    named = [field.get("additionalProperties") or {}, *field.get("patternProperties", {}).values()]
    places = [field, field.get("items", {}), *named, *field.get("anyOf", [])]
    reference_to = next((place["$ref"] for place in places if "$ref" in place), "")
    name = reference_to.rpartition("/")[2]
    return name, defs.get(name)


def _written(field: dict[str, Any], model: dict[str, Any] | None) -> str:
    if model is not None:
        kind = field.get("type", "")
        return {"array": "a list of sections", "object": "named sections"}.get(kind, "a section")
    choices = field.get("enum") or field.get("items", {}).get("enum")
    listed = "a list of: " if field.get("type") == "array" else ""
    if choices:
        return listed + ", ".join(f"`{choice}`" for choice in choices)
    examples = field.get("examples") or field.get("items", {}).get("examples")
    if examples and isinstance(examples[0], str):
        return f"{listed}`{examples[0]}`"
    for number in field.get("anyOf", []) or field.get("items", {}).get("anyOf", []):
        if number.get("type") == "integer":
            return f"{listed}a whole number, {number['minimum']} to {number['maximum']}"
    if field.get("type") == "object":
        return "names and values"
    return f"{listed}a text" if field.get("type") in ("string", "array") else "yes or no"


def _default(field: dict[str, Any]) -> str:
    if "default" in field:
        return f"`{field['default']}`" if field["default"] not in ("", False) else ""
    return ""


if __name__ == "__main__":
    sys.stdout.write(reference())
