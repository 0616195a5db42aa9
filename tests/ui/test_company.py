"""Two people aboard: who knows what, whose key does what, and a run of two that sails again the same."""

import dataclasses

import pygame
import pytest
from ui.test_app import FRAME_S, Posted, verified

from sim.core import events as ev
from sim.core.orders import commands as cmd
from sim.helm import apart
from sim.model import layout as lay
from sim.play.hands import Act
from sim.play.session import Session
from sim.record import recording
from sim.scenario.library import load_lesson
from sim.ui import preferences
from sim.ui.app import App
from sim.ui.input.fore_keys import FORE_KEYS, GEAR, SIGNALS, Fore, TwoBindings, clashes
from sim.ui.input.keys import PLACES, Bindings, Press
from sim.ui.input.signals import FROM_HELM, STANDS_S, Shown, Signal, made
from sim.ui.paint.display import LEAST_PX, Words, sources, texts
from sim.ui.paint.palette import DAY
from sim.ui.screens.sail import SailScreen
from sim.ui.second_window import Foredeck

FORE = "foredeck"
AIDS = ("ranges", "circles", "chain", "side_view", "truth", "transits")


def two_aboard(folder, words, seconds=0.0):
    """Return (helm's screen, foredeck) of a lesson that grants every aid, with the anchor let go."""
    lesson = dataclasses.replace(load_lesson("hazel-cove"), aids=AIDS)
    session = Session(lesson, 1, folder)
    screen = SailScreen(session, DAY, words)
    screen.resize((1280, 800))
    deck = Foredeck(screen, TwoBindings())
    if seconds:
        deck.press(Fore.BRAKE)
        session.hands.order(cmd.Engine(lever=-0.3))
    for _ in range(round(seconds * 60)):
        session.tick()
    session.look()
    return screen, deck


def given(session, ticks=1):
    """Return the commands of so many ticks."""
    out = []
    for _ in range(ticks):
        session.tick()
        out += session.exercise.applied
    return out


def test_the_helm_sees_nothing_of_the_chain(tmp_path, words):
    """Forty seconds after the anchor went: no count, no call, no gear, no side view, no swing, no lead at the bow."""
    screen, _ = two_aboard(tmp_path, words, 40.0)
    session = screen.session
    shown = screen.items()

    assert session.whole.rodes[0].counter_m > 10.0
    assert len(session.whole.calls) > 0
    assert {"display:counter", "aid:chain", "aid:side_view", "aid:truth"} & sources(shown) == set()
    assert screen.layout.side is None
    said = {words.call(call) for call in session.whole.calls}
    assert said & {text.strip("“”") for text in texts(shown)} == set()
    assert not {words("ui.chain_out").upper(), words("ui.brake").upper(), words("ui.foredeck").upper()} & set(
        texts(shown)
    )


def test_what_the_chain_does_changes_nothing_at_the_helm(tmp_path, words):
    """Chain, gear, anchor and lead made different in every way: the helm's display list stays the same."""
    screen, deck = two_aboard(tmp_path, words, 40.0)
    helm, bow = screen.items(), deck.items()
    state = screen.session.exercise.world.state
    line = state.lines[0]
    line[lay.L_OUT], line[lay.L_BRAKE], line[lay.L_STOPPER], line[lay.L_MOTION] = 61.0, 0.4, 1.0, -1.0
    line[lay.L_RATE], line[lay.L_PRESET], line[lay.L_HOOK] = 0.0, 35.0, 3.0
    state.nodes[0, :, lay.N_NORTH] += 7.0
    state.anchors[0, lay.A_DRAG], state.anchors[0, lay.A_SPEED] = 12.0, 0.4
    tick = state.tick
    screen.session.exercise.events.append(ev.SnubberHooked(tick=tick, rode=0, out_m=61.0))
    screen.session.look()

    assert screen.items() == helm
    assert deck.items() != bow


def test_the_foredeck_has_the_chain_and_nothing_of_plan_or_instruments(tmp_path, words):
    """Its window shows counter, lead and gear; no depth, speed, wind, heading, chart or aid."""
    _, deck = two_aboard(tmp_path, words, 40.0)
    shown = deck.items()

    assert sources(shown) <= {"frame", "hand", "told", "eye", "display:counter"}
    assert {"hand", "eye", "display:counter"} <= sources(shown)
    assert words("ui.chain_out").upper() in texts(shown)


def test_every_forward_event_is_hidden_from_the_helm(tmp_path, words):
    """Also what was declined at the gear; what was declined at the helm stays with the helm."""
    screen, _ = two_aboard(tmp_path, words)
    session = screen.session
    session.exercise.events += [
        ev.Declined(tick=0, what="windlass", why="stopper_on"),
        ev.Declined(tick=0, what="thruster", why="not_fitted"),
        ev.ChainOut(tick=0, rode=0, lost=False),
    ]
    session.look()

    assert [e.what for e in session.view.seen if isinstance(e, ev.Declined)] == ["thruster"]
    assert [type(e) for e in session.apart.seen] == [ev.Declined, ev.ChainOut]
    assert all(apart.is_forward(e) for e in session.apart.seen)


