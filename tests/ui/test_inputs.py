"""Mouse, pad and rebound keys at the sea screen; clicks land on what is drawn and nothing to be hit is small."""

import pygame
import pytest

from sim.base.errors import ScenarioError
from sim.base.units import deg
from sim.core.orders import commands as cmd
from sim.play.hands import MOST_HELM_RAD, Act
from sim.play.session import Session
from sim.scenario.library import load_lesson
from sim.ui import preferences
from sim.ui.input.inputs import DEAD, PAD, Inputs
from sim.ui.input.keys import KEYS, PLACES, Bindings, Press
from sim.ui.paint.palette import DAY
from sim.ui.panels.scene_rail import TARGET_PX
from sim.ui.screens.sail import SailScreen

SIZES = [(1024, 768), (1280, 800), (1920, 1080)]


@pytest.fixture
def screen(tmp_path, words):
    """Return the cove with two boats about, drawn once."""
    made = SailScreen(Session(load_lesson("hazel-cove"), 1, tmp_path), DAY, words)
    made.draw(pygame.Surface((1280, 800)), 0.1)
    return made


def given(session, ticks=1):
    """Return the commands of so many ticks."""
    out = []
    for _ in range(ticks):
        session.tick()
        out += session.exercise.applied
    return out


def mouse(kind, at, **more):
    """Return an event of the mouse."""
    return pygame.event.Event(kind, pos=at, **more)


def middle(cell):
    """Return the middle of a cell."""
    x, y, wide, tall = cell.rect
    return x + wide // 2, y + tall // 2


def test_a_key_on_the_rail_works_as_long_as_the_button_is_down(screen):
    """Veer by mouse: down starts the windlass, up stops it."""
    cell = next(c for c in screen.cells if c.act is Act.VEER)
    inputs = Inputs(Bindings())
    inputs.take(mouse(pygame.MOUSEBUTTONDOWN, middle(cell), button=1), screen)
    assert given(screen.session) == [cmd.Windlass(motion=1)]
    inputs.take(mouse(pygame.MOUSEBUTTONUP, middle(cell), button=1), screen)

    assert given(screen.session) == [cmd.Windlass(motion=0)]


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("scale", [0.8, 1.0, 1.5, 2.0])
def test_nothing_to_be_clicked_is_small(screen, size, scale):
    """Each key of the rail takes at least 40 by 40 pixels, and none lies on another."""
    screen.prefer(preferences.Preferences(scale=scale))
    screen.draw(pygame.Surface(size), 0.1)
    rects = [pygame.Rect(cell.rect) for cell in screen.cells]

    assert min(min(r.width, r.height) for r in rects) >= TARGET_PX - 1  # rounding
    assert all(a.inflate(-2, -2).collidelist([b for b in rects if b is not a]) < 0 for a in rects)
    assert all(pygame.Rect((0, 0), size).contains(r) for r in rects)


def test_a_click_on_a_boat_chooses_her_for_ranges(screen):
    """Then the range is hers, again and again, until another is chosen."""
    screen.follow.hand = 0
    screen.draw(pygame.Surface((1280, 800)), 0.1)
    pose = screen.session.aids.others[1]
    x, y = screen.camera().px((pose.north_m, pose.east_m))
    Inputs(Bindings()).take(mouse(pygame.MOUSEBUTTONDOWN, (round(x) + 3, round(y)), button=1), screen)
    for _ in range(2):
        screen.session.press(Act.RANGE)
        assert given(screen.session) == [cmd.TakeRange(target=2)]


def test_dragging_moves_the_plan_and_the_wheel_zooms_it(screen):
    """What lay under the pointer stays under it."""
    inputs, before = Inputs(Bindings()), screen.camera()
    start = (400, 300)
    place = before.place(start)
    inputs.take(mouse(pygame.MOUSEBUTTONDOWN, start, button=1), screen)
    inputs.take(mouse(pygame.MOUSEMOTION, (460, 340), rel=(60, 40), buttons=(1, 0, 0)), screen)
    assert screen.camera().px(place) == pytest.approx((460, 340), abs=2.0)
    inputs.take(pygame.event.Event(pygame.MOUSEWHEEL, y=1), screen)

    assert screen.camera().scale > before.scale
    screen.press(Press.OWN_ZOOM)
    assert screen.camera().px(place) == pytest.approx(start, abs=2.0)


