"""The catalog of couplings: its files against each other and the standard's rules, and how a coupling is found."""

from __future__ import annotations

import csv
import hashlib
import io
import math
from dataclasses import replace
from importlib.resources import files

import pytest

from casingloads import standard_catalog
from casingloads.catalog import CatalogError
from casingloads.catalog.couplings import Coupling, standard_couplings
from casingloads.catalog.rows import POUND_PER_FOOT
from casingloads.constants import INCH, PSI
from casingloads.strength.round_thread import ROUND_THREAD_HEIGHT

ROWS = standard_couplings().rows
ROUND = [row for row in ROWS if row.thread != "BTC"]
BUTTRESS = [row for row in ROWS if row.thread == "BTC"]


def raw_rows(name: str) -> list[dict[str, str]]:
    text = files("casingloads.catalogs").joinpath(name).read_text(encoding="utf-8")
    return list(csv.DictReader(line for line in io.StringIO(text) if not line.startswith("#")))


def find(od: float, thread: str, weight: float | None = None, ksi: float | None = None, **more: str) -> Coupling:
    """Find by inches, lb/ft and ksi."""
    return standard_couplings().find(
        od * INCH,
        thread,
        weight=None if weight is None else weight * POUND_PER_FOOT,
        yield_strength=None if ksi is None else ksi * 1e3 * PSI,
        **more,
    )


# --- the files ---


def test_counts() -> None:
    """Counted in the reference tables: 24 rows of STC, 11 of LTC, 14 of BTC, of which 9 with special clearance."""
    threads = [row["thread"] for row in raw_rows("couplings.csv")]
    assert [threads.count(thread) for thread in ("STC", "LTC", "BTC")] == [24, 11, 14]
    assert len(ROWS) == 24 + 11 + 14 + 9


def test_rows_are_sorted_and_unique() -> None:
    keys = [
        (
            ("STC", "LTC", "BTC").index(row["thread"]),
            float(row["pipe_od_in"]),
            float(row["weight_from_lbft"] or 0.0),
            float(row["coupling_yield_from_psi"] or 0.0),
        )
        for row in raw_rows("couplings.csv")
    ]
    assert keys == sorted(set(keys))


@pytest.mark.parametrize("name", ["couplings.csv", "thread_constants.csv"])
def test_every_row_leads_to_its_source(name: str) -> None:
    sources = {row["key"]: row["text"] for row in raw_rows("sources.csv")}
    for row in raw_rows(name):
        assert all(sources[key] for key in row["source"].split(";"))
        read = any(key.startswith("S") for key in row["source"].split(";"))
        assert read or "seen-in-secondary" not in (row["provenance"], row.get("od_provenance"))
        assert row["confidence"] == ("low" if row["provenance"] == "from-memory" else "medium")
    keys = [(row["key"][0], int(row["key"][1:])) for row in raw_rows("sources.csv")]
    assert keys == sorted(set(keys))


def test_every_source_is_used() -> None:
    names = (
        "casing_sizes.csv",
        "casing_sizes_common_practice.csv",
        "grades.csv",
        "couplings.csv",
        "thread_constants.csv",
    )
    used = {key for name in names for row in raw_rows(name) for key in row["source"].split(";")}
    assert used == {row["key"] for row in raw_rows("sources.csv")}


def test_hashes_are_those_of_the_files() -> None:
    folder = files("casingloads.catalogs")
    names = ("couplings.csv", "thread_constants.csv", "sources.csv")
    assert standard_couplings().hashes == {
        name: hashlib.sha256(folder.joinpath(name).read_bytes()).hexdigest() for name in names
    }


def test_rows_tell_their_source_in_words() -> None:
    row = find(9.625, "LTC", ksi=80.0)
    assert row.source.startswith("S7: dimension page: API round thread casing coupling dimensions")
    assert (row.catalog, row.confidence, row.provenance) == ("couplings.csv", "low", "from-memory")
    assert row.od_provenance == "seen-in-secondary"


# --- dimensions against the rules of the standard; all values from memory ---


@pytest.mark.parametrize("row", ROUND, ids=lambda row: f"{row.label}-{row.weights}-{row.yields}-from-memory")
def test_hand_tight_plane_of_round_threads(row: Coupling) -> None:
    """E1 = D - 0.09663 in up to 7 in, D - 0.10082 in from 7-5/8 in; half a turn tighter, 0.00419 in, from P110."""
    below = 0.09663 if row.pipe_od < 7.3 * INCH else 0.10082 + (0.00419 if row.yield_from > 0.0 else 0.0)
    assert row.pitch_diameter / INCH == pytest.approx(row.pipe_od / INCH - below, abs=1e-5)
    assert row.engaged_length is not None
    assert row.plane / INCH == pytest.approx(row.engaged_length / INCH, abs=0.005 if row.yield_from else 0.0006)
    assert row.turns == (3.0 if row.pipe_od < 7.3 * INCH else 4.0 if row.yield_from else 3.5)


