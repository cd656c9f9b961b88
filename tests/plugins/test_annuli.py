"""Trapped annuli of a well: pressures by a linear balance written out here, and what relieves them."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

import casingloads as cl
from casingloads.plugins import annuli

G, INCH = 9.80665, 0.0254
E, NU, ALPHA = 30e6 * 6894.757293168361, 0.3, 12.42e-6
WELL = """
[well]
name = "closed in"
air_gap = "0 m"
buckling = false
[earth]
depth = ["0 m", "3000 m"]
pore_pressure = ["1.0 sg", "1.1 sg"]
fracture = ["1.5 sg", "1.7 sg"]
temperature = ["20 degC", "80 degC"]
[temperatures.hot]
depth = ["0 m", "3000 m"]
temperature = ["60 degC", "120 degC"]
[fluids]
mud = "1.2 sg"
light = "1.0 sg"
slurry = "1.9 sg"
[required]
burst = 1.1
collapse = 1.0
tension = 1.3
compression = 1.3
triaxial = 1.25
[cases.heated]
case = "trapped-annuli"
temperature = "hot"
expansion = "4e-4 1/K"
compressibility = "4.5e-10 1/Pa"
share = "100 %"
walls = "as pipe alone"
OPTIONS
[[strings]]
name = "surface"
hole_size = "26 in"
top = "surface"
shoe = "1000 m"
run_in = "mud"
cement = [{ from = "shoe", to = "surface", slurry = "slurry" }]
sections = [{ od = "20 in", wall = "0.635 in", yield = "56 ksi", to = "shoe" }]
[[strings]]
name = "outer"
hole_size = "17-1/2 in"
top = "surface"
shoe = "2000 m"
run_in = "mud"
cement = [{ from = "shoe", to = "OUTER", slurry = "slurry" }]
sections = [{ od = "13-3/8 in", wall = "0.514 in", yield = "80 ksi", to = "shoe" }]
[[strings]]
name = "inner"
hole_size = "12-1/4 in"
top = "surface"
shoe = "2900 m"
run_in = "mud"
cement = [{ from = "shoe", to = "1500 m", slurry = "slurry" }]
sections = [{ od = "9-5/8 in", wall = "0.472 in", yield = "80 ksi", to = "shoe" }]
"""


def checked(tmp_path: Path, options: str = "", outer: str = "surface", *changes: tuple[str, str]) -> cl.Result:
    text = WELL.replace("OPTIONS", options).replace("OUTER", outer)
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    path = tmp_path / "well.toml"
    path.write_text(text, encoding="utf-8")
    return cl.check(cl.read_well(path))


def rise(result: cl.Result, string: str = "inner", md: float = 0.0, case: str = "heated") -> float:
    """Return what has built up around a string at a depth [Pa]: its outside pressure less the mud as run."""
    profile = result.profile(string, case)
    at = profile[np.isclose(profile.md_m, md) & (profile.side == ("below" if md == 0.0 else "above"))].iloc[0]
    return float(at.p_outside_pa) - 1200 * G * md


def displacement(inside: float, outside: float, at: float, p_i: float, p_o: float) -> float:
    """Return how far a surface of a thick tube held along its axis moves out under pressures (Lame, plane strain)."""
    square_i, square_o = inside**2, outside**2
    a = (p_i * square_i - p_o * square_o) / (square_o - square_i)
    b = (p_i - p_o) * square_i * square_o / (square_o - square_i)
    return (1 + NU) / E * ((1 - 2 * NU) * a * at + b / at)


def single(warmer: float, *, rigid_outer: bool = False) -> float:
    """Return the pressure of one annulus, linear: 9-5/8 in 0.472 in inside 13-3/8 in 0.514 in, all warmer alike.

    (alpha_f - 2 (1 + nu) alpha) dT A = p (kappa A + 2 pi r_o u_inner + 2 pi R u_outer).
    """
    r_i, r_o = 8.681 / 2 * INCH, 9.625 / 2 * INCH
    bore, outside = (13.375 - 2 * 0.514) / 2 * INCH, 13.375 / 2 * INCH
    area = np.pi * (bore**2 - r_o**2)
    inner = -2 * np.pi * r_o * displacement(r_i, r_o, r_o, 0.0, 1.0)  # room that a pressure of 1 makes there
    outer = 0.0 if rigid_outer else 2 * np.pi * bore * displacement(bore, outside, bore, 1.0, 0.0)
    grows = 4e-4 - 2 * (1 + NU) * ALPHA  # the liquid less the room between walls held along their axis
    return float(grows * warmer * area / (4.5e-10 * area + inner + outer))


def test_one_annulus_by_a_linear_balance(tmp_path: Path) -> None:
    """40 K warmer all along; the nonlinear balance differs by the square of the strains."""
    result = checked(tmp_path)
    by_hand = single(40.0)
    # along the annulus the rise is nearly even; the lighter column takes a little off with depth
    mean = 0.5 * (rise(result) + rise(result, md=1500.0))
    assert mean == pytest.approx(by_hand, rel=0.02)
    assert rise(result) > rise(result, md=1500.0) > 0.97 * rise(result)


def test_pipe_that_its_cement_holds_gives_less_room(tmp_path: Path) -> None:
    """The outer string is cemented to the surface: its wall does not move with pressure, which is the default."""
    soft, rigid = checked(tmp_path), checked(tmp_path, "", "surface", ('walls = "as pipe alone"\n', ""))
    ratio = single(1.0, rigid_outer=True) / single(1.0)
    assert rise(rigid) / rise(soft) == pytest.approx(ratio, rel=0.01)


def test_both_walls_feel_it(tmp_path: Path) -> None:
    """The same pressure stands outside the inner string and inside the outer one, down to the cement at 1500 m."""
    result = checked(tmp_path)
    outside = result.profile("inner", "heated")
    inside = result.profile("outer", "heated")
    for md in (0.0, 750.0):
        outer = float(np.interp(md, inside.md_m, inside.p_inside_pa))
        assert outer == pytest.approx(float(np.interp(md, outside.md_m, outside.p_outside_pa)), rel=1e-6)
    assert rise(result) > 5e6
    below = outside[outside.md_m > 1600.0]
    assert list(below.p_outside_pa) == pytest.approx(list(1200 * G * below.md_m))
    assert "surface" not in {row.string for row in result.rows}


def test_two_annuli_act_together(tmp_path: Path) -> None:
    """With liquid around the outer string as well, pressure from its other side takes room from the inner annulus."""
    alone, both = checked(tmp_path), checked(tmp_path, "", "600 m")
    assert rise(both) > rise(alone) * 1.02
    assert rise(both, "outer") > 0.0
    assert {row.string for row in both.rows} == {"surface", "outer", "inner"}


def test_an_open_shoe_loses_at_the_fracture_pressure(tmp_path: Path) -> None:
    """Cement of the inner string below the shoe around it: at 2000 m the rock breaks, own table by hand."""
    low = ('cement = [{ from = "shoe", to = "1500 m"', 'cement = [{ from = "shoe", to = "2300 m"')
    result = checked(tmp_path, "", "surface", low)
    breaks = float(np.interp(2000.0, [0.0, 3000.0], [0.0, 1700 * G * 3000.0]))
    at_shoe = rise(result, md=2000.0) + 1200 * G * 2000.0
    assert at_shoe == pytest.approx(breaks, rel=1e-3)
    plugged = checked(tmp_path, 'open_shoes = "plugged"', "surface", low)
    assert rise(plugged) > 1.5 * rise(result)
    assert any("limited by open shoe" in remark.text() for remark in result.remarks)


def test_a_valve_holds_what_it_is_set_to(tmp_path: Path) -> None:
    result = checked(tmp_path, 'bled = "inner"\nbleeds_to = "3 MPa"')
    assert rise(result) == pytest.approx(3e6, rel=1e-6)


def test_a_disc_opens_into_what_is_outside(tmp_path: Path) -> None:
    """In the outer string at 500 m, into mud as run behind it: 4 MPa more than that, then none more."""
    disc = 'disc_in = "outer"\ndisc_depth = "500 m"\ndisc_opens_at = "4 MPa"'
    result = checked(tmp_path, disc)
    assert rise(result, md=500.0) == pytest.approx(0.0, abs=2e4)
    high = checked(tmp_path, disc.replace("4 MPa", "90 MPa"))
    assert rise(high) == pytest.approx(rise(checked(tmp_path)), rel=1e-9)


@pytest.mark.parametrize("kind", ["gas cap", "foam"])
def test_a_cushion_gives_room(tmp_path: Path, kind: str) -> None:
    more = "" if kind == "gas cap" else '\nfoam_compressibility = "1e-7 1/Pa"'
    options = f'cushion = "{kind}"\ncushion_around = "inner"\ncushion_volume = "0.5 m3"{more}'
    assert rise(checked(tmp_path, options)) < 0.8 * rise(checked(tmp_path))


def test_less_heat_further_out(tmp_path: Path) -> None:
    even = checked(tmp_path, "", "600 m")
    cooler = checked(tmp_path, "", "600 m", ('share = "100 %"', 'share = "50 %"'))
    assert rise(cooler, "outer") < 0.8 * rise(even, "outer")


def test_fresh_water_where_no_coefficients_are_given(tmp_path: Path) -> None:
    gone = ('expansion = "4e-4 1/K"\ncompressibility = "4.5e-10 1/Pa"\n', "")
    result = checked(tmp_path, "", "surface", gone)
    assert 5e6 < rise(result) < 40e6


@pytest.mark.parametrize(
    ("options", "changes", "said"),
    [
        ('bled = "inner"', (), "needs bleeds_to"),
        ('bled = "surface"\nbleeds_to = "1 MPa"', (), "the closed annuli are those around 'inner'"),
        ('cushion = "foam"\ncushion_around = "inner"\ncushion_volume = "1 m3"', (), "needs foam_compressibility"),
        ('disc_in = "inner"\ndisc_depth = "500 m"\ndisc_opens_at = "4 MPa"', (), "no closed annulus is inside it"),
        ("", (('compressibility = "4.5e-10 1/Pa"\n', ""),), "needs expansion and compressibility, both or neither"),
        (
            "",
            (('cement = [{ from = "shoe", to = "1500 m"', 'cement = [{ from = "shoe", to = "surface"'),),
            "no annulus is left open to its wellhead by the cement",
        ),
    ],
)
def test_what_is_missing_is_told(tmp_path: Path, options: str, changes: tuple[tuple[str, str], ...], said: str) -> None:
    result = checked(tmp_path, options, "surface", *changes)
    assert result.verdict == "not-evaluated"
    assert all(said in row.reason for row in result.rows)


def test_it_applies_where_an_annulus_is_closed(tmp_path: Path) -> None:
    case = annuli.trapped_annuli
    assert case.applies is not None
    assert case.applies(cl.Scene(checked(tmp_path).well)) == ""
    full = ('cement = [{ from = "shoe", to = "1500 m"', 'cement = [{ from = "shoe", to = "surface"')
    assert "no annulus" in case.applies(cl.Scene(checked(tmp_path, "", "surface", full).well))


def test_a_string_inside_that_has_no_annulus_of_its_own_keeps_its_fluid(tmp_path: Path) -> None:
    """The innermost is cemented to the wellhead: what fills it is not what fills the string around it."""
    full = ('cement = [{ from = "shoe", to = "1500 m"', 'cement = [{ from = "shoe", to = "surface"')
    result = checked(tmp_path, 'inside = "light"', "600 m", full)
    assert {row.reason for row in result.rows} == {
        "inside: another string, without such an annulus, stands inside 'outer'"
    }


def test_what_stands_behind_the_outermost_is_the_lightest_credible(tmp_path: Path) -> None:
    """Fresh water from the wellhead, or the mud as run where that is asked for."""
    for options, density in (("", 1000.0), ('outside = "as run"', 1200.0)):
        profile = checked(tmp_path, options).profile("outer", "heated")
        found = float(np.interp(500.0, profile.md_m, profile.p_outside_pa))
        assert found == pytest.approx(density * G * 500.0)


def test_several_annuli_ask_how_hot_each_is(tmp_path: Path) -> None:
    result = checked(tmp_path, "", "600 m", ('share = "100 %"\n', ""))
    assert {row.reason for row in result.rows} == {"needs share, since several annuli are closed in"}


def test_a_disc_must_be_where_its_string_is_a_wall(tmp_path: Path) -> None:
    disc = 'disc_in = "outer"\ndisc_depth = "1900 m"\ndisc_opens_at = "4 MPa"'
    reasons = {row.reason for row in checked(tmp_path, disc).rows}
    assert reasons == {"disc_depth = 1900 m is not where 'outer' is around a closed annulus, 0 to 1500 m"}
