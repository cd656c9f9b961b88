"""What a sound well file becomes: SI numbers, words turned into depths, names into things, defaults told."""

from __future__ import annotations

import csv
import hashlib
import math
import time
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest

import casingloads as cl
from casingloads.constants import GRAVITY

ROOT = Path(__file__).parents[1]
PLAIN = (ROOT / "tests/wells/plain.toml").read_text(encoding="utf-8")
INCH, FOOT, PSI = 0.0254, 0.3048, 0.45359237 * GRAVITY / 0.0254**2
GROUND = 'wellhead = "ground"'
MUD = 'run_in = "spud mud"'
PIPE = 'pipe = "13-3/8 in 68 lb/ft L80", drift = "12-1/4 in"'

Change = tuple[str, str]


def read(tmp_path: Path, *changes: Change, plugins: cl.Plugins | None = None) -> cl.Well:
    """Return the plain well with *changes*."""
    text = PLAIN
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    file = tmp_path / "well.toml"
    file.write_text(text, encoding="utf-8")
    return cl.read_well(file, plugins=plugins)


def lines(well: cl.Well, *words: str) -> list[str]:
    """Return the assumptions that hold all *words*."""
    return [line for line in well.assumptions if all(word in line for word in words)]


SHIPPED = ["examples/corvane-4.toml", "examples/skerrow-3.toml", "tests/wells/check-well-1.toml"]


@pytest.mark.parametrize("name", [*SHIPPED, "tests/wells/check-well-2.toml"])
def test_our_files_are_sound(name: str) -> None:
    well = cl.read_well(ROOT / name)
    for string in well.strings:
        assert string.top == string.sections[0].top
        assert string.shoe == string.sections[-1].bottom
        assert set(string.required) == {"burst", "collapse", "tension", "compression", "triaxial"}
    digest = hashlib.sha256((ROOT / name).read_bytes()).hexdigest()
    assert well.provenance["well_file"] == {"name": Path(name).name, "sha256": digest}
    assert "casing_sizes.csv" in [catalog["name"] for catalog in well.provenance["catalogs"]]


def test_check_well_1_in_field_units() -> None:
    well = cl.read_well(ROOT / "tests/wells/check-well-1.toml")
    (string,) = well.strings
    (section,) = string.sections
    assert (well.wellhead, well.wellhead_depth, well.water_depth, well.units) == ("ground", 0.0, None, "field")
    assert string.shoe == pytest.approx(10_000 * FOOT)
    assert string.hole_size == pytest.approx(12.25 * INCH)
    assert section.pipe.wall == pytest.approx(0.472 * INCH)
    assert section.pipe.weight == pytest.approx(47 * 0.45359237 / FOOT)
    assert section.pipe.yield_strength == pytest.approx(80_000 * PSI)
    assert string.run_in.density == pytest.approx(10 * 0.45359237 / (231 * INCH**3))
    (cement,) = string.cement
    assert (cement.top, cement.bottom) == pytest.approx((6000 * FOOT, 10_000 * FOOT))
    assert well.earth.pore_pressure is not None
    at_bottom = 8.6 * 0.45359237 / (231 * INCH**3) * GRAVITY * 14_000 * FOOT  # a density counts from the drill floor
    assert float(well.earth.pore_pressure(14_000 * FOOT)) == pytest.approx(at_bottom)


def test_check_well_2_in_metric_units() -> None:
    well = cl.read_well(ROOT / "tests/wells/check-well-2.toml")
    (string,) = well.strings
    assert (well.wellhead, well.wellhead_depth, well.sea_floor) == ("sea floor", 1666.0, 1666.0)
    assert (string.top, string.shoe) == (1666.0, 2250.0)
    assert [(cement.top, cement.bottom) for cement in string.cement] == [(1666.0, 2250.0)]
    assert not string.riser  # in sea water
    assert string.next_hole is not None
    assert string.next_hole.riser
    assert string.required["tension"] == 1.3


