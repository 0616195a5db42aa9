"""A lesson's weather and water made into what the kernels read: wind, shelter, squalls, eddies, waves."""

import functools
from dataclasses import replace

import numpy as np

from sim.base import rng
from sim.base.arrays import FloatArray
from sim.base.units import mps, rad
from sim.model import layout as lay
from sim.model import params
from sim.model.air import shelter, squall, wind
from sim.model.air.sky import Sky
from sim.model.water import eddy, waves
from sim.scenario.read import bay as bays
from sim.scenario.schema.base import BayFile, Extent
from sim.scenario.schema.lesson import LessonFile, WindBlock

GUST_PEAK = 2.4  # highest 3 s gust in ten minutes, in standard deviations: 1.31 times the mean at an intensity of 0.13
PLACES = 40  # the coarse raster of shelter and fetch has about so many rows or columns
LEAST_CELL_M = 15.0
DAY_H, DARK_H = 18.0, 22.5  # the sun's time when a lesson begins that does not say, by day and in the dark (judgement)


def build_weather(lesson: LessonFile, bay: BayFile, seed: int) -> params.Weather:
    """Return the wind of one run of a lesson."""
    w = lesson.wind
    intensity = (w.gust_kn / w.mean_kn - 1.0) / GUST_PEAK if w.mean_kn > 0.0 else 0.0
    weather = wind.pack(seed, mps(w.mean_kn), rad(w.from_deg), intensity, rad(w.veer_deg))
    planned = _planned(w, seed)
    if planned:
        weather = replace(weather, planned=np.array(planned))
    if any(shore.shelter_m > 0.0 for shore in bay.shores):
        raster, table = _lee(bay)
        weather = replace(weather, lee=table, lee_raster=raster)
    ground = w.high_ground
    if ground is None:
        return weather
    constants = weather.wind.copy()
    constants[lay.W_FALL_FROM] = rad(ground.from_deg)
    constants[lay.W_FALL_SPEED] = max(mps(w.mean_kn) * 0.5 * (1.0 + ground.factor), 1.0)
    constants[lay.W_FALL_EVERY] = ground.every_s
    train = squall.falls(seed, mps(w.mean_kn), ground.factor, rad(ground.swing_deg), ground.last_s)
    return replace(weather, wind=constants, falls=train)


def tide_and_stream(lesson: LessonFile) -> params.Water:
    """Return tide and stream of a lesson outside all eddies, without waves; still water where it gives none."""
    tide = [[t.at_h * 3600.0, t.height_m] for t in lesson.tide] or [[0.0, 0.0]]
    stream = [
        [s.at_h * 3600.0, mps(s.rate_kn) * np.cos(rad(s.to_deg)), mps(s.rate_kn) * np.sin(rad(s.to_deg))]
        for s in lesson.stream
    ] or [[0.0, 0.0, 0.0]]
    return params.Water(tide=np.array(tide), stream=np.array(stream))


def build_water(lesson: LessonFile, bay: BayFile, seed: int) -> params.Water:
    """Return tide, stream, eddies and waves of one run of a lesson; still water where it gives none."""
    water = tide_and_stream(lesson)
    if bay.eddies:
        rows = [[np.cos(rad(e.to_deg)), np.sin(rad(e.to_deg)), e.rate] for e in bay.eddies]
        raster, formed = _formed(bay)
        water = replace(water, eddies=np.array(rows), formed=formed, eddy_raster=raster)
    if lesson.waves is not None:
        raster, fetch = _fetch(bay, lesson.waves.open_fetch_m)
        water = replace(water, waves=waves.components(seed), fetch=fetch, fetch_raster=raster)
    return water


