"""What eyes make out: distances poorly, rodes near by, gusts before they come, and little by night."""

import dataclasses
import math

import numpy as np
import pytest

from sim.core.orders import commands as cmd
from sim.helm.exercise import Exercise
from sim.helm.eye import RODE_DAY_M, RODE_NIGHT_M, WATER_DAY_M, WATER_NIGHT_M, Eye
from sim.model import layout as lay
from sim.model.air.sky import Sky
from sim.scenario.library import load_lesson


@pytest.fixture(scope="module")
def cove():
    """Return the cove with two boats at anchor."""
    return Exercise(load_lesson("hazel-cove"), 1)


def test_a_distance_over_water_is_judged_to_some_fifteen_percent():
    """Over many days the share is right in the mean and off by about that much (judgement)."""
    shares = []
    for seed in range(40):
        exercise = Exercise(load_lesson("hazel-cove"), seed)
        rows = exercise.world.state.boats
        for i in (1, 2):
            truth = math.dist(rows[0, :2], rows[i, :2])
            shares.append(Eye(exercise.world, seed).other(i)[2] / truth)

    assert np.mean(shares) == pytest.approx(1.0, abs=0.06)
    assert 0.10 < np.std(shares) < 0.20


def test_a_rode_is_made_out_near_by_only(cove):
    """By day at 150 m, by night at 25 (judgement)."""
    for starts_h, reach_m in ((12.0, RODE_DAY_M), (23.0, RODE_NIGHT_M)):
        params = dataclasses.replace(cove.world.params, sky=Sky(starts_h=starts_h))
        eye = Eye(dataclasses.replace(cove.world, params=params), 1)
        assert eye.rode(1, reach_m - 1.0) is not None
        assert eye.rode(1, reach_m + 1.0) is None


def test_a_rode_seen_leads_to_her_anchor_and_stands_steeper_the_less_she_pulls(cove):
    """To fifteen degrees each; with next to no pull it goes straight down."""
    world = cove.world
    seen = Eye(world, 1).rode(1, 50.0)
    row, rode = world.state.boats[1], world.state.fleet[1]
    bow = world.params.neighbours[0].boat.particulars.roller_x_m
    heading = float(row[lay.B_HEADING])
    at = row[:2] + bow * np.array([math.cos(heading), math.sin(heading)])
    to_anchor = math.atan2(rode[lay.Q_ANCHOR_E] - at[1], rode[lay.Q_ANCHOR_N] - at[0])
    assert abs(math.remainder(seen.bearing_rad - to_anchor, 2.0 * math.pi)) <= math.radians(7.6)
    before, row[lay.B_RODE_H] = float(row[lay.B_RODE_H]), 2.0
    slack = Eye(world, 1).rode(1, 50.0)
    row[lay.B_RODE_H] = before

    assert slack.slope_rad == pytest.approx(math.pi / 2.0)
    assert slack.slope_rad > seen.slope_rad


def test_a_gust_is_on_the_water_upwind_before_it_comes():
    """With a gust ordered, the same water reads darker once it is there, and out of sight nothing is read."""
    exercise = Exercise(load_lesson("hazel-cove"), 1)
    own = exercise.world.state.boats[0, :2]
    places = own + np.array([[20.0 * k, 0.0] for k in range(1, 12)])
    calm = Eye(exercise.world, 1).water(places)
    exercise.step([cmd.Inject(what="gust", ramp_s=1.0, hold_s=60.0, factor=1.6)])
    for _ in range(120):
        exercise.step()
    blown = Eye(exercise.world, 1).water(places)
    far = own + np.array([[WATER_DAY_M + 60.0, 0.0]])

    assert blown.sum() > calm.sum()
    assert blown.max() == 3
    assert Eye(exercise.world, 1).water(far).tolist() == [0]


def test_what_is_read_off_the_water_is_the_wind_that_will_arrive():
    """Taylor's frozen gusts: the marks a place shows now come to her as much later as it is far upwind."""
    exercise = Exercise(load_lesson("lantern-pool"), 1)
    world = exercise.world
    mean, source = (float(v) for v in world.params.weather.wind[[lay.W_MEAN, lay.W_FROM]])
    eye = Eye(world, 1)
    own = world.state.boats[0, :2].copy()
    upwind = np.array([own + mean * s * np.array([math.cos(source), math.sin(source)]) for s in range(0, 30, 2)])
    now = eye.water(upwind)
    later = []
    for _ in range(15):
        later.append(int(eye.water(own[None, :])[0]))
        world.state.clock[0] += 120

    assert np.mean(np.abs(now - np.array(later))) < 0.75


def test_by_night_water_is_read_by_the_deck_light_alone():
    """Beyond it nothing."""
    lesson = load_lesson("hazel-cove")
    exercise = Exercise(lesson, 1)
    world = dataclasses.replace(
        exercise.world, params=dataclasses.replace(exercise.world.params, sky=Sky(starts_h=23.0))
    )
    exercise.step([cmd.Inject(what="gust", ramp_s=1.0, hold_s=600.0, factor=1.8)])
    for _ in range(120):
        exercise.step()
    own = world.state.boats[0, :2]
    places = own + np.array([[WATER_NIGHT_M - 5.0, 0.0], [WATER_NIGHT_M + 5.0, 0.0]])

    assert (Eye(world, 1).water(places) > 0).tolist() == [True, False]
