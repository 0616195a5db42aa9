"""The track: what was true, as sampled while a run went on."""

import math

import numpy as np
import pytest
import worlds

from sim.core import events as ev
from sim.model import layout as lay
from sim.model.water.water import charted_depth_m
from sim.record import columns, track
from sim.record.ground import charted_depths_m
from sim.record.track import Call, TrackRecorder


def hang_chain(world, *, heading_rad: float = 0.0) -> None:
    """Put a chain of 1 m segments into the state: ten metres on the bed to the north, then up to the roller."""
    state = world.state
    state.boats[0, lay.B_HEADING] = heading_rad
    lying = [(k * 1.0, 0.0, -5.0) for k in range(11)]
    hanging = [(10.0 + 0.6 * k, 0.0, -5.0 + 0.8 * k) for k in range(1, 9)]
    nodes = np.array(lying + hanging)
    state.nodes[0, : len(nodes), :3] = nodes
    state.lines[0, lay.L_COUNT] = len(nodes)
    state.lines[0, lay.L_OUT] = 18.0


def sail(world, seconds: int) -> track.Track:
    recorder = TrackRecorder()
    for tick in range(60 * seconds + 1):
        world.state.clock[0] = tick
        recorder.sample(world)
    recorder.heard([ev.AnchorLetGo(tick=30, rode=0)])
    recorder.said(90, "foredeck", "metres_out", {"out_m": 10})
    recorder.said(40, "demonstrator", "demo.neutral", {"text": "Neutral."})
    return recorder.finish(world)


def test_own_samples_come_five_times_a_second_and_shapes_once():
    """Ten seconds give 51 and 11 samples, first and last included, at exact times."""
    sailed = sail(worlds.world(), 10)

    assert np.array_equal(sailed["t_s"], np.arange(51) / 5.0)
    assert np.array_equal(sailed.slow_t_s, np.arange(11.0))
    assert sailed.end_s == 10.0
    assert {len(column) for column in sailed.fast.values()} == {51}


def test_more_samples_than_a_block_holds_are_kept_in_order():
    """A long run is gathered over several blocks without a seam."""
    sailed = sail(worlds.world(), 420)

    assert np.array_equal(sailed["t_s"], np.arange(2101) / 5.0)


def test_without_an_anchor_down_there_is_nothing_to_tell():
    """Anchor and lead are NaN, chain out is nought, no shape has a node."""
    sailed = sail(worlds.world(), 1)

    assert np.isnan(sailed["anchor_n_m"]).all()
    assert np.isnan(sailed["lead_rad"]).all()
    assert not sailed["out_m"].any()
    assert sailed.chain.shape == (2, 0, 3)
    assert not sailed["grounded_m"].any()


def test_a_run_left_before_its_first_sample_holds_the_one_moment_there_is(tmp_path):
    """Twelve ticks pass between two samples: a run closed sooner is written and read like any other."""
    world = worlds.world()
    track.TrackRecorder().finish(world).save(tmp_path / "track.npz")

    kept = track.load(tmp_path / "track.npz")
    assert list(kept["t_s"]) == list(kept.slow_t_s) == [0.0]


def test_every_rode_is_sampled(tmp_path):
    """Anchor, tension and length of each, NaN for the one that is still stowed."""
    world = worlds.world(rodes=(worlds.rode(), worlds.rode()))
    hang_chain(world)
    world.state.lines[0, lay.L_TENSION] = 750.0
    sail(world, 1).save(tmp_path / "track.npz")

    kept = track.load(tmp_path / "track.npz").rodes
    assert kept.shape == (2, 2, 5)
    assert kept[0, 0] == pytest.approx([0.0, 0.0, -5.0, 750.0, 18.0])
    assert np.isnan(kept[:, 1]).all()


