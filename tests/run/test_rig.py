"""The test rig: a case of a few lines in, a series and its figures out, from the same kernels as an exercise."""

import csv
import json
import math

import numpy as np
import pytest

from sim.lab import rig as rigs
from sim.model import layout as lay
from sim.model.tackle import catenary
from sim.scenario.library import data_root
from sim.scenario.read.rig import load_case
from sim.scenario.read.tackle import SUBMERGED_STEEL

SHIPPED = sorted((data_root() / "rigs").glob("*.yaml"))
TOW = """format: 1
rig: tow
chain: { mm: 10, length_m: 40 }
depth_m: 5
roller_height_m: 1
bottom: S
anchor: fixed
motion: { hold_m: 38, amplitude_m: 0.3, period_s: 5 }
for_s: 5
"""
PULL = """format: 1
rig: pull
chain: { mm: 10, length_m: 40 }
depth_m: 5
roller_height_m: 1
bottom: S
friction: 0
anchor: fixed
force_n: [[0, 1000], [200, 1000]]
mass_kg: 4000
damping_n_s_per_m: 500
for_s: 20
"""


@pytest.fixture
def case(tmp_path):
    """Return what writes a case, texts replaced in pairs, and gives its path."""

    def write(text, *changes):
        for old, new in changes:
            assert text.count(old) == 1, old
            text = text.replace(old, new)
        path = tmp_path / "case.yaml"
        path.write_text(text, encoding="utf-8")
        return path

    return write


def columns(run):
    """Return a run's rows by column."""
    return dict(zip(rigs.COLUMNS, np.array(run.rows).T, strict=True))


