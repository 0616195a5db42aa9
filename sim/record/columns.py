"""What a track knows five times a second: raw rows of the state, and the quantities derived from them."""

import numpy as np
import numpy.typing as npt

from sim.base.arrays import FloatArray
from sim.base.units import TICK_HZ
from sim.core.state import State
from sim.model import layout as lay
from sim.model.params import WorldParams
from sim.model.water.water import tide_height_m
from sim.record.ground import charted_depths_m

ON_GROUND_M = 0.1  # a node this close to the bed lies on it

# Where the rows of the state stand in a raw sample.
_TICK = 0
_BOAT = 1
_CONTROL = _BOAT + lay.BOAT_COLS
_SHAFTS = _CONTROL + lay.CONTROL_COLS
_LINE = _SHAFTS + lay.MAX_SHAFTS * lay.SHAFT_COLS
_ANCHOR = _LINE + lay.LINE_COLS
_ANCHOR_AT = _ANCHOR + lay.ANCHOR_COLS
_LEAD_FROM = _ANCHOR_AT + 3
_LEAD_TO = _LEAD_FROM + 3
RAW_COLS = _LEAD_TO + 3

# name: column of the raw sample
_SHAFT = {"lever": lay.S_LEVER, "gear": lay.S_GEAR, "rps": lay.S_RPS, "thrust_n": lay.S_THRUST}
_RAW: dict[str, int] = {
    "north_m": _BOAT + lay.B_NORTH,
    "east_m": _BOAT + lay.B_EAST,
    "heading_rad": _BOAT + lay.B_HEADING,
    "surge_mps": _BOAT + lay.B_SURGE,
    "sway_mps": _BOAT + lay.B_SWAY,
    "yaw_rate_radps": _BOAT + lay.B_YAW_RATE,
    "wind_n_mps": _BOAT + lay.B_WIND_N,
    "wind_e_mps": _BOAT + lay.B_WIND_E,
    "stream_n_mps": _BOAT + lay.B_STREAM_N,
    "stream_e_mps": _BOAT + lay.B_STREAM_E,
    "depth_m": _BOAT + lay.B_DEPTH,
    "rudder_rad": _CONTROL + lay.C_RUDDER,
    "thruster": _CONTROL + lay.C_THRUSTER,
    "out_m": _LINE + lay.L_OUT,
    "rate_mps": _LINE + lay.L_RATE,
    "tension_n": _LINE + lay.L_TENSION,
    "snubber_a_n": _LINE + lay.L_SNUB_A,
    "snubber_b_n": _LINE + lay.L_SNUB_B,
    "hook": _LINE + lay.L_HOOK,
    "stopper": _LINE + lay.L_STOPPER,
    "brake": _LINE + lay.L_BRAKE,
    "anchor_pull_n": _ANCHOR + lay.A_PULL_H,
    "anchor_load_n": _ANCHOR + lay.A_LOAD,
    "uplift_rad": _ANCHOR + lay.A_UPLIFT,
    "burial": _ANCHOR + lay.A_BURIAL,
    "attitude": _ANCHOR + lay.A_ATTITUDE,
    "heap_m": _ANCHOR + lay.A_HEAP,
    "anchor_drag_m": _ANCHOR + lay.A_DRAG,
    "anchor_n_m": _ANCHOR_AT,
    "anchor_e_m": _ANCHOR_AT + 1,
    "anchor_z_m": _ANCHOR_AT + 2,
}
NAMES: tuple[str, ...] = (
    "t_s",
    *_RAW,
    *(f"{what}_{k}" for k in range(lay.MAX_SHAFTS) for what in _SHAFT),
    "tide_m",
    "rode_pull_n",
    "lead_rad",
    "lead_angle_rad",
    "grounded_m",
)


