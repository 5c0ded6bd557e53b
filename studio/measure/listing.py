"""The table of measurements as data, for ``--json`` and ``measurements.json``."""

from __future__ import annotations

import json

from studio.measure.measurement import Measurement, MeasurementTable

FILE_NAME = "measurements.json"


def record(measurement: Measurement) -> dict[str, object]:
    """One measurement; ``value`` is exact and in ``unit``, ``text`` is what every output prints.

    ``bench`` is there for measurements with a rule of thumb: its words, text and consequence.
    """
    fields: dict[str, object] = {
        name: getattr(measurement, name)
        for name in ("name", "label", "value", "unit", "text", "other", "rule", "formula", "source")
    }
    if measurement.bench is not None:
        bench = measurement.bench
        fields["bench"] = {
            "rule": bench.words,
            "text": bench.reading(measurement.first).text,
            "consequence": bench.consequence,
        }
    return fields


def records(table: MeasurementTable) -> list[dict[str, object]]:
    """All measurements in table order."""
    return [record(measurement) for measurement in table.values()]


def as_json(table: MeasurementTable) -> str:
    """``records`` as JSON text, one line an entry's key, ending in a line feed."""
    return json.dumps(records(table), ensure_ascii=False, indent=2) + "\n"
