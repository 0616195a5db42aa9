"""What the state shows to have happened in a step, as bits: the same for both clocks, and all in one kernel.

What must be known from step to step is in ``state.memory``; what a step brought about is left in the world's scratch
for ``notice`` to put into words. Nothing here moves a boat or a rode.
"""

from sim.base.arrays import FloatArray, IntArray
from sim.base.frames import to_body
from sim.base.kernel import kernel
from sim.base.units import TICK_HZ
from sim.core import state as st
from sim.core.groups import Seen
from sim.model import layout as lay
from sim.model.tackle.anchor import is_dragging
from sim.model.tackle.windlass import is_all_out

# Of the world. Each ends the run of steps, so that it is told at its own tick.
GROUNDED, OTHERS, ALARM, CALLED, ACT_DUE, NEAR, DIVERGED, RODES = (1 << k for k in range(8))
# Of one rode.
ATTITUDE, MOVES, HELD, SLIPS, STALLS, TRIPS, AT_LENGTH, ALL_OUT, PARTED, GAVE_WAY, UNDER, CAUGHT, CLEARED = (
    1 << k for k in range(13)
)
# Of another boat.
CHANGED, DRAGGED, LAID_OVER, SEEN_ACROSS = (1 << k for k in range(4))
# Columns of what was seen of a rode.
W_BITS, W_WAS, W_UNDER, W_SNAG = range(4)
SEEN_COLS = 4
F_AWAY = st.V_NEAR + 1  # in what was found, after what the watch's orders looked at: the fix from the alarm's centre
FOUND_COLS = F_AWAY + 1

STILL_S = 3.0  # as long without motion an anchor counts as holding again, and a rode as clear of a snag (judgement)
DRAG_TOLD_M = 20.0  # another boat's dragging is told again after so much
SLIP_MPS, SLIP_GRIP = 0.02, 0.9  # chain that runs so fast against a brake so hard on slips (judgement)
STALLED = 0.98  # of the load that stops the motor (judgement)
KEEL_M, PART_M = 1.0, 0.5  # half lengths of the boxes round keel, rudder and propeller
IN_HULL, ON_KEEL, ON_RUDDER, ON_PROPELLER = 1, 2, 4, 8


@kernel
def clear(seen: Seen) -> None:
    """Empty what the run before this one saw, in place."""
    seen.world[0] = 0
    seen.world[1] = -1
    seen.orders[0] = 0
    seen.rodes[:] = 0
    seen.boats[:] = 0


@kernel
def chain_meets(
    nodes: FloatArray,
    count: int,
    boat: FloatArray,
    hull: FloatArray,
    rudder: FloatArray,
    prop_x_m: float,
    tide_m: float,
) -> int:
    """Return what the rode meets of the boat, added up: 1 it leads under her, 2 keel, 4 rudder, 8 propeller.

    Under her is inside the hull's outline above keel depth, abaft the stem; the rest are boxes round the parts.
    """
    half = 0.5 * hull[lay.H_LOA]
    found = 0
    for i in range(1, count - 1):
        below = tide_m - nodes[i, lay.N_Z]
        if below > hull[lay.H_DRAUGHT] or below < -1.0:
            continue
        x, y = to_body(
            nodes[i, lay.N_NORTH] - boat[lay.B_NORTH],
            nodes[i, lay.N_EAST] - boat[lay.B_EAST],
            boat[lay.B_HEADING],
        )
        if -half < x < 0.7 * half and abs(y) < 0.4 * hull[lay.H_BEAM]:
            found |= IN_HULL
            if abs(x) < KEEL_M and below > 0.0:
                found |= ON_KEEL
            if abs(x - rudder[lay.R_X]) < PART_M and 0.0 < below < rudder[lay.R_SPAN] + 0.5:
                found |= ON_RUDDER
            if abs(x - prop_x_m) < PART_M and below > 0.0:
                found |= ON_PROPELLER
    return found


@kernel
def of_anchor(anchor: FloatArray, memory: FloatArray, tick: int, seen: IntArray) -> int:
    """Return what an anchor did: another attitude, a move under load begun, or ended when it has been still."""
    bits = 0
    was = int(memory[st.M_ATTITUDE])
    now = int(anchor[lay.A_ATTITUDE])
    if was != now:
        bits |= ATTITUDE
        seen[W_WAS] = was
        memory[st.M_ATTITUDE] = now
        if was <= lay.HANGING < now:
            memory[st.M_DOWN] = tick
    return bits