def test_the_gear_answers_to_the_foredeck_alone(tmp_path, words):
    """The helm's key of the windlass is a signal; the foredeck's works it as long as it is down."""
    screen, deck = two_aboard(tmp_path, words)
    screen.press_act(Act.VEER)
    screen.release_act(Act.VEER)
    assert given(screen.session) == [
        cmd.Note(actor="desk", text="two aboard"), cmd.Note(actor="helm", text="helm signals: veer"),
    ]  # fmt: skip
    assert screen.told.signal is Signal.VEER
    deck.press(Fore.VEER)
    assert given(screen.session) == [cmd.Windlass(actor=FORE, motion=1)]
    screen.release_act(Act.VEER)  # the helm lets its own key up meanwhile
    assert given(screen.session) == []
    deck.release(Fore.VEER)
    assert given(screen.session) == [cmd.Windlass(actor=FORE, motion=0)]
    for act in (Act.SNUBBER, Act.BRAKE_EASE, Act.ASK, Act.PRESET_MORE):
        screen.press_act(act)

    assert given(screen.session) == []


@pytest.mark.parametrize("fore", [fore for fore in SIGNALS if SIGNALS[fore] not in FROM_HELM])
def test_each_signal_stands_at_the_helm_as_figure_and_word(tmp_path, words, fore):
    """It is there at once, is gone after half a minute, and the record has it; it moves nothing."""
    screen, deck = two_aboard(tmp_path, words, 20.0)
    before = screen.items()
    deck.press(fore)
    shown = screen.items()
    notes = [c for c in given(screen.session) if isinstance(c, cmd.Note)]

    assert len(shown) > len(before)
    assert [n.actor for n in notes] == ["foredeck"]
    assert not screen.heard[-1].stands(screen.heard[-1].t_s + STANDS_S + 0.1)


def test_the_arm_points_as_well_as_an_arm_can(tmp_path, words):
    """By fifteen degrees along the chain; at the roller there is nothing to point at."""
    screen, _ = two_aboard(tmp_path, words)
    bow = screen.session.apart
    assert made(Signal.LEAD, 0.0, bow).stowed
    arm = apart.Arm(bearing_rad=0.6, slope_rad=1.2)
    shown = made(Signal.LEAD, 0.0, dataclasses.replace(bow, arm=arm))

    assert shown.note().text == "foredeck signals: chain 30° to starboard, 75° down"


def test_keys_of_each_go_where_they_should():
    """The foredeck's lie over the helm's; what it has taken the helm has with Shift, and is told so."""
    two, one = TwoBindings(), Bindings()
    for fore, key in FORE_KEYS.items():
        assert two.fore(PLACES[key]) is fore
        assert two.find(PLACES[key]) == (None, None)

    assert clashes({}) == []
    assert two.find(PLACES["i"], shift=True) == (Act.SIGNAL, None)
    assert two.sign(Act.SIGNAL) == "Shift I"
    assert two.find(PLACES["w"]) == one.find(PLACES["w"]) == (Act.AHEAD, None)
    assert two.sign(Act.VEER) == two.sign(Fore.TELL_VEER) == "V"
    assert all(two.find(code, shift)[0] not in GEAR.values() for code in PLACES.values() for shift in (False, True))


def test_the_foredecks_keys_can_be_bound(tmp_path):
    """By a person's own file; one key for two of them is refused."""
    chosen = preferences.Preferences(keys={"fore_veer": "kp_2"})
    assert preferences.read(preferences.write(chosen, tmp_path / "window.yaml")) == chosen
    assert TwoBindings(chosen.keys).fore(PLACES["kp_2"]) is Fore.VEER
    with pytest.raises(ValueError, match="fore_veer"):
        preferences.Preferences(keys={"fore_veer": "i"})


@pytest.mark.parametrize("size", [(520, 624), (600, 720), (1200, 1000)])
def test_the_foredecks_window_is_legible_and_its_keys_lie_within_it(tmp_path, words, size):
    """No type is too small, and every key of the foredeck's can be clicked."""
    _, deck = two_aboard(tmp_path, words, 5.0)
    deck.press(Fore.LEAD)
    panels = deck.panels(size)

    assert min(i.size for p in panels for i in p.items if isinstance(i, Words)) >= LEAST_PX
    assert {touch.fore for touch in deck.touches} >= {f for f in GEAR if f is not Fore.NEXT_RODE}
    assert all(pygame.Rect((0, 0), size).contains(touch.rect) for touch in deck.touches)


def test_an_old_signal_is_gone_after_time_was_turned_back():
    """What is still to come does not stand."""
    assert not Shown(Signal.HOLD, 50.0).stands(20.0)


@pytest.fixture
def app(tmp_path):
    """Return a window with the list, two aboard when a lesson begins."""
    window = App(tmp_path / "run", size=(1024, 768))
    window.warming.wait()
    window.two = True
    window.chooser.chosen = [lesson.name for lesson in window.chooser.lessons].index("lantern-pool")
    yield window
    window.company.close()
    window.window.destroy()


