"""Every row of `loads_checks.csv` is checked by one of the modules beside this one, or stands here with the reason."""

from __future__ import annotations

import csv
import importlib.util
import re
import sys
from pathlib import Path

HERE = Path(__file__).parent

# Quantities that the package does not work out. Whoever builds one takes its rows off and checks them.
NOT_BUILT = {
    "L168": "yield at temperature: a handbook's table, one value of it",
}

# Rows that are no calculation of ours.
NOT_OURS = {
    **dict.fromkeys(("L012", "L015", "L018"), "volumes: barrels lost or gained over the capacity of an annulus"),
    "L115": "3200 times a weight: a rule whose speed is taken apart in L116",
    "L088": "trigonometry: the lateral part of an inclined force",
    "L163": "a regional pore pressure gradient: the well file gives the pore pressure",
    **dict.fromkeys(
        ("L164", "L165", "L166", "L167"), "a rule of 30 CFR 250.721: the well file gives the test pressure"
    ),
}


def _rows() -> set[str]:
    with (HERE / "loads_checks.csv").open(newline="", encoding="utf-8") as lines:
        return {row["id"] for row in csv.DictReader(lines)}


def _checked() -> dict[str, str]:
    """Return the rows that the other modules check, with the module: its ``COVERED`` or ``ROWS``, or a test's id."""
    found: dict[str, str] = {}
    for path in sorted(HERE.glob("test_*.py")):
        if path == Path(__file__):
            continue
        spec = importlib.util.spec_from_file_location(f"_read_{path.stem}", path)
        assert spec is not None
        assert spec.loader is not None
        module = importlib.util.module_from_spec(spec)
        sys.modules[spec.name] = module  # a dataclass looks its module up
        spec.loader.exec_module(module)
        named = [*getattr(module, "COVERED", getattr(module, "ROWS", ()))]
        named += re.findall(r'id="(L\d{3})-', path.read_text(encoding="utf-8"))
        found.update({str(key): path.name for key in named if re.fullmatch(r"L\d{3}", str(key))})
    return found


def test_no_row_is_dropped() -> None:
    here = NOT_BUILT.keys() | NOT_OURS.keys()
    assert _rows() - _checked().keys() == here, "rows checked nowhere, or checked and still listed here"


def test_no_row_is_made_up() -> None:
    assert NOT_BUILT.keys() | NOT_OURS.keys() <= _rows()
    assert _checked().keys() <= _rows()
    assert not NOT_BUILT.keys() & NOT_OURS.keys()


def test_every_checking_module_is_seen() -> None:
    assert set(_checked().values()) >= {
        "test_axial_published.py",
        "test_body_strength.py",
        "test_buckling_published.py",
        "test_columns_published.py",
        "test_gas_published.py",
        "test_load_cases_published.py",
        "test_path_published.py",
        "test_seawater_published.py",
    }