def test_the_lead_is_the_slope_and_bearing_at_the_roller():
    """The chain goes from the roller back and down at 3 in 4: abaft for a boat heading north, 53 degrees down."""
    world = worlds.world()
    hang_chain(world)
    ahead = sail(world, 1)
    hang_chain(world, heading_rad=math.pi / 2.0)
    beam = sail(world, 1)

    assert ahead["lead_angle_rad"][0] == pytest.approx(math.atan2(0.8, 0.6))
    assert abs(ahead["lead_rad"][0]) == pytest.approx(math.pi)
    assert beam["lead_rad"][0] == pytest.approx(math.pi / 2.0)


def test_a_hooked_snubber_leads_from_its_hook():
    """With the snubber on, the lead is that of the rode it holds, not of the slack bight beside it."""
    world = worlds.world()
    hang_chain(world)
    world.state.lines[0, lay.L_HOOK] = 10.0
    sailed = sail(world, 1)

    assert sailed["lead_angle_rad"][0] == pytest.approx(math.atan2(6.4, 4.8))
    assert sailed["hook"][0] == 10.0


def test_chain_on_the_ground_is_counted_along_its_segments():
    """Ten segments of a metre lie on the bed; the rest hangs."""
    world = worlds.world()
    hang_chain(world)

    assert sail(world, 1)["grounded_m"][0] == pytest.approx(10.0)


def test_the_pull_of_the_rode_is_the_horizontal_one():
    """3 N north and 4 N east make 5 N."""
    world = worlds.world()
    world.state.lines[0, [lay.L_FN, lay.L_FE, lay.L_FZ]] = 3.0, 4.0, -100.0

    assert sail(world, 1)["rode_pull_n"][0] == pytest.approx(5.0)


def test_other_boats_are_kept_with_their_heading():
    """One row of north, east and heading for each, once a second."""
    world = worlds.world(neighbours=(worlds.neighbour(40.0, 10.0), worlds.neighbour(-40.0, 5.0)))
    sailed = sail(world, 2)

    assert sailed.others.shape == (3, 2, 3)
    assert np.array_equal(sailed.others[0], world.state.boats[1:, :3])


def test_a_saved_track_is_read_back(tmp_path):
    """Times come back exactly, lengths to a millimetre, events and calls word for word."""
    world = worlds.world(neighbours=(worlds.neighbour(40.0, 10.0),))
    hang_chain(world)
    world.state.boats[0, lay.B_NORTH] = 1234.5678
    sailed = sail(world, 3)

    back = track.load(sailed.save(tmp_path / "track.npz"))

    assert np.array_equal(back["t_s"], sailed["t_s"])
    for name in columns.NAMES:
        assert np.allclose(back[name], sailed[name], rtol=1e-6, atol=1e-3, equal_nan=True), name
    assert np.allclose(back.chain, sailed.chain, atol=1e-3, equal_nan=True)
    assert np.allclose(back.others, sailed.others, atol=1e-3)
    assert back.events == sailed.events == (ev.AnchorLetGo(tick=30, rode=0),)
    assert back.calls == (
        Call(40, "demonstrator", "demo.neutral", {"text": "Neutral."}),
        Call(90, "foredeck", "metres_out", {"out_m": 10}),
    )


@pytest.mark.parametrize(("t_s", "index"), [(-1.0, 0), (0.09, 0), (0.11, 1), (1.0, 5), (99.0, 10)])
def test_a_time_finds_its_nearest_sample(t_s, index):
    """Before the start is the start, after the end the end."""
    assert sail(worlds.world(), 2).index(t_s) == index


def test_depths_over_arrays_are_those_of_the_kernel():
    """The law for whole arrays and the one for single places are the same law, also beyond the edge."""
    bay = worlds.bay()
    rng = np.random.default_rng(1)
    bay.depth_m[...] = rng.uniform(0.0, 20.0, bay.depth_m.shape)
    north, east = rng.uniform(-600.0, 600.0, (2, 200))

    single = [charted_depth_m(n, e, bay.raster, bay.depth_m) for n, e in zip(north, east, strict=True)]

    assert np.allclose(charted_depths_m(bay, north, east), single, rtol=0.0, atol=1e-12)
    assert np.isnan(charted_depths_m(bay, np.array([np.nan]), np.array([0.0])))[0]