@pytest.mark.parametrize("row", BUTTRESS, ids=lambda row: f"{row.label}-from-memory")
def test_perfect_threads_of_buttress(row: Coupling) -> None:
    """E7 = D - 0.046 in up to 13-3/8 in, D - 0.062 in from 16 in, where the taper is 0.0833."""
    large = row.pipe_od > 14.0 * INCH
    assert row.pitch_diameter / INCH == pytest.approx(row.pipe_od / INCH - (0.062 if large else 0.046), abs=1e-6)
    assert row.taper == (0.0833 if large else 0.0625)
    assert row.turns == {4.5: 2.0}.get(row.pipe_od / INCH, 1.875 if large else 2.5)
    assert row.engaged_length is None


# L4 in inches by size; short threads of the lightest pipe in brackets. Recalled apart from the catalog.
SHORT = {
    **{4.5: 2.625, 5.0: 2.75, 5.5: 2.875, 6.625: 3.125, 7.0: 3.125, 7.625: 3.25, 8.625: 3.375, 9.625: 3.375},
    **{10.75: 3.5, 11.75: 3.5, 13.375: 3.5, 16.0: 4.0, 18.625: 4.0, 20.0: 4.0},
}
LIGHTEST = {(4.5, 9.5): 2.0, (5.0, 11.5): 2.5, (7.0, 17.0): 2.375, (8.625, 24.0): 3.0, (10.75, 32.75): 2.75}
LONG = {4.5: 3.0, 5.0: 3.375, 5.5: 3.5, 6.625: 3.875, 7.0: 4.0, 7.625: 4.125, 8.625: 4.5, 9.625: 4.75, 20.0: 5.25}
COUPLING_OD = {
    **{4.5: 5.0, 5.0: 5.563, 5.5: 6.05, 6.625: 7.39, 7.0: 7.656, 7.625: 8.5, 8.625: 9.625, 9.625: 10.625},
    **{10.75: 11.75, 11.75: 12.75, 13.375: 14.375, 16.0: 17.0, 18.625: 19.625, 20.0: 21.0},
}


def test_engaged_lengths() -> None:
    """L = L4 - M, M 0.704 in up to 7 in and 0.709 in above."""
    expected = {(od, "STC", "heavy"): length for od, length in SHORT.items()}
    expected |= {(od, "LTC", "heavy"): length for od, length in LONG.items()}
    expected |= {(od, "STC", "light"): length for (od, _), length in LIGHTEST.items()}
    found: dict[tuple[float, str, str], float] = {}
    for row in ROUND:
        od = round(row.pipe_od / INCH, 3)
        assert row.engaged_length is not None
        light = (od, round(row.weight_to / POUND_PER_FOOT, 2)) in LIGHTEST
        key = (od, row.thread, "light" if light else "heavy")
        length = row.engaged_length / INCH + (0.704 if od <= 7.0 else 0.709)
        assert length == pytest.approx(found.setdefault(key, length)), "one length for all coupling grades"
    assert found == pytest.approx(expected)


def test_coupling_diameters() -> None:
    for row in ROWS:
        od = round(row.pipe_od / INCH, 3)
        if row.clearance == "regular":
            assert row.od / INCH == pytest.approx(COUPLING_OD[od]), row.label
        else:
            assert row.pipe_od < row.od < COUPLING_OD[od] * INCH
        assert row.later_od is None or (row.later_od > row.od and row.notes)


def test_form_of_the_round_thread() -> None:
    """H = 0.866 p, h_s = 0.626 p - 0.007 in, S_rn = 0.120 p + 0.002 in, p = 1/8 in; the formula has 2 h_s."""
    form = {row["name"]: float(row["value"]) for row in raw_rows("thread_constants.csv") if row["thread"] == "round"}
    assert form["vee_height"] == pytest.approx(0.866 / 8)
    assert form["thread_height"] == pytest.approx(0.626 / 8 - 0.007)
    assert form["root_truncation"] == pytest.approx(0.120 / 8 + 0.002)
    assert form["thread_height"] * INCH == pytest.approx(ROUND_THREAD_HEIGHT, rel=1e-12)
    assert {row.pitch for row in ROUND} == {INCH / 8}
    assert {row.pitch for row in BUTTRESS} == {INCH / 5}


def test_every_casing_size_of_the_standard_has_its_buttress_and_short_thread() -> None:
    sizes = {round(pipe.od / INCH, 3) for pipe in standard_catalog().pipes if pipe.status == "standard"}
    sizes.remove(7.75)  # made with plain ends only
    assert sizes == {round(row.pipe_od / INCH, 3) for row in BUTTRESS} == set(COUPLING_OD)
    assert sizes == {round(row.pipe_od / INCH, 3) for row in ROUND if row.thread == "STC"}