def _planned(w: WindBlock, seed: int) -> list[list[float]]:
    """Return the rows of the episodes that a lesson foresees: shifts as given, squalls as drawn."""
    rows = []
    means = [(0.0, w.mean_kn)]
    for one in w.shifts:
        mean = means[-1][1] if one.mean_kn is None else one.mean_kn
        turn, factor = rad(one.turn_deg), mean / means[-1][1] if means[-1][1] > 0.0 else 1.0
        rows.append([lay.EPISODE_SHIFT, 3600.0 * one.at_h, 60.0 * one.last_min, 0.0, turn, factor])
        means.append((one.at_h, mean))
    when = rng.uniforms(seed, "squall time", len(w.squalls))
    for number, (blow, share) in enumerate(zip(w.squalls, when, strict=True)):
        front = squall.front(seed, number)
        at_h = blow.from_h + float(share) * (blow.to_h - blow.from_h)
        mean = [kn for since_h, kn in means if since_h <= at_h][-1]
        factor = 1.0 / front.before if blow.max_kn is None else blow.max_kn / mean
        hold_s = 60.0 * blow.last_min
        rows.append([lay.EPISODE_SQUALL, 3600.0 * at_h, front.onset_s, hold_s, front.turn_rad, factor])
    return rows


def _coarse(e: Extent) -> tuple[FloatArray, FloatArray, tuple[int, int]]:
    """Return (raster, points [k, 2], shape) of the coarse raster over a bay."""
    cell = max(LEAST_CELL_M, (e.north_m - e.south_m) / PLACES, (e.east_m - e.west_m) / PLACES)
    north = np.arange(e.south_m, e.north_m + cell, cell)
    east = np.arange(e.west_m, e.east_m + cell, cell)
    grid = np.meshgrid(north, east, indexing="ij")
    points = np.stack([grid[0].ravel(), grid[1].ravel()], axis=1)
    return np.array([e.south_m, e.west_m, cell]), points, (len(north), len(east))


@functools.lru_cache(maxsize=8)
def _lee(bay: BayFile) -> tuple[FloatArray, FloatArray]:
    raster, points, shape = _coarse(bay.extent)
    lands = [(np.array(s.polygon), s.shelter_m) for s in bay.shores if s.shelter_m > 0.0]
    return raster, shelter.lee_table(points, lands).reshape(shelter.SECTORS, *shape)


@functools.lru_cache(maxsize=8)
def _fetch(bay: BayFile, open_m: float) -> tuple[FloatArray, FloatArray]:
    raster, points, shape = _coarse(bay.extent)
    table = shelter.fetch_table(points, [np.array(s.polygon) for s in bay.shores], open_m)
    return raster, table.reshape(shelter.SECTORS, *shape)


@functools.lru_cache(maxsize=8)
def _formed(bay: BayFile) -> tuple[FloatArray, FloatArray]:
    north, east = bays.grid(bay.extent, bay.cell_m)
    layers = []
    for one in bay.eddies:
        places = eddy.squeezed(north, east, rad(one.to_deg))
        corners = np.array(one.polygon)
        polygon = np.stack(eddy.squeezed(corners[:, 0], corners[:, 1], rad(one.to_deg)), axis=1)
        away = np.where(bays.inside(*places, polygon), 0.0, bays.distance_m(*places, polygon))
        layers.append(eddy.faded(away, one.edge_m))
    return np.array([bay.extent.south_m, bay.extent.west_m, bay.cell_m]), np.array(layers)


def waves_at(lesson: LessonFile, bay: BayFile) -> tuple[float, float]:
    """Return (significant height [m], period [s]) of the waves at the anchorage in the mean wind; 0 for none."""
    if lesson.waves is None:
        return 0.0, 0.0
    raster, fetch = _fetch(bay, lesson.waves.open_fetch_m)
    spot, w = lesson.anchorage, lesson.wind
    reach = shelter.by_direction(spot.north_m, spot.east_m, rad(w.from_deg), raster, fetch)
    return waves.significant_height_m(mps(w.mean_kn), reach), waves.peak_period_s(mps(w.mean_kn), reach)


def build_sky(lesson: LessonFile) -> Sky:
    """Return the sky over a lesson: by its file, else from six in the evening on, in the dark from half past ten."""
    until_s = 60.0 * lesson.limit_min if lesson.dark else 0.0
    block = lesson.sky
    if block is None:
        return Sky(starts_h=DARK_H if lesson.dark else DAY_H, dark_until_s=until_s)
    return Sky(block.starts_h, rad(block.latitude_deg), block.day, until_s)
