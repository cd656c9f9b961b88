"""A result as JSON and CSV, both in SI."""

from __future__ import annotations

import csv
import io
import json
import platform
from importlib.metadata import PackageNotFoundError, version
from typing import Any

from ..result import FACTOR_COLUMNS, UNITS, Result, factor_records

SCHEMA_VERSION = 1
_LIBRARIES = ("casingloads", "numpy", "scipy", "pandas", "pint", "pydantic", "pluggy")


def as_json(result: Result) -> str:
    """Return the result as JSON text: all numbers SI, no NaN, no infinity.

    Parameters
    ----------
    result : Result
        Of a check.

    Returns
    -------
    str
        One object: ``schema``, ``well``, ``provenance``, ``units``, ``assumptions``, ``factors``, ``verdict``, ...
    """
    return json.dumps(as_record(result), indent=2, ensure_ascii=False, allow_nan=False)


def as_record(result: Result) -> dict[str, Any]:
    """Return the result as plain dicts and lists."""
    well = result.well
    return {
        "schema": SCHEMA_VERSION,
        "well": {
            "name": well.name,
            "air_gap_m": well.air_gap,
            "water_depth_m": well.water_depth,
            "wellhead": well.wellhead,
            "wellhead_depth_m": well.wellhead_depth,
            "strings": [
                {
                    "name": string.name,
                    "top_md_m": string.top,
                    "shoe_md_m": string.shoe,
                    "sections": [
                        {"pipe": section.pipe.label, "top_md_m": section.top, "bottom_md_m": section.bottom}
                        for section in string.sections
                    ],
                }
                for string in well.strings
            ],
        },
        "provenance": {
            "versions": _versions(),
            "plugins": [
                {
                    "name": plugin.name,
                    "version": plugin.version,
                    "module": plugin.origin,
                    "sha256": plugin.digest,
                    "cases": list(plugin.cases),
                    "models": list(plugin.models),
                }
                for plugin in result.plugins.loaded
            ],
            **well.provenance,
        },
        "units": UNITS,
        "assumptions": list(result.assumptions),
        "remarks": [remark.text() for remark in result.remarks],
        "warnings": list(result.warnings),
        "noteworthy": [remark.text() for remark in result.noteworthy],
        "buckling": result.buckling.to_dict(orient="records"),
        "not_applicable": [
            {"string": item.string or None, "case": item.case, "reason": item.reason} for item in result.passed_over
        ],
        "hook_loads": result.hook_loads.to_dict(orient="records"),
        "factors": factor_records(result),
        "verdict": result.verdict,
        "cautions": list(result.cautions),
        "not_modelled": list(result.not_modelled),
    }


def as_csv(result: Result) -> str:
    """Return the rows of factors as CSV, SI, safe to open in a spreadsheet.

    Parameters
    ----------
    result : Result
        Of a check.

    Returns
    -------
    str
        A header and one line a row; what has no value is empty.
    """
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(FACTOR_COLUMNS)
    for record in factor_records(result):
        record["warnings"] = "; ".join(record["warnings"])
        writer.writerow([_safe(record[name]) for name in FACTOR_COLUMNS])
    return text.getvalue()


def _safe(value: Any) -> Any:
    """Return text such that no spreadsheet takes it for a formula."""
    return f"'{value}" if isinstance(value, str) and value[:1] in ("=", "+", "-", "@", "\t", "\r") else value


def _versions() -> dict[str, str]:
    found = {"python": platform.python_version()}
    for name in _LIBRARIES:
        try:
            found[name] = version(name)
        except PackageNotFoundError:
            found[name] = "not installed as a distribution"
    return found
