"""Where each public strength function is checked against something this project did not compute itself.

Either in a module of published values or of finite elements, by name; or through a function that contains it; or, said
plainly, nowhere: no published number was found, and only our own second routes and hand calculations hold it.
"""

from __future__ import annotations

import inspect
import re
from pathlib import Path

import pytest

from casingloads import strength

TESTS = Path(__file__).parent.parent
OUTSIDE = [*(TESTS / "published").glob("test_*.py"), *(TESTS / "second_route").glob("test_fe_*.py")]
THROUGH = {  # checked as a part of the function named, whose published values would not come out without it
    "buttress_fracture_force": "buttress_joint_working",
    "buttress_joint_strength": "buttress_joint_working",
    "collapse_regime": "collapse_working",
    "coupling_area": "buttress_joint_working",
    "coupling_fracture_force": "buttress_joint_working",
    "coupling_root_diameter": "coupling_yield_pressure",
    "round_fracture_force": "round_joint_working",
    "round_joint_strength": "round_joint_working",
    "round_thread_area": "round_joint_working",
}
NONE_FOUND = {
    "collapse_decrement": "Klever-Tamano: no published number was found",
    "collapse_interaction": "Klever-Tamano: no published number was found; scipy's brentq solves the same equation",
    "coupling_pressure_rating": "the lesser of two functions that are checked",
    "coupling_pressure_working": "as above",
    "design_collapse_working": "Klever-Tamano: no published number was found",
    "equivalent_external_pressure": "no published number was found",
    "round_bent_fracture_force": "no published bending row was found",
    "rupture_pressure": "Klever-Stewart: no published number was found",
    "rupture_pressure_combined": "Klever-Stewart: no published number was found; brentq solves the same equation",
    "rupture_working": "as rupture_pressure",
    "rupture_working_combined": "as rupture_pressure_combined",
    "through_wall_yield_pressure": "Klever-Tamano: no published number was found",
    "ultimate_collapse_working": "Klever-Tamano: no published number was found",
}
FUNCTIONS = sorted(name for name in strength.__all__ if inspect.isfunction(getattr(strength, name)))


def checked_outside(name: str) -> bool:
    own = Path(__file__).name
    return any(re.search(rf"\b{name}\b", file.read_text(encoding="utf-8")) for file in OUTSIDE if file.name != own)


@pytest.mark.parametrize("name", FUNCTIONS)
def test_each_function_is_checked_outside_or_says_that_nothing_was_found(name: str) -> None:
    if name in THROUGH:
        assert checked_outside(THROUGH[name])
    else:
        assert checked_outside(name) != (name in NONE_FOUND), name


def test_the_tables_name_functions_that_exist() -> None:
    assert set(THROUGH) | set(NONE_FOUND) <= set(FUNCTIONS)
    assert not set(THROUGH) & set(NONE_FOUND)