def test_units_may_be_mixed(tmp_path: Path) -> None:
    metric = read(tmp_path)
    mixed = read(
        tmp_path,
        ('air_gap = "10 m"', 'air_gap = "32.808398950131235 ft"'),
        ('"1000 m"', '"3280.839895013123 ft"'),
        ('mud = "1.20 sg"', 'mud = "1200 kg/m3"'),
        ('shoe = "1000 m"', 'shoe = "100000 cm"'),
        ('hole_size = "17-1/2 in"', 'hole_size = "444.5 mm"'),
        ('"13-3/8 in 68 lb/ft L80"', '"339.72 mm 12.19 mm wall L80"'),
        ('pull = "100 kN"', 'pull = "22.480894309971 klbf"'),
        ('"40 degC"', '"104 degF"'),
    )
    one, other = metric.strings[0], mixed.strings[0]
    assert other.hole_size == pytest.approx(one.hole_size, rel=1e-12)
    assert other.shoe == pytest.approx(one.shoe, rel=1e-12)
    assert other.sections[0].pipe.wall == one.sections[0].pipe.wall
    assert other.cases[1].parameters["pull"] == pytest.approx(100e3, rel=1e-9)
    assert mixed.fluids["mud"].density == pytest.approx(1200.0)
    for name in ("pore_pressure", "temperature"):
        a, b = getattr(metric.earth, name), getattr(mixed.earth, name)
        assert b.tvd == pytest.approx(a.tvd, rel=1e-12)
        assert b.value == pytest.approx(a.value, rel=1e-12)


def test_pressures_densities_and_gradients_may_stand_side_by_side(tmp_path: Path) -> None:
    well = read(tmp_path, ('["1.30 sg", "1.60 sg", "1.80 sg"]', '["0.2 MPa", "16 kPa/m", "1.80 sg"]'))
    assert well.earth.fracture is not None
    assert well.earth.fracture.value == pytest.approx([0.2e6, 16e6, 1800 * GRAVITY * 3000.0])


# --- datum, survey, riser -------------------------------------------------------------------------------------

SEA = ("[fluids]", '[fluids]\n"sea water" = "1025 kg/m3"')


def test_a_wellhead_on_deck(tmp_path: Path) -> None:
    deck = 'water_depth = "80 m"\nwellhead = "deck"\nwellhead_depth = "6 m"'
    well = read(tmp_path, (GROUND, deck), ('air_gap = "10 m"', 'air_gap = "25 m"'), SEA)
    assert (well.wellhead, well.wellhead_depth, well.sea_floor) == ("deck", 6.0, 105.0)
    assert well.strings[0].top == 6.0
    assert all(string.riser for string in well.strings)  # the conductor is open to the drill floor


def test_riser_by_default_and_as_written(tmp_path: Path) -> None:
    sea = (GROUND, 'water_depth = "300 m"')
    well = read(tmp_path, sea, SEA, (MUD, 'run_in = "sea water"'))
    surface, inner, liner = well.strings
    assert well.wellhead == "sea floor"
    assert lines(well, "well.wellhead left out", "sea floor")
    assert (surface.riser, inner.riser, liner.riser) == (False, True, True)
    assert surface.next_hole is not None
    assert surface.next_hole.riser
    assert lines(well, "surface: riser left out: run without a riser, since the hole is full of 'sea water'")
    assert lines(well, "inner", "riser left out: run with a riser")
    given = read(
        tmp_path, sea, SEA, (MUD, f"{MUD}\nriser = false"), ('mud = "mud", size', 'riser = false, mud = "mud", size')
    )
    assert not given.strings[0].riser
    assert given.strings[0].next_hole is not None
    assert not given.strings[0].next_hole.riser
    assert not lines(given, "surface: riser left out")