def copy_raw(state: State, row: FloatArray) -> None:
    """Copy what a sample needs of ``state`` into ``row``, ``float64[RAW_COLS]`` of NaN, in place."""
    row[_TICK] = state.tick
    row[_BOAT:_CONTROL] = state.boats[0]
    row[_CONTROL:_SHAFTS] = state.control
    row[_SHAFTS:_LINE] = state.shafts.ravel()
    line = state.lines[0]
    row[_LINE:_ANCHOR] = line
    row[_ANCHOR:_ANCHOR_AT] = state.anchors[0]
    count = int(line[lay.L_COUNT])
    if count < 2:
        return
    nodes = state.nodes[0]
    hook = int(line[lay.L_HOOK])
    row[_ANCHOR_AT:_LEAD_FROM] = nodes[0, : lay.N_Z + 1]
    row[_LEAD_FROM:_LEAD_TO] = nodes[hook if hook >= 0 else count - 2, : lay.N_Z + 1]
    row[_LEAD_TO:] = nodes[count - 1, : lay.N_Z + 1]


def ticks(block: FloatArray) -> FloatArray:
    """Return the tick of each row of a block ``float64[n, RAW_COLS]``."""
    return block[:, _TICK]


def rodes_now(state: State) -> FloatArray:
    """Return ``float64[rodes, 5]``: each anchor's north, east, z, tension at the roller, length out; NaN if none is."""
    out = np.full((len(state.lines), 5), np.nan)
    for k, count in enumerate(state.lines[:, lay.L_COUNT].tolist()):
        if count:
            out[k, :3] = state.nodes[k, 0, : lay.N_Z + 1]
            out[k, 3], out[k, 4] = state.lines.item(k, lay.L_TENSION), state.lines.item(k, lay.L_OUT)
    return out


def derive(raw: FloatArray, params: WorldParams, slow_t_s: FloatArray, chain: FloatArray) -> dict[str, FloatArray]:
    """Return every quantity of ``NAMES`` from ``float64[n, RAW_COLS]`` raw samples and the chain's shapes."""
    t_s = raw[:, _TICK] / TICK_HZ
    out: dict[str, FloatArray] = {"t_s": t_s}
    out |= {name: raw[:, column].copy() for name, column in _RAW.items()}
    for k in range(lay.MAX_SHAFTS):
        base = _SHAFTS + k * lay.SHAFT_COLS
        for what, column in (
            ("lever", lay.S_LEVER),
            ("gear", lay.S_GEAR),
            ("rps", lay.S_RPS),
            ("thrust_n", lay.S_THRUST),
        ):
            out[f"{what}_{k}"] = raw[:, base + column].copy()
    out["tide_m"] = np.array([tide_height_m(float(t), params.water.tide) for t in t_s], np.float64)
    out["rode_pull_n"] = np.hypot(raw[:, _LINE + lay.L_FN], raw[:, _LINE + lay.L_FE])
    north, east, z = (raw[:, _LEAD_FROM + k] - raw[:, _LEAD_TO + k] for k in range(3))
    bearing = np.arctan2(east, north) - out["heading_rad"]
    out["lead_rad"] = np.angle(np.exp(1j * bearing))
    out["lead_angle_rad"] = np.arctan2(-z, np.hypot(north, east))
    grounded = grounded_m(params, chain)
    out["grounded_m"] = np.interp(t_s, slow_t_s, grounded) if slow_t_s.size else np.zeros_like(t_s)
    return out


def on_ground(params: WorldParams, chain: FloatArray) -> npt.NDArray[np.bool_]:
    """Return ``bool[m, nodes]``: which nodes of each shape lie on the bed."""
    bed_z = -charted_depths_m(params.bay, chain[..., 0], chain[..., 1])
    with np.errstate(invalid="ignore"):
        lying: npt.NDArray[np.bool_] = chain[..., 2] <= bed_z + ON_GROUND_M
    return lying


def grounded_m(params: WorldParams, chain: FloatArray) -> FloatArray:
    """Return ``float64[m]``: length of chain lying on the bed in each shape, counted along the segments."""
    if chain.shape[1] < 2:
        return np.zeros(chain.shape[0])
    lying = on_ground(params, chain)
    # A heap's segments are slack: they count at their full length, not at the distance between their ends.
    segment = params.rodes[0].line[lay.LP_SEGMENT]
    return np.asarray((lying[:, 1:] & lying[:, :-1]).sum(axis=1) * segment, dtype=np.float64)