def frames(app, count=1):
    """Let so many frames pass."""
    for _ in range(count):
        app.frame(FRAME_S)


def test_a_run_of_two_sails_again_the_same(app, tmp_path):
    """The helm steers, the foredeck lets go, checks and signals, its window is closed again: the record verifies."""
    keys = Posted()
    for _ in range(2):
        keys.tap("Return")
        frames(app, 2)
    assert isinstance(app.screen, SailScreen)
    frames(app, 2)
    assert app.company.window is not None
    keys.tap("l")
    keys.tap("s")
    frames(app, 120)
    keys.tap("l")
    keys.tap("7")
    keys.tap("b")
    frames(app, 60)
    pygame.event.post(pygame.event.Event(pygame.WINDOWCLOSE, window=app.company.window))
    frames(app, 2)
    assert app.company.window is None
    assert app.screen.session.apart is None
    keys.tap("b")
    frames(app, 60)
    pygame.event.post(pygame.event.Event(pygame.QUIT))
    assert not app.frame(FRAME_S)
    kept = recording.read(tmp_path / "run")
    orders = [c for _, c in kept.commands]
    notes = [c.text for c in orders if isinstance(c, cmd.Note)]

    assert [c for c in orders if isinstance(c, cmd.Brake | cmd.Engine)] == [
        cmd.Brake(actor=FORE, grip=0.0), cmd.Engine(lever=-0.1), cmd.Brake(actor=FORE, grip=1.0), cmd.Brake(grip=0.0),
    ]  # fmt: skip
    assert (notes[0], notes[-1]) == ("two aboard", "one aboard")
    assert "helm signals: let go" in notes
    assert any(text.startswith("foredeck signals: chain") for text in notes)
    assert verified(tmp_path / "run", load_lesson("lantern-pool")).agrees


def test_the_second_window_opens_and_closes_with_its_key(app):
    """Shift and F2 at the brief, and again at sea."""
    app.two = False
    keys = Posted()
    keys.tap("Return")
    frames(app, 2)
    app.screen.press(Press.TWO)
    keys.tap("Return")
    frames(app, 3)
    assert app.company.window is not None
    app.screen.press(Press.TWO)
    frames(app, 1)
    assert app.company.window is None
    app.screen.press(Press.TWO)
    frames(app, 1)

    assert app.company.window is not None


def test_the_foredecks_keys_can_be_clicked_and_held(tmp_path, words):
    """The windlass veers while the button is down over its key."""
    screen, deck = two_aboard(tmp_path, words)
    deck.panels((600, 720))
    given(screen.session)
    x, y, wide, tall = next(touch.rect for touch in deck.touches if touch.fore is Fore.VEER)
    at = (x + wide // 2, y + tall // 2)
    deck.mouse(pygame.event.Event(pygame.MOUSEBUTTONDOWN, pos=at, button=1))
    assert given(screen.session) == [cmd.Windlass(actor=FORE, motion=1)]
    deck.mouse(pygame.event.Event(pygame.MOUSEBUTTONUP, pos=at, button=1))

    assert given(screen.session) == [cmd.Windlass(actor=FORE, motion=0)]


def test_the_pad_plugged_in_last_is_the_foredecks(app):
    """Of two pads the first steers and the second veers; neither does the other's work."""
    keys = Posted()
    for _ in range(2):
        keys.tap("Return")
        frames(app, 2)
    frames(app, 1)
    app.inputs.pad.pads = {3: None, 5: None}
    for pad in (3, 5):
        pygame.event.post(pygame.event.Event(pygame.JOYBUTTONDOWN, instance_id=pad, button=5))
        pygame.event.post(pygame.event.Event(pygame.JOYAXISMOTION, instance_id=pad, axis=0, value=1.0))
        frames(app, 2)
    session = app.screen.session
    told = [shown.signal for shown in [app.screen.told] if shown is not None]

    assert told == [Signal.VEER]  # the first pad's button is the helm's word
    assert session.exercise.world.state.lines[0, lay.L_MOTION] == 1.0
    assert session.hands.helm_rad > 0.0


def test_over_the_chart_the_foredecks_keys_do_nothing(app):
    """Time stands while the chart lies out at sea; what is pressed meanwhile is lost, and the window stays open."""
    keys = Posted()
    for _ in range(2):
        keys.tap("Return")
        frames(app, 2)
    frames(app, 1)
    screen = app.screen
    keys.tap("y")
    frames(app, 2)
    assert app.screen is not screen
    keys.tap("l")
    frames(app, 2)
    assert app.company.window is not None
    keys.tap("Escape")
    frames(app, 10)

    assert app.screen is screen
    assert screen.session.whole.rodes[0].brake == 1.0


def test_the_alarm_circle_names_the_key_that_sets_it(tmp_path, words):
    """While two are aboard the plain key is the foredeck's; the helm's is with Shift."""
    screen, _ = two_aboard(tmp_path, words)
    screen.press(Press.CIRCLE)
    told = " ".join(texts(screen.items()))

    assert "Shift O sets it." in told
