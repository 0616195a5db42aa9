"""Nothing on screen that the trainee could not know, unless the lesson grants the aid."""

import dataclasses

import pytest

from sim.core.orders import commands as cmd
from sim.helm.aids import Granted
from sim.model import layout as lay
from sim.play.session import Session
from sim.scenario.library import load_lesson
from sim.ui.paint.display import LEAST_PX, Words, sources, texts
from sim.ui.paint.palette import DAY
from sim.ui.screens.sail import SailScreen

SIZE = (1280, 800)
KNOWN = ("chart", "brief", "eye", "hand", "told", "frame")
AIDS = ("ranges", "circles", "chain", "side_view", "truth", "transits")


def anchored(folder, words, aids, seconds=70.0):
    """Return a screen with neighbours about, anchor on the ground and chain out, under ``aids`` alone."""
    lesson = dataclasses.replace(load_lesson("hazel-cove"), aids=aids)
    session = Session(lesson, 1, folder)
    screen = SailScreen(session, DAY, words)
    screen.resize(SIZE)
    session.hands.order(cmd.Brake(grip=0.0))
    session.hands.order(cmd.TakeTransit(bearing_rad=1.2))
    for k in range(round(seconds * 60)):
        if k == 600:
            session.hands.order(cmd.Brake(grip=1.0))
            session.hands.order(cmd.Engine(lever=-0.3))
            session.hands.order(cmd.MarkAnchor())
        session.tick()
        if k % 30 == 0:
            session.look()
    session.look()
    return screen


def test_without_aids_only_what_is_known_is_shown(tmp_path, words):
    """Every item's source is chart, brief, eye, hand, display or what was told."""
    shown = sources(anchored(tmp_path, words, ()).items())

    assert {s for s in shown if s not in KNOWN and not s.startswith("display:")} == set()
    assert {"chart", "eye", "display:depth", "display:counter", "display:sog"} <= shown


@pytest.mark.parametrize("aid", AIDS)
def test_an_aid_shows_itself_and_nothing_else(tmp_path, words, aid):
    """Granting one aid adds items of that aid, and of no other."""
    granted = {s for s in sources(anchored(tmp_path, words, (aid,)).items()) if s.startswith("aid:")}

    # The truth about the anchor is told in the side view, so alone it has no place to stand.
    assert granted == (set() if aid == "truth" else {f"aid:{aid}"})


def test_the_truth_is_told_where_side_view_and_truth_are_granted(tmp_path, words):
    """Burial, drag and pull stand in the side view only with both aids."""
    with_both = anchored(tmp_path / "both", words, ("side_view", "truth"))
    without = anchored(tmp_path / "one", words, ("side_view",))

    assert any("%" in text for text in texts(with_both.items()))
    assert not any("%" in text for text in texts(without.items()))


def test_what_lies_hidden_does_not_change_the_picture(tmp_path, words):
    """Anchor and chain moved about on the bottom, the neighbours' anchors too: without aids the screen is the same."""
    screen = anchored(tmp_path, words, ())
    before = screen.items()
    state = screen.session.exercise.world.state
    state.anchors[0, lay.A_BURIAL], state.anchors[0, lay.A_DRAG] = 0.9, 33.0
    state.anchors[0, lay.A_PULL_H] = state.anchors[0, lay.A_LOAD] = 9000.0
    state.nodes[0, :3, lay.N_NORTH : lay.N_EAST + 1] += 12.0
    state.fleet[1:, lay.Q_ANCHOR_N : lay.Q_ANCHOR_E + 1] += 40.0
    state.boats[1:, lay.B_RODE_H] = 5000.0
    screen.session.look()

    assert screen.items() == before


def test_distances_are_printed_only_with_ranges(tmp_path, words):
    """A boat's name stands alone where ranges are not granted."""
    others = [o.name for o in anchored(tmp_path / "x", words, ("circles",)).session.view.others]
    bare = texts(anchored(tmp_path / "bare", words, ("circles",)).items())
    ranged = texts(anchored(tmp_path / "ranged", words, ("ranges",)).items())

    assert all(name in bare for name in others)
    assert not any(text.startswith(name) and text.endswith(" m") for text in bare for name in others)
    assert any(text.startswith(name) and text.endswith(" m") for text in ranged for name in others)


def test_without_the_chain_aid_only_the_first_metres_are_granted(tmp_path, words):
    """The aid hands out every node; without it there is none, and no anchor."""
    screen = anchored(tmp_path, words, ("chain",))
    whole = screen.session.granted.now()
    bare = Granted(screen.session.exercise, ()).now()

    assert len(whole.chain_m) > 5
    assert bare.chain_m == ()
    assert bare.anchor is None
    assert bare.others == ()


@pytest.mark.parametrize("size", [(1024, 768), (1280, 800), (1920, 1080)])
def test_no_type_is_too_small_to_read(tmp_path, words, size):
    """No line of text is set below the least size, in any window."""
    screen = anchored(tmp_path, words, AIDS, seconds=12.0)
    screen.resize(size)

    assert min(item.size for item in screen.items() if isinstance(item, Words)) >= LEAST_PX
