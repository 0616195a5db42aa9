"""What a bay has standing on its bottom: on paper where charted, and nowhere the trainee looks where not."""

import dataclasses
import math

import numpy as np
import pygame
import pytest

from sim.demonstrator import choosing
from sim.helm.chartwork import Chartwork
from sim.pages import preview
from sim.play.session import Session
from sim.scenario import library
from sim.scenario.library import load_lesson
from sim.scenario.read.brief import Obstruction
from sim.ui.paint.display import Mark, texts
from sim.ui.paint.painter import Painter
from sim.ui.paint.palette import DAY
from sim.ui.screens.plan_screen import PlanScreen
from sim.ui.screens.sail import SailScreen

PILE = {"name": "old pile", "north_m": 12.0, "east_m": -20.0, "radius_m": 0.3, "height_m": 2.0, "charted": True}
HEAD = {"name": "rock head", "north_m": 40.0, "east_m": 15.0, "radius_m": 1.0, "height_m": 1.5}


@pytest.fixture(scope="module")
def lesson():
    """Return the pool with a charted pile and a rock head that nobody knows of."""
    plain = load_lesson("lantern-pool")
    bay = type(plain.sources.bay).model_validate({**plain.sources.bay.model_dump(), "snags": (PILE, HEAD)})
    return library.make(plain.path, plain.sha256, dataclasses.replace(plain.sources, bay=bay), plain.profile, "en")


def signs(items):
    """Return where obstructions are drawn."""
    return [item.at for item in items if isinstance(item, Mark) and item.name == "obstruction"]


def test_only_the_charted_one_is_on_plan_and_brief(lesson, words, tmp_path):
    """Chart, sea screen and planning chart have the pile with its name, and nothing of the rock head."""
    at_sea = SailScreen(Session(lesson, 1, tmp_path), DAY, words)
    at_sea.draw(pygame.Surface((1280, 800)), 0.1)
    ashore = PlanScreen(lesson, 1, None, DAY, words)

    assert [o.name for o in lesson.brief.chart.obstructions] == ["old pile"]
    for items in (at_sea.items(), ashore._chart):
        assert signs(items) == [(12.0, -20.0)]
        told = " ".join(texts(items))
        assert "Obstn: old pile" in told
        assert "rock head" not in told


def test_the_trainees_picture_has_the_charted_one_and_the_instructors_both(lesson):
    """As the rest of the answer."""
    told, answer = preview.draw(lesson, answer=False), preview.draw(lesson, answer=True)

    assert ("old pile" in told, "rock head" in told) == (True, False)
    assert ("old pile" in answer, "rock head" in answer) == (True, True)


def test_the_sign_is_a_circle_of_dots(words):
    """Ink on the rim in ten places with gaps between, and none in the middle."""
    surface = pygame.Surface((240, 240))
    surface.fill((0, 0, 255))
    Painter(DAY).paint(surface, [Mark("chart", (120.0, 120.0), "obstruction", "ink", 80.0)])
    ink = np.array(DAY["ink"][:3])

    def dark(x, y):
        return np.abs(np.array(surface.get_at((round(x), round(y)))[:3]) - ink).sum() < 60

    rim = [dark(120 + 72 * math.cos(math.radians(a)), 120 + 72 * math.sin(math.radians(a))) for a in range(360)]
    runs = sum(rim[k] and not rim[k - 1] for k in range(360))

    assert runs == 10
    assert not dark(120, 120)


def test_a_plan_keeps_her_swing_clear_of_what_is_charted(lesson):
    """The gap of a spot is the way from the edge of the swing to the obstruction; inside, it is less than none."""
    brief = dataclasses.replace(lesson.brief, chart=dataclasses.replace(lesson.brief.chart, obstructions=()))
    place = brief.anchorage
    chart = Chartwork(brief.chart)
    spot = choosing.Spot(place.north_m, place.east_m, chart.at(place.north_m, place.east_m) + 0.5, 30.0, 0.0, 0.0)
    alone = choosing.least_gap_m(brief, spot, (), chart)

    def gap(away_m):
        pile = Obstruction("pile", place.north_m + away_m, place.east_m, 0.3)
        charted = dataclasses.replace(brief.chart, obstructions=(pile,))
        return choosing.least_gap_m(brief, spot, (), Chartwork(charted))

    assert gap(20.0) < 0.0 < gap(80.0) < alone
    assert gap(80.0) - gap(70.0) == pytest.approx(10.0)
