"""The night in pictures: hours across, gaps where there is nothing to tell, boats where they lay at the worst."""

from dataclasses import replace

import numpy as np
import worlds
from marking import sailed

from sim.marking.errors.found import find_errors
from sim.pages import night_picture, page_night
from sim.pages.debrief import speaker
from sim.record.night import Night
from sim.scenario.library import load_words

SAY = speaker(load_words("en"))


def night(**changed) -> Night:
    """Return ten hours, a sample each ten seconds: 12 kn from north; five metres of drag in the sixth hour."""
    t_s = 480.0 + 10.0 * np.arange(3601)
    n = t_s.size
    late = t_s > 480.0 + 6.0 * 3600.0
    rodes = np.zeros((n, 1, 5))
    rodes[late, 0, 0] = -5.0
    own = np.zeros((n, 3))
    own[:, 0] = -42.0
    kept = {
        "began_s": 480.0, "until_s": float(t_s[-1]), "t_s": t_s, "own": own,
        "pull_n": np.full(n, 500.0), "uplift_rad": np.zeros(n), "wind": np.tile([-6.2, 0.0], (n, 1)),
        "tide_m": np.zeros(n), "gap_m": np.full(n, np.inf), "gap_boat": np.zeros(n), "rodes": rodes,
        "others": np.zeros((n, 0, 3)), "drag_m": 5.0, "drag_s": 22080.0, "peak_n": 900.0, "peak_s": 9000.0,
        "load_99_n": 800.0, "steep_s": 0.0, "least_gap_m": None, "least_gap_s": None, "least_gap_boat": None,
    }  # fmt: skip
    return Night(**(kept | changed))


def test_the_hours_begin_with_the_night_and_the_anchor_is_seen_to_go():
    """From nought to ten; five metres from the sixth hour on."""
    hours, rows = night_picture.columns(night())
    moved = next(values for key, _, values in rows if key.endswith("moved"))

    assert (hours[0], hours[-1]) == (0.0, 10.0)
    assert set(moved[hours <= 6.0]) == {0.0}
    assert set(moved[hours > 6.01]) == {5.0}


def test_what_there_is_nothing_to_tell_of_has_no_strip():
    """No neighbour, no gap; no tide, no curve of it. With them, both."""
    alone = {key for key, _, _ in night_picture.columns(night())[1]}
    n = 3601
    tide = np.sin(np.linspace(0.0, 6.0, n))
    both = {key for key, _, _ in night_picture.columns(night(gap_m=np.full(n, 30.0), tide_m=tide))[1]}

    assert both - alone == {"page.night.strip.gap", "page.night.strip.tide"}


def test_the_worst_moment_is_the_least_gap_else_the_greatest_pull():
    """At 9000 s the pull; where a boat came near, then."""
    assert night().t_s[night_picture.worst(night())] == 9000.0
    near = night(least_gap_s=20000.0, least_gap_m=4.0, least_gap_boat=1)
    assert near.t_s[night_picture.worst(near)] == 20000.0


def test_the_stay_from_above_has_every_boat_and_the_anchors_way():
    """Her hull, the neighbour by name, a dark line for an anchor that went."""
    slept = night(others=np.tile([20.0, 30.0, 0.0], (3601, 1, 1)))
    run = sailed.run(params={"neighbours": (worlds.neighbour(40.0, 30.0),)}, others=[(20.0, 30.0, 0.0)])
    drawn = night_picture.draw_plan(run, slept, SAY)

    assert run.params.neighbours[0].name in drawn
    assert "nan" not in drawn
    assert night_picture.draw_strips(slept, SAY).count("<title>") == 1


def test_the_table_has_the_figures_of_the_strips():
    """Twenty rows from the first hour to the last."""
    heads, rows = night_picture.table(night(), SAY)

    assert len(heads) == len(rows[0]) == 5
    assert (rows[0][0], rows[-1][0]) == ("0.0", "10.0")
    assert rows[-1][4] == "5.0"


def test_the_rode_is_drawn_as_it_hung_under_the_greatest_pull():
    """Its shape as it was kept, its figures in words; without a shape there is no picture."""
    hung = night(shape=sailed.chain_shape(32.5), shape_s=9000.0)
    drawn = night_picture.draw_side(sailed.run(), hung, SAY)

    assert "Under one of the hardest pulls of the night, 2 h 22 min into the stay" in drawn
    assert "pull 0.50 kN" in drawn
    assert night_picture.draw_side(sailed.run(), night(), SAY) == ""


def test_a_trifle_does_not_fill_a_strip():
    """A millimetre of movement is drawn on a scale of a metre."""
    still = night_picture.draw_strips(night(), lambda key, _values: key)

    assert "0.01<" not in still


def test_the_sentence_counts_from_when_the_stay_began():
    """At 22080 s the anchor went, six hours after the night began at 480 s."""
    run = replace(sailed.run(), night=night(drag_m=12.0))

    assert page_night.sentence(run, SAY).startswith("6 h 00 min into the stay her anchor was dragging: 12 m")


def test_no_cause_comes_after_what_it_brings_about():
    """Of the errors of a run, none follows from a later one."""
    slow, quick = (sailed.T_S > 200.0), sailed.between(100.0, 199.0)
    found = find_errors(sailed.run(surge_mps=np.where(quick, -1.1, 0.0), heap_m=np.where(slow, 9.0, 0.0)))
    when = {e.code: e.t_s for e in found}

    assert found
    assert all(when[parent] <= e.t_s + 1.0 for e in found for parent in e.parents)
