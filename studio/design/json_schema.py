"""The JSON Schemas that let an editor complete and check while one writes.

Made from the same models that read the files. A design may leave to ``workshop.yaml`` and
``based_on`` what stands there, so its schema requires less than the merged design must have.
"""

from __future__ import annotations

import ast
import inspect
import json
from typing import Any

from studio.design import schema as models
from studio.design.schema import Design, Workshop

DIALECT = "https://json-schema.org/draft/2020-12/schema"
_OWN = ("title", "stock", "steps")
_WHOLE_STEP = ("id", "title", "does", "do")
"""Required in a design that is not based on another, and in its steps."""


def workshop_schema() -> dict[str, Any]:
    """The schema of ``workshop.yaml``."""
    return {"$schema": DIALECT, **_made_from(Workshop)}


def design_schema() -> dict[str, Any]:
    """The schema of a design file."""
    schema = _made_from(Design)
    for section in schema["$defs"].values():
        section.pop("required", None)
    step = schema["$defs"]["Step"]
    step["required"] = ["id"]
    schema.pop("required", None)
    cousin = {
        "after": {
            "type": "string",
            "description": "The step behind which this new one goes.",
        },
        "drop": {"enum": [True, "yes", "true"], "description": "Leaves this step out."},
    }
    step["properties"] |= cousin
    whole_step = {"required": list(_WHOLE_STEP), "properties": dict.fromkeys(cousin, False)}
    schema["if"] = {"required": ["based_on"]}
    schema["else"] = {
        "required": list(_OWN),
        "properties": {"steps": {"items": whole_step}},
    }
    return {"$schema": DIALECT, **schema}


def as_json(schema: dict[str, Any]) -> str:
    """A schema as the text of its file."""
    return json.dumps(schema, ensure_ascii=False, indent=2) + "\n"


def _made_from(model: type[Design] | type[Workshop]) -> dict[str, Any]:
    schema: dict[str, Any] = _tidy(model.model_json_schema())
    helps = _field_docstrings()
    for name, section in {model.__name__: schema, **schema["$defs"]}.items():
        for key, field in section.get("properties", {}).items():
            # a section's key may be told in a section that it shares with others
            family = (kind.__name__ for kind in getattr(models, name).__mro__)
            field["description"] = next(helps[kind, key] for kind in family if (kind, key) in helps)
    return schema


def _field_docstrings() -> dict[tuple[str, str], str]:
    """Each field's docstring by class and field name.

    Read from the source here and not by pydantic, which would do so at every start of every
    command and take longer over it than over reading a design.
    """
    found: dict[tuple[str, str], str] = {}
    for statement in ast.parse(inspect.getsource(models)).body:
        if not isinstance(statement, ast.ClassDef):
            continue
        for field, text in zip(statement.body, statement.body[1:], strict=False):
            if (
                isinstance(field, ast.AnnAssign)
                and isinstance(field.target, ast.Name)
                and isinstance(text, ast.Expr)
                and isinstance(text.value, ast.Constant)
            ):
                key = _typed_key(field)
                found[statement.name, key] = " ".join(str(text.value.value).split())
    return found


def _typed_key(field: ast.AnnAssign) -> str:
    """A field's key in the file: its alias, where Python keeps the word to itself (``in``)."""
    assert isinstance(field.target, ast.Name)
    aliases = (
        keyword.value.value
        for keyword in (field.value.keywords if isinstance(field.value, ast.Call) else ())
        if keyword.arg == "alias" and isinstance(keyword.value, ast.Constant)
    )
    return str(next(aliases, field.target.id))


def _tidy(node: Any) -> Any:
    """Defaults as a turner writes them, and no titles that only repeat a key."""
    if isinstance(node, list):
        return [_tidy(item) for item in node]
    if not isinstance(node, dict):
        return node
    out = {}
    for key, value in node.items():
        if key == "default":
            if isinstance(value, dict) and "typed" in value:
                out[key] = value["typed"]
            elif isinstance(value, str | int | bool):
                out[key] = value
        elif key != "title" or isinstance(value, dict):
            out[key] = _tidy(value)
    return out
