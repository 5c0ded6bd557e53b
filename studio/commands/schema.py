"""``studio schema``: the JSON Schema of a design or of the workshop file."""

from __future__ import annotations

import sys


def schema(file: str) -> int:
    """Print the schema of ``design`` or ``workshop``."""
    from studio.design.json_schema import as_json, design_schema, workshop_schema

    sys.stdout.write(as_json(design_schema() if file == "design" else workshop_schema()))
    return 0
