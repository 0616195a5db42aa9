"""The windlass: rates under load, free fall, brake and stopper, heat, and a snubber that takes the load off it."""

import numpy as np
import pytest
import worlds
from worlds import let_go, lying_back, rode, run

from sim.core import events as ev
from sim.core.orders import commands as cmd
from sim.model import layout as lay
from sim.model.tackle.windlass import FASTEST_MPS, motor_rate_mps, run_windlass

PARAMS = rode().line
DT_S = 1.0 / 60.0


def line(**columns: float) -> np.ndarray:
    """Return a rode with 20 m out and the brake on, columns changed as named."""
    row = np.zeros(lay.LINE_COLS)
    row[lay.L_OUT], row[lay.L_BRAKE], row[lay.L_HOOK] = 20.0, 1.0, -1.0
    for name, value in columns.items():
        row[getattr(lay, name)] = value
    return row


def work(row: np.ndarray, for_s: float, failed: float = 0.0) -> np.ndarray:
    """Let the windlass work on a rode; return it."""
    for _ in range(round(for_s / DT_S)):
        run_windlass(row, PARAMS, 8.0, 0.0, failed, DT_S)
        row[lay.L_OUT] += row[lay.L_RATE] * DT_S
    return row


def test_lowering_runs_at_the_rated_speed_whatever_hangs_there():
    rated = PARAMS[lay.LP_MOTOR_RATE]

    assert motor_rate_mps(1.0, 0.0, PARAMS) == motor_rate_mps(1.0, 3000.0, PARAMS) == rated
    assert work(line(L_MOTION=1.0, L_TENSION=500.0), 5.0)[lay.L_RATE] == pytest.approx(rated, rel=1e-3)


def test_heaving_slows_with_the_load_and_stalls():
    rated, stall = PARAMS[lay.LP_MOTOR_RATE], PARAMS[lay.LP_MOTOR_STALL]

    assert motor_rate_mps(-1.0, 0.5 * stall, PARAMS) == pytest.approx(-0.5 * rated)
    assert motor_rate_mps(-1.0, stall, PARAMS) == motor_rate_mps(-1.0, 2.0 * stall, PARAMS) == 0.0


def test_the_brake_holds_up_to_its_grip_and_slips_beyond():
    grip = PARAMS[lay.LP_CLUTCH]

    assert work(line(L_TENSION=0.99 * grip), 5.0)[lay.L_RATE] == 0.0
    assert work(line(L_TENSION=1.2 * grip), 5.0)[lay.L_RATE] > 0.1


def test_the_stopper_holds_what_the_brake_does_not():
    assert work(line(L_TENSION=20e3, L_STOPPER=1.0), 5.0)[lay.L_RATE] == 0.0


def test_heaving_hard_too_long_opens_the_breaker_and_rest_closes_it():
    row = work(line(L_MOTION=-1.0, L_TENSION=PARAMS[lay.LP_MOTOR_STALL]), 100.0)
    assert row[lay.L_TRIPPED] == 1.0

    row[lay.L_MOTION], row[lay.L_TENSION] = 0.0, 0.0
    work(row, 200.0)

    assert row[lay.L_TRIPPED] == 0.0


def test_without_power_nothing_turns():
    assert work(line(L_MOTION=-1.0), 2.0, failed=1.0)[lay.L_RATE] == 0.0


def test_no_more_runs_out_than_she_carries():
    row = work(line(L_BRAKE=0.0, L_TENSION=5000.0, L_OUT=70.0), 60.0)

    assert row[lay.L_OUT] == pytest.approx(PARAMS[lay.LP_CARRIED], abs=1e-9)
    assert row[lay.L_RATE] == 0.0


# --- aboard ---


def test_free_fall_takes_the_anchor_down_at_a_speed_seen_aboard():
    """Common practice, no source: one to three metres a second; it touches in the seconds that takes."""
    w = worlds.world()
    happened = run(w, 10.0, cmd.Brake(grip=0.0))
    touched = next(e for e in happened if isinstance(e, ev.AnchorTouched))

    assert 5.0 / 3.0 <= touched.tick / 60.0 <= 6.0
    assert touched.out_m == pytest.approx(6.5, abs=0.5)
    assert w.state.lines[0, lay.L_RATE] < FASTEST_MPS


def test_lowered_under_power_it_stops_by_itself_at_the_preset():
    w = worlds.world()
    happened = run(w, 60.0, cmd.PresetLength(length_m=10.0), cmd.Windlass(motion=1))
    preset = [e for e in happened if isinstance(e, ev.PresetReached)]

    assert len(preset) == 1
    assert w.state.lines[0, lay.L_OUT] == pytest.approx(10.0, abs=0.3)


def test_hove_up_it_comes_home_again():
    """Lowered, hove up, stowed: told once each, and no length is left out."""
    w = worlds.world()
    happened = run(w, 40.0, cmd.Windlass(motion=1))
    happened += run(w, 90.0, cmd.Windlass(motion=-1))
    kinds = [type(e) for e in happened]

    for once in (ev.AnchorLetGo, ev.AnchorTouched, ev.AnchorAweigh, ev.AnchorHome):
        assert kinds.count(once) == 1
    assert w.state.lines[0, lay.L_COUNT] == w.state.lines[0, lay.L_OUT] == w.state.lines[0, lay.L_TENSION] == 0.0


def test_the_bitter_end_runs_out_with_its_anchor_where_it_is_not_fast():
    tackle = rode(carried_m=15.0)
    tackle.line[lay.LP_BITTER_FAST] = 0.0
    w = worlds.world(rodes=(tackle,), bay=worlds.bay(12.0))
    happened = run(w, 60.0, cmd.Brake(grip=0.0))

    assert [e.lost for e in happened if isinstance(e, ev.ChainOut)] == [True]
    assert w.state.lines[0, lay.L_COUNT] == 0.0


def test_the_snubber_takes_the_load_off_the_windlass():
    """Hooked on and the chain eased behind it, nylon carries her; the chain at the roller hangs by its own weight."""
    w = lying_back()
    before = float(w.state.lines[0, lay.L_TENSION])
    run(w, 5.0, cmd.Snubber(on=True))
    run(w, 30.0, cmd.Windlass(motion=1))
    run(w, 60.0, cmd.Windlass(motion=0))
    rode_row = w.state.lines[0]

    assert before > 500.0
    assert rode_row[lay.L_SNUB_A] > 0.8 * before
    assert rode_row[lay.L_TENSION] < 0.4 * before


def test_a_bridle_shares_the_load_between_two_legs():
    w = lying_back(worlds.TWIN)
    run(w, 5.0, cmd.Snubber(on=True))
    run(w, 40.0, cmd.Windlass(motion=1))
    run(w, 90.0, cmd.Windlass(motion=0))
    port, starboard = w.state.lines[0, lay.L_SNUB_A], w.state.lines[0, lay.L_SNUB_B]

    assert min(port, starboard) > 200.0
    assert port == pytest.approx(starboard, rel=0.25)


def test_let_go_pays_out_as_it_is_asked():
    """The helper itself: so much out, brake on, nothing running."""
    w = worlds.world()
    let_go(w, 25.0)
    run(w, 5.0)

    assert w.state.lines[0, lay.L_OUT] == pytest.approx(25.0, abs=0.5)
    assert w.state.lines[0, lay.L_RATE] == 0.0