def test_the_ring_goes_along_the_keys_and_enter_works_one(screen):
    """Tab, Tab and Enter press the second key; Enter without a ring asks, with nothing out, whether she leaves."""
    screen.press(Press.NEXT)
    screen.press(Press.NEXT)
    assert screen.focus is screen.cells[1].act
    screen.press(Press.ENTER)
    orders = given(screen.session)
    assert [round(deg(c.angle_rad), 1) for c in orders if isinstance(c, cmd.Helm)] == [2.5]
    screen.press(Press.ESCAPE)
    assert screen.focus is None
    screen.press(Press.ENTER)

    assert screen.deciding


def test_a_pad_steers_by_its_stick_and_works_the_lever_by_its_hat(screen):
    """The stick's sideways way is the wheel; its middle is amidships; the hat moves the lever; a button lets go."""
    inputs = Inputs(Bindings())
    inputs.take(pygame.event.Event(pygame.JOYAXISMOTION, axis=0, value=-1.0), screen)
    assert given(screen.session)[-1] == cmd.Helm(angle_rad=round(-MOST_HELM_RAD, 4))
    inputs.take(pygame.event.Event(pygame.JOYAXISMOTION, axis=0, value=0.5 * DEAD), screen)
    assert given(screen.session)[-1] == cmd.Helm(angle_rad=0.0)
    inputs.take(pygame.event.Event(pygame.JOYHATMOTION, value=(0, -1)), screen)
    inputs.take(pygame.event.Event(pygame.JOYHATMOTION, value=(0, 0)), screen)
    assert given(screen.session, 60) == [cmd.Engine(lever=-0.1)]
    button = next(number for number, what in PAD.items() if what is Act.BRAKE)
    inputs.take(pygame.event.Event(pygame.JOYBUTTONDOWN, button=button), screen)

    assert given(screen.session) == [cmd.Brake(grip=0.0)]


def test_a_persons_own_keys_are_read_from_a_file(tmp_path):
    """They replace the usual ones; what was written is what is read."""
    chosen = preferences.Preferences(scale=1.4, sound=False, keys={"veer": "kp_8", "heave": "kp_2"})
    file = preferences.write(chosen, tmp_path / "window.yaml")
    assert preferences.read(file) == chosen
    bound = Bindings(chosen.keys)

    assert bound.find(PLACES["kp_8"]) == (Act.VEER, None)
    assert bound.find(PLACES["v"]) == (None, None)
    assert bound.sign(Act.HEAVE) == "KP_2"


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("scale: 3", "scale"),
        ("brightness: dim", "brightness"),
        ("colour: red", "colour"),
        ("keys: { fly: a }", "keys"),
        ("keys: { veer: nokey }", "keys"),
        ("keys: { veer: b }", "keys"),
    ],
)
def test_a_settings_file_that_does_not_fit_is_one_line(tmp_path, text, key):
    """File, line and key are named; a key for two acts is refused."""
    file = tmp_path / "window.yaml"
    file.write_text(f"# mine\n{text}\n", encoding="utf-8")
    with pytest.raises(ScenarioError) as refused:
        preferences.read(file)

    assert f"{file}:2" in str(refused.value)
    assert key in str(refused.value)
    assert "\n" not in str(refused.value)


def test_every_act_has_a_key_and_shift_makes_no_odds_where_it_means_nothing():
    """Shift and an arrow move the plan; Shift and A is A."""
    bound = Bindings()

    assert set(KEYS) >= set(Act)
    assert bound.find(PLACES["left"], shift=True) == (None, Press.PAN_LEFT)
    assert bound.find(PLACES["a"], shift=True) == (Act.PORT, None)
