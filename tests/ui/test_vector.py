"""A preview as pixels: what the vector picture shows, in colours and words, without a window."""

import pygame
import pytest
from typer.testing import CliRunner

from sim.cli import author_cli
from sim.pages import svg
from sim.pages.label_places import Labels
from sim.ui import cli
from sim.ui.paint.vector import SHARP, write_png


def drawn(tmp_path, *parts: str) -> pygame.Surface:
    picture = svg.picture(100.0, 60.0, parts, "a picture", "test").replace(
        "<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ', 1
    )
    write_png(picture, tmp_path / "p.png")
    return pygame.image.load(str(tmp_path / "p.png"))


def colour(sheet: pygame.Surface, x: float, y: float) -> tuple[int, int, int]:
    return tuple(sheet.get_at((round(SHARP * x), round(SHARP * y))))[:3]


def test_shapes_come_out_in_their_colours_and_places(tmp_path):
    sheet = drawn(tmp_path, svg.area([[(10.0, 10.0), (50.0, 10.0), (50.0, 50.0), (10.0, 50.0)]], "#ff0000"))

    assert sheet.get_size() == (200, 120)
    assert colour(sheet, 30.0, 30.0) == (255, 0, 0)
    assert colour(sheet, 70.0, 30.0) == (255, 255, 255)


def test_words_are_written_and_a_panel_covers_what_lay_under_it(tmp_path):
    words = svg.text(50.0, 40.0, "MMMM", 30.0, "#0000ff", "middle")
    panel = svg.tag("rect", x=0, y=0, width=100, height=60, fill="#ffffff")
    blue = sum(colour(drawn(tmp_path, words), x, 32.0) == (0, 0, 255) for x in range(5, 95))
    hidden = sum(colour(drawn(tmp_path, words, panel), x, 32.0) == (0, 0, 255) for x in range(5, 95))

    assert blue > 5
    assert hidden == 0


def test_names_side_by_side_do_not_lie_on_one_another():
    labels = Labels(400.0, 200.0)
    for k in range(4):
        labels.put(180.0 + 14.0 * k, 100.0, "Basketmaker")

    for k, a in enumerate(labels.taken):
        for b in labels.taken[k + 1 :]:
            assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]
    assert labels.put(-5.0, 10.0, "outside") == ""


def test_the_preview_follows_the_ending_of_the_name(tmp_path):
    run = CliRunner().invoke(cli.app, ["preview", "lantern-pool", "--out", str(tmp_path / "p.png")])
    refused = CliRunner().invoke(cli.app, ["preview", "lantern-pool", "--out", str(tmp_path / "p.jpg")])

    assert run.exit_code == 0, run.output
    assert (tmp_path / "p.png").read_bytes()[:4] == b"\x89PNG"
    assert refused.exit_code == 2
    assert set(author_cli.PAINTERS) == {".svg", ".png"}


@pytest.mark.parametrize("name", ["gannet-narrows"])
def test_a_lesson_comes_out_with_water_and_land(tmp_path, name):
    CliRunner().invoke(cli.app, ["preview", name, "--out", str(tmp_path / "p.png")])
    sheet = pygame.image.load(str(tmp_path / "p.png"))
    wide, tall = sheet.get_size()
    seen = {tuple(sheet.get_at((x, y)))[:3] for x in range(0, wide, 23) for y in range(0, tall, 23)}

    assert {tuple(pygame.Color(c))[:3] for c in (*svg.BANDS[2:], svg.INK)} <= seen