def test_a_survey_in_the_file_and_beside_it_are_one_path(tmp_path: Path) -> None:
    (tmp_path / "plan").mkdir()
    rows = "md_m,inclination_deg,azimuth_deg\n0,0,0\n500,0,0\n1500,40,120\n"
    (tmp_path / "plan" / "survey.csv").write_text(rows, encoding="utf-8")
    beside = read(tmp_path, (GROUND, f'{GROUND}\nsurvey = "plan/survey.csv"'))
    table = '{ md = ["0 m", "500 m", "1500 m"], inclination = ["0 deg", "0 deg", "40 deg"], '
    table += 'azimuth = ["0 deg", "0 deg", "120 deg"] }'
    inline = read(tmp_path, (GROUND, f"{GROUND}\nsurvey = {table}"))
    assert inline.path == beside.path
    assert float(beside.path.tvd(2800.0)) < 2500.0
    assert lines(beside, "the survey ends at 1500.00 m; below it the path is taken straight")
    assert beside.provenance["survey"]["sha256"] == hashlib.sha256(rows.encode()).hexdigest()
    assert lines(read(tmp_path), "well.survey left out: the well is vertical")


# --- pipe, cement, cases --------------------------------------------------------------------------------------


def test_pipe_from_the_catalog_with_some_of_it_in_full(tmp_path: Path) -> None:
    changes = {
        "yield": '"90 ksi"',
        "tensile": '"100 ksi"',
        "weight": '"70 lb/ft"',
        "wall_factor": "0.9",
        "wall": '"12.5 mm"',
    }
    given = ", ".join(f"{key} = {value}" for key, value in changes.items())
    well = read(tmp_path, (PIPE, f"{PIPE}, {given}".replace("12-1/4 in", "12.2 in")))
    pipe = well.strings[0].sections[0].pipe
    assert pipe.outside_diameter == pytest.approx(13.375 * INCH)
    assert pipe.wall == pytest.approx(12.5e-3)
    assert pipe.weight == pytest.approx(70 * 0.45359237 / FOOT)
    assert pipe.yield_strength == pytest.approx(90e3 * PSI)
    assert pipe.tensile_strength == pytest.approx(100e3 * PSI)
    assert pipe.wall_factor == 0.9
    assert pipe.drift == pytest.approx(12.2 * INCH)
    assert lines(well, "strings.surface.sections[1]: yield as given, 620.5 MPa, not the catalog's")
    other = well.strings[1].sections[1].pipe
    assert other.drift == pytest.approx(8.525 * INCH)
    assert other.tensile_strength == pytest.approx(95e3 * PSI)


def test_pipe_in_full(tmp_path: Path) -> None:
    well = read(tmp_path, (PIPE, 'od = "13-3/8 in", wall = "0.5 in", yield = "80 ksi"'))
    pipe = well.strings[0].sections[0].pipe
    steel = math.pi / 4 * ((13.375 * INCH) ** 2 - (12.375 * INCH) ** 2) * 7850
    assert pipe.weight == pytest.approx(steel, rel=1e-3)
    assert (pipe.tensile_strength, pipe.drift, pipe.wall_factor) == (None, None, 0.875)
    assert "in full" in pipe.label
    assert lines(well, "strings.surface.sections[1]: weight left out: plain-end weight of the wall")
    assert lines(well, "strings.surface.sections[1]", "drift left out: what is no larger than the bore passes")


def test_a_catalog_of_the_users_own(tmp_path: Path) -> None:
    with (tmp_path / "ours.csv").open("w", newline="", encoding="utf-8") as file:
        rows = [["od_in", "weight_lbft", "wall_in", "source"], ["13.375", "75", "0.53", "mill sheet 7"]]
        csv.writer(file).writerows(rows)
    well = read(
        tmp_path, ("[well]", 'catalogs = ["ours.csv"]\n[well]'), ("13-3/8 in 68 lb/ft L80", "13-3/8 in 75 lb/ft L80")
    )
    assert well.strings[0].sections[0].pipe.wall == pytest.approx(0.53 * INCH)
    assert "ours.csv" in [catalog["name"] for catalog in well.provenance["catalogs"]]