@kernel
def of_motion(anchor: FloatArray, memory: FloatArray, tick: int) -> int:
    """Return whether a move under load began, or ended: dragging told from holding."""
    if is_dragging(anchor):
        began = memory[st.M_MOVING] == 0.0
        if began:
            memory[st.M_MOVING] = 1.0
            memory[st.M_MOVED] = anchor[lay.A_DRAG]
        memory[st.M_MOVED_TICK] = tick
        return MOVES if began else 0
    if memory[st.M_MOVING] > 0.0 and (tick - memory[st.M_MOVED_TICK]) / TICK_HZ > STILL_S:
        memory[st.M_MOVING] = 0.0
        return HELD
    return 0


@kernel
def of_snag(line: FloatArray, memory: FloatArray, tick: int, seen: IntArray) -> int:
    """Return whether a rode began to bear on a snag, or has been clear of it."""
    now = int(line[lay.L_SNAG])
    was = int(memory[st.M_SNAG])
    if now == was:
        memory[st.M_SNAG_TICK] = tick
        return 0
    bits = 0
    if was > 0 and (now > 0 or (tick - memory[st.M_SNAG_TICK]) / TICK_HZ > STILL_S):
        bits |= CLEARED
        seen[W_SNAG] = was
        memory[st.M_SNAG] = 0.0
    if now > 0:
        bits |= CAUGHT
        memory[st.M_SNAG] = now
    return bits


@kernel
def of_windlass(line: FloatArray, params: FloatArray, memory: FloatArray) -> int:
    """Return what windlass and brake do that nobody ordered: chain that slips, a motor that stalls, all of it out."""
    bits = 0
    slips = line[lay.L_RATE] > SLIP_MPS and line[lay.L_BRAKE] > SLIP_GRIP and line[lay.L_MOTION] == 0.0
    if slips and memory[st.M_SLIPPING] == 0.0:
        bits |= SLIPS
    memory[st.M_SLIPPING] = 1.0 if slips else 0.0
    stalls = line[lay.L_MOTION] < 0.0 and line[lay.L_TENSION] > STALLED * params[lay.LP_MOTOR_STALL]
    if stalls and memory[st.M_STALLED] == 0.0:
        bits |= STALLS
    memory[st.M_STALLED] = 1.0 if stalls else 0.0
    if memory[st.M_ALL_OUT] == 0.0 and is_all_out(line, params):
        memory[st.M_ALL_OUT] = 1.0
        bits |= ALL_OUT
    return bits


@kernel
def of_gear(line: FloatArray, memory: FloatArray) -> int:
    """Return whether a snubber parted or a stopper gave way: what nobody ordered off."""
    bits = 0
    if memory[st.M_HOOKED] > 0.0 and line[lay.L_HOOK] < 0.0 and line[lay.L_CHAFE] >= 1.0:
        bits |= PARTED
    memory[st.M_HOOKED] = 1.0 if line[lay.L_HOOK] >= 0.0 else 0.0
    if memory[st.M_STOPPED] > 0.0 and line[lay.L_STOPPER] == 0.0:
        bits |= GAVE_WAY
    memory[st.M_STOPPED] = line[lay.L_STOPPER]
    return bits


@kernel
def of_fleet(fleet: FloatArray, tick: int, seen: IntArray) -> bool:
    """Note what other boats have begun to do, and return whether any has."""
    any_has = False
    for i in range(1, fleet.shape[0]):
        if fleet[i, lay.Q_STATE] != fleet[i, lay.Q_TOLD]:
            fleet[i, lay.Q_TOLD] = fleet[i, lay.Q_STATE]
            if fleet[i, lay.Q_STATE] == lay.FALLING_BACK:
                fleet[i, lay.Q_LET_GO] = tick
            seen[i] |= CHANGED
            any_has = True
        if fleet[i, lay.Q_DRAGGED] - fleet[i, lay.Q_DRAG_TOLD] > DRAG_TOLD_M:
            fleet[i, lay.Q_DRAG_TOLD] = fleet[i, lay.Q_DRAGGED]
            seen[i] |= DRAGGED
            any_has = True
    return any_has


@kernel
def of_ground(boat: FloatArray, memory: FloatArray) -> bool:
    """Return whether she has just taken the ground; ``memory`` is the first rode's row."""
    took = boat[lay.B_GROUND] > 0.0 and memory[st.M_AGROUND] == 0.0
    memory[st.M_AGROUND] = 1.0 if boat[lay.B_GROUND] > 0.0 else 0.0
    return bool(took)


@kernel
def is_act_due(acts: IntArray, tick: int) -> bool:
    """Return whether an act that takes time is done."""
    due = False
    for k in range(acts.shape[0]):
        due = due or (acts[k, 0] != 0 and acts[k, 1] <= tick)
    return due