# --- finding ---


@pytest.mark.parametrize(
    ("od", "light", "heavy"),
    [(4.5, 9.5, 10.5), (5.0, 11.5, 13.0), (7.0, 17.0, 20.0), (8.625, 24.0, 28.0), (10.75, 32.75, 40.5)],
)
def test_lightest_pipe_has_a_shorter_thread(od: float, light: float, heavy: float) -> None:
    short, long = find(od, "STC", light, 55.0), find(od, "STC", heavy, 55.0)
    assert short.engaged_length is not None
    assert long.engaged_length is not None
    assert short.engaged_length < long.engaged_length
    assert find(od, "STC", heavy + 20.0, 55.0) is long
    assert short.weights == f"{light:g} lb/ft"
    assert long.weights == f"{heavy:g} lb/ft and heavier"
    with pytest.raises(
        CatalogError, match=rf"nominal weight of the pipe is needed; .* {light:g} lb/ft, {heavy:g} lb/ft"
    ):
        find(od, "STC")
    with pytest.raises(
        CatalogError, match=rf"no coupling for {light - 1:g} lb/ft pipe; in the catalog: {light:g} lb/ft"
    ):
        find(od, "STC", light - 1.0)


def test_weight_within_a_hundredth_of_a_pound_per_foot() -> None:
    assert find(7.0, "STC", 17.009) is find(7.0, "STC", 17.0)
    with pytest.raises(CatalogError, match=r"no coupling for 17.02 lb/ft pipe"):
        find(7.0, "STC", 17.02)


def test_one_weight_only() -> None:
    assert find(18.625, "STC", 87.5).weights == "87.5 lb/ft"
    for weight in (None, 96.5):
        with pytest.raises(CatalogError, match=r"in the catalog: 87.5 lb/ft$"):
            find(18.625, "STC", weight)


def test_couplings_from_p110_are_cut_tighter() -> None:
    common, tight = find(9.625, "LTC", 47.0, 80.0), find(9.625, "LTC", 47.0, 110.0)
    assert (common.turns, tight.turns) == (3.5, 4.0)
    assert tight.root_diameter < common.root_diameter
    assert tight.engaged_length == common.engaged_length
    assert find(9.625, "LTC", ksi=125.0) is tight
    metric = standard_couplings().find(0.2445, "LTC", yield_strength=758e6)  # as P110 is called in MPa
    assert metric is tight
    assert standard_couplings().find(0.2445, "LTC", yield_strength=655e6) is common
    with pytest.raises(
        CatalogError, match=r"9-5/8 in LTC: need the minimum yield .*: below 758.4 MPa, 758.4 MPa and above"
    ):
        find(9.625, "LTC", 47.0)


def test_special_clearance() -> None:
    regular, special = find(7.0, "BTC"), find(7.0, "BTC", clearance="special")
    assert special.label == "7 in BTC special clearance"
    assert (regular.od / INCH, special.od / INCH) == pytest.approx((7.656, 7.375))
    assert special.root_diameter == regular.root_diameter
    assert (special.later_od, special.od_provenance) == (None, "from-memory")
    with pytest.raises(
        CatalogError, match=r"no special clearance BTC coupling for 13-3/8 in pipe; in the catalog: regular"
    ):
        find(13.375, "BTC", clearance="special")
    with pytest.raises(CatalogError, match="no special clearance LTC coupling"):
        find(7.0, "LTC", clearance="special")


def test_what_is_not_there_is_said() -> None:
    with pytest.raises(CatalogError, match=r"no LTC coupling for 13-3/8 in pipe; in the catalog: STC, BTC"):
        find(13.375, "LTC")
    with pytest.raises(CatalogError, match=r"no coupling for 9 in pipe; in the catalog: 4-1/2 in, 5 in, .*, 20 in"):
        find(9.0, "BTC")
    with pytest.raises(CatalogError, match=r"thread 'LTCC': did you mean 'LTC'\?"):
        find(7.0, "LTCC")
    with pytest.raises(CatalogError, match=r"clearance 'specal': did you mean 'special'\?"):
        find(7.0, "BTC", clearance="specal")
    with pytest.raises(ValueError, match="pipe_od = nan m"):
        find(math.nan, "BTC")
    with pytest.raises(ValueError, match="weight = -1"):
        standard_couplings().find(7.0 * INCH, "BTC", weight=-1.0)
    with pytest.raises(ValueError, match="yield_strength = 0 Pa"):
        standard_couplings().find(7.0 * INCH, "BTC", yield_strength=0.0)


def test_a_coupling_within_its_thread_is_no_coupling() -> None:
    with pytest.raises(ValueError, match=r"7 in BTC: thread root 0.173\d+ m is not within od 0.17 m"):
        replace(find(7.0, "BTC"), od=0.17)


def test_read_once() -> None:
    assert standard_couplings() is standard_couplings()