def test_writes_a_row_every_so_often_and_prints_the_figures(case, here, tmp_path):
    out = tmp_path / "series.csv"
    said = here("rig", str(case(TOW, ("for_s: 5", "for_s: 5\nevery_s: 0.5"))), "--out", str(out), "--json")
    with out.open(encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    figures = json.loads(said.out)

    assert said.code == 0
    assert list(rows[0]) == list(rigs.COLUMNS)
    assert [float(row["t_s"]) for row in rows] == pytest.approx([0.5 * k for k in range(11)])
    tensions = [float(row["tension_roller_n"]) for row in rows]
    assert figures["tension_roller_n"]["peak"] >= max(tensions)
    assert 0.0 < figures["tension_roller_n"]["mean"] <= figures["tension_roller_n"]["rms"]


def test_roller_goes_where_the_case_says(case):
    """A sine about its place, or straight from row to row and still after the last."""
    swayed = columns(rigs.run(load_case(case(TOW))))
    towed = columns(
        rigs.run(
            load_case(
                case(TOW, ("{ hold_m: 38, amplitude_m: 0.3, period_s: 5 }", "[[0, 37], [2, 38], [4, 38], [4.5, 37.5]]"))
            )
        )
    )

    assert swayed["roller_x_m"] == pytest.approx(38.0 + 0.3 * np.sin(2.0 * np.pi * swayed["t_s"] / 5.0), abs=1e-5)
    assert towed["roller_x_m"] == pytest.approx(np.interp(towed["t_s"], [0, 2, 4, 4.5], [37, 38, 38, 37.5]), abs=1e-5)


def test_tow_starts_settled(case):
    """Held where it is laid, nothing changes from the first row on; the sum of weights is what the ends carry."""
    seen = columns(rigs.run(load_case(case(TOW, ("amplitude_m: 0.3, ", "")))))
    weight = 0.022 * 100.0 * 9.80665 * SUBMERGED_STEEL

    for name in ("tension_roller_n", "horizontal_roller_n", "lead_angle_deg", "grounded_m"):
        assert np.ptp(seen[name]) <= 1e-3 * seen[name].max()
    up = seen["tension_roller_n"] * np.sin(np.radians(seen["lead_angle_deg"]))
    assert up[0] == pytest.approx(weight * (40.0 - seen["grounded_m"][0]), rel=0.005)
    assert seen["anchor_x_m"].max() < 1e-4
    assert seen["uplift_deg"].max() == 0.0


def test_pull_starts_where_the_rode_balances_it(case):
    """1000 N on 40 m of 10 mm chain in 5 + 1 m: the catenary's reach, and the mass stays there."""
    seen = columns(rigs.run(load_case(case(PULL))))
    weight = 0.022 * 100.0 * 9.80665 * SUBMERGED_STEEL
    reach = catenary.shape_m(6.0, 40.0, 1000.0, weight)[-1][0]

    assert seen["roller_x_m"][0] == pytest.approx(reach, rel=5e-4)
    assert np.ptp(seen["roller_x_m"]) <= 0.005
    assert seen["horizontal_roller_n"] == pytest.approx(np.full(len(seen["t_s"]), 1000.0), rel=0.01)


def test_pulled_mass_obeys_force_damping_and_rode(case):
    """A short pull on a slack rode: what the force puts in, mass and damping take, until the rode comes taut."""
    slack = case(
        PULL, ("[[0, 1000], [200, 1000]]", "[[0, 0], [1, 0], [1.1, 2000], [200, 2000]]"), ("for_s: 20", "for_s: 3"),
        ("length_m: 40", "length_m: 60"),
    )  # fmt: skip
    seen = columns(rigs.run(load_case(slack)))
    run_s = 2.0 - 0.05
    free_m = 0.5 * (2000.0 / 4000.0) * run_s**2

    moved = seen["roller_x_m"][-1] - seen["roller_x_m"][0]
    assert 0.8 * free_m <= moved <= free_m


def test_anchor_of_a_type_digs_in_as_it_is_towed(case):
    digging = case(
        TOW, ("anchor: fixed", "anchor: { type: scoop, mass_kg: 15 }"), ("for_s: 5", "for_s: 120"),
        ("{ hold_m: 38, amplitude_m: 0.3, period_s: 5 }", "[[0, 37], [120, 43]]"),
    )  # fmt: skip
    seen = columns(rigs.run(load_case(digging)))

    assert seen["burial"][0] == 0.0
    assert seen["burial"][-1] > 0.8
    assert 2.0 < seen["anchor_x_m"][-1] < 6.0
    assert seen["tension_anchor_n"][-1] > 20.0 * 9.8 * 15.0


def test_figures_left_out_follow_from_the_bar(case):
    """10 mm: 2.2 kg/m and 8.54 MN; written out they stand as written."""
    plain = load_case(case(TOW)).rode.line
    written = load_case(
        case(
            TOW,
            ("{ mm: 10, length_m: 40 }", "{ mm: 10, length_m: 40, kg_per_m: 2.4, ea_n: 1000000, node_m: 2 }"),
            ("bottom: S", "bottom: S\nfriction: 0.5\ndrag: { normal: 1.2, tangential: 0.1 }"),
        )
    )

    assert plain[lay.LP_MASS] == pytest.approx(2.2)
    assert plain[lay.LP_EA] == pytest.approx(8.54e6)
    kept = [lay.LP_MASS, lay.LP_EA, lay.LP_SEGMENT, lay.LP_DRAG_NORMAL, lay.LP_DRAG_TANGENT]
    assert written.rode.line[kept] == pytest.approx([2.4, 1e6, 2.0, 1.2, 0.1])
    assert written.bottom[0, lay.G_FRICTION] == 0.5


def test_smaller_steps_change_the_figures_little(case):
    """Hauled at a fifth of a metre a second, 60 and 240 steps a second: mean and root mean square to 1 %.

    The peak is the shock with which it sets off at once, shorter than a sixtieth of a second.
    """
    hauled = ("{ hold_m: 38, amplitude_m: 0.3, period_s: 5 }", "[[0, 36.5], [1, 36.5], [10, 38.3]]")
    rates = [("for_s: 5", f"for_s: 12\nsteps_per_s: {rate}") for rate in (60, 240)]
    coarse, fine = (rigs.run(load_case(case(TOW, hauled, rate))).summary() for rate in rates)

    for name in ("tension_roller_n", "horizontal_roller_n"):
        assert coarse[name]["mean"] == pytest.approx(fine[name]["mean"], rel=0.01)
        assert coarse[name]["rms"] == pytest.approx(fine[name]["rms"], rel=0.01)


@pytest.mark.parametrize("path", SHIPPED, ids=lambda p: p.stem)
def test_shipped_cases_run(path):
    """Every number of every row is one."""
    run = rigs.run(load_case(path))

    assert all(math.isfinite(value) for row in run.rows for value in row)
    assert run.summary()["tension_roller_n"]["peak"] > 100.0


@pytest.mark.parametrize(
    ("old", "new", "key", "says"),
    [
        pytest.param("bottom: S", "bottom: Q", "bottom", "letters of the chart", id="no-such-bottom"),
        pytest.param("mm: 10", "mm: 100", "chain.mm", "at most 32", id="thick-chain"),
        pytest.param(
            "anchor: fixed", "anchor: { type: hook, mass_kg: 9 }", "anchor.type", "scoop", id="no-such-anchor"
        ),
        pytest.param("hold_m: 38", "hold_m: far", "motion.hold_m", "a number", id="no-number"),
        pytest.param("hold_m: 38", "hold_m: 60", "motion", "a first position of 0 to", id="out-of-reach"),
        pytest.param("length_m: 40", "length_m: 5", "chain", "more rode than the 6 m", id="short-chain"),
        pytest.param("length_m: 40", "length_m: 90, node_m: 0.5", "chain", "at most 158 segments", id="many-nodes"),
        pytest.param("for_s: 5", "for_s: 5\nwind_kn: 5", "wind_kn", "an unknown key", id="unknown-key"),
        pytest.param("rig: tow", "rig: pull", "", "force_n and mass_kg for a pull", id="no-force"),
    ],
)
def test_a_case_that_does_not_fit_is_refused_with_file_line_and_key(case, here, tmp_path, old, new, key, says):
    path = case(TOW, (old, new))
    said = here("rig", str(path), "--out", str(tmp_path / "none.csv"))

    assert said.code == 2
    assert len(said.err.splitlines()) == 1
    assert said.err.startswith(f"{path}:")
    assert f" {key}: " in said.err or not key
    assert says in said.err
    assert not (tmp_path / "none.csv").exists()