def test_words_of_cement_and_sections_are_depths(tmp_path: Path) -> None:
    surface, inner, liner = read(tmp_path).strings
    assert [(c.top, c.bottom, c.slurry.name) for c in surface.cement] == [
        (10.0, 700.0, "spud mud"),
        (700.0, 1000.0, "slurry"),
    ]
    assert [(c.top, c.bottom) for c in liner.cement] == [(1800.0, 2800.0)]
    assert [(s.top, s.bottom) for s in inner.sections] == [(10.0, 800.0), (800.0, 2000.0)]
    given = read(
        tmp_path, ('{ pipe = "9-5/8 in 47 lb/ft L80", to', '{ pipe = "9-5/8 in 47 lb/ft L80", from = "800 m", to')
    )
    assert given.strings[1].sections == inner.sections


def test_several_cemented_intervals_with_a_gap(tmp_path: Path) -> None:
    upper, lower = 'from = "900 m", to = "600 m", slurry = "mud"', 'from = "1500 m", to = "shoe", slurry = "slurry"'
    cement = ('{ from = "shoe", to = "1200 m", slurry = "slurry" }', f"{{ {upper} }}, {{ {lower} }}")
    inner = read(tmp_path, cement).strings[1]
    assert [(c.top, c.bottom) for c in inner.cement] == [(600.0, 900.0), (1500.0, 2000.0)]
    free = read(tmp_path, ('cement = [{ from = "shoe", to = "1200 m", slurry = "slurry" }]\n', ""))
    assert free.strings[1].cement == ()
    assert lines(free, "inner: cement left out: the string hangs free for life")


def test_cases_labels_and_required_factors(tmp_path: Path) -> None:
    well = read(tmp_path, (MUD, f"{MUD}\nrequired = {{ burst = 1.2 }}"))
    surface, inner, _ = well.strings
    assert [(case.label, case.case) for case in surface.cases] == [
        ("running", "running"),
        ("overpull", "overpull"),
        ("pressure-test", "pressure-test"),
    ]
    assert surface.cases[2].parameters["fluid"] == well.fluids["mud"]
    assert surface.cases[2].parameters["pressure"] == pytest.approx(10e6)
    (half,) = inner.cases
    assert (half.label, half.case, half.parameters["level"]) == ("half-empty", "evacuation", 900.0)
    assert dict(half.required) == {"collapse": 1.1}
    assert surface.required == {"burst": 1.2, "collapse": 1.0, "tension": 1.6, "compression": 1.3, "triaxial": 1.25}
    assert inner.required["burst"] == 1.1
    assert lines(well, "surface: pressure-test: quoted_at = 'wellhead', by default")


def test_what_a_case_takes_by_default_is_told_plainly() -> None:
    well = cl.read_well(ROOT / "examples/skerrow-3.toml")
    assert lines(well, "riser-loss: mud left out: the mud of the next hole")
    assert lines(well, "gas-to-surface: reservoir_pressure left out: the pore pressure")
    assert not lines(well, "gas_gradient")  # gas_gravity is given in its place: nothing was left to a default


def test_a_case_of_several_strings_by_a_plugin(tmp_path: Path) -> None:
    @cl.load_case(phase="other", source="none", scope="well")
    def two_annuli(scene: cl.Scene, *, rise: cl.TemperatureRise, between: cl.MeasuredDepth | None = None) -> cl.Load:
        """Warm both."""
        return cl.Load(steps=())

    @cl.hookimpl
    def casingloads_load_cases() -> list[cl.LoadCase]:
        return [two_annuli]

    module = ModuleType("annuli")
    module.casingloads_load_cases = casingloads_load_cases  # type: ignore[attr-defined]
    plugins = cl.load_plugins(module)
    table = ("[required]", '[cases.warm]\ncase = "two-annuli"\nrise = "18 degF"\n[required]')
    (case,) = read(tmp_path, table, plugins=plugins).cases
    assert (case.label, case.case) == ("warm", "two-annuli")
    assert dict(case.parameters) == {"rise": pytest.approx(10.0), "between": None}
    with pytest.raises(cl.InputError, match=r"cases\.warm\.case: 'two-annuli' is not a load case"):
        read(tmp_path, table)
    with pytest.raises(cl.InputError, match=r"cases\.warm\.rise: missing; 'two-annuli' needs a temperature difference"):
        read(tmp_path, ("[required]", '[cases.warm]\ncase = "two-annuli"\n[required]'), plugins=plugins)
    with pytest.raises(
        cl.InputError, match=r"surface\.cases\.two-annuli: case 'two-annuli' stands under \[cases\.LABEL\]"
    ):
        read(tmp_path, ("running = {}", 'two-annuli = { rise = "5 degC" }'), plugins=plugins)


def test_what_is_rarely_given(tmp_path: Path) -> None:
    more = (
        '\ndisplaced_with = "mud"\ntriaxial_wall = "nominal"\nmodels = { collapse = "four-regime-equivalent-pressure" }'
    )
    more += '\nset_temperature = { depth = ["0 m", "1000 m"], temperature = ["10 degC", "30 degC"] }'
    steel = '[steel]\nmodulus = "200 GPa"\npoisson = 0\nexpansion = "12e-6 /degC"\n\n[required]'
    well = read(
        tmp_path, (MUD, MUD + more), ("[required]", steel), (GROUND, f'{GROUND}\nbuckling = false\nunits = "field"')
    )
    surface = well.strings[0]
    assert well.steel.modulus == pytest.approx(200e9)
    assert well.steel.poisson == 0.0
    assert well.steel.expansion == pytest.approx(12e-6)
    assert (surface.displaced_with.name, surface.triaxial_wall, well.units) == ("mud", "nominal", "field")
    assert surface.models["collapse"].name == "four-regime-equivalent-pressure"
    assert surface.set_temperature is not None
    assert float(surface.set_temperature(500.0)) == pytest.approx(293.15)
    assert not lines(well, "surface: set_temperature")
    assert lines(well, "inner, liner: set_temperature left out: the cement set at undisturbed temperature")


def test_every_default_is_told(tmp_path: Path) -> None:
    well = read(tmp_path, ('temperature = ["10 degC", "40 degC", "90 degC"]', ""), (GROUND, ""))
    assert lines(well, "earth.temperature left out: no change of temperature acts on any string")
    assert lines(well, "well.wellhead left out: taken on the ground")
    assert lines(well, "surface, inner, liner: displaced_with left out")
    assert lines(well, "wall_factor left out: minimum wall 0.875 of nominal")
    assert lines(well, "no connection is named, so the pipe body alone is checked")
    assert len(set(well.assumptions)) == len(well.assumptions)
    assert all(line.isprintable() for line in well.assumptions)


def test_a_string_may_have_any_printable_name(tmp_path: Path) -> None:
    name = "13-3/8 in. no. 1, «Ålgård»"
    well = read(tmp_path, ('name = "surface"', f'name = "{name}"'))
    assert well.string(name).shoe == 1000.0
    assert lines(well, f"{name}: pressure-test: quoted_at")


def test_reading_is_quick() -> None:
    plugins = cl.load_plugins()
    cl.read_well(ROOT / "examples/skerrow-3.toml", plugins=plugins)
    took = []
    for _ in range(5):
        start = time.perf_counter()
        cl.read_well(ROOT / "examples/skerrow-3.toml", plugins=plugins)
        took.append(time.perf_counter() - start)
    assert min(took) < 0.03


def test_the_well_holds_no_number_that_is_none(tmp_path: Path) -> None:
    for string in read(tmp_path).strings:
        numbers = [string.hole_size, string.top, string.shoe, string.run_in.density, *string.required.values()]
        for section in string.sections:
            pipe = section.pipe
            numbers += [section.top, section.bottom, pipe.outside_diameter, pipe.wall, pipe.weight, pipe.yield_strength]
        assert np.all(np.isfinite(numbers))
