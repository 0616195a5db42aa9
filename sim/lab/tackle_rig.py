"""One rode on a flat bed, alone: for a test rig, for pictures and for proofs.

It runs the very kernels of an exercise, ``step_chain`` and ``watch_anchor``; nothing here is a law. The bed lies at
z = -depth, the anchor at the origin, the roller moves along x, and along y where a caller asks.
"""

import math
from dataclasses import dataclass

import numpy as np

from sim.base import rng
from sim.base.arrays import FloatArray
from sim.base.units import DT_S
from sim.model import layout as lay
from sim.model.groups import End, Ground, Lying, Scratch, Sea, Step, Tackle
from sim.model.params import Rode
from sim.model.tackle.chain import PASSES, step_chain
from sim.model.tackle.chain_forces import BED_N_PER_M2, WORK_COLS, is_rope
from sim.model.tackle.rode import watch_anchor
from sim.scenario.read.rig import give_m_per_n

FIXED_N = 1e9
STILL = Sea(0.0, 0.0, 0.0)
VEER_DRAWS = 64
# Settling: as if in thick syrup on a smooth bed, until nothing moves.
SYRUP_S = 1.5
STILL_MPS = 1e-5
SETTLE_S = 600.0
SHIFT_MPS = 2.0
START_SHARE = 1e-4  # a pull's first place is found to this share of its force
ASIDE_M, GOLDEN = 0.02, 2.399963229728653


@dataclass(frozen=True)
class Reading:
    """What the rig's instruments show; forces in N, angles in radians above the horizontal."""

    tension_roller_n: float
    horizontal_roller_n: float
    tension_anchor_n: float
    lead_rad: float
    uplift_rad: float
    pull_x_n: float  # of the rode on the roller, back along x


class Rig:
    """One rode on a flat bed of one bottom; only ``step`` lets time pass in it.

    Attributes:
        nodes: ``float64[NODE_CAP, NODE_COLS]``.
        line: ``float64[LINE_COLS]``.
        anchor: ``float64[ANCHOR_COLS]``.
        roller: ``float64[3]`` x, y and height above the water.
        snags: ``float64[snags, SNAG_COLS]`` what stands on the bed; none until a caller gives some.
    """

    def __init__(
        self,
        rode: Rode,
        length_m: float,
        depth_m: float,
        roller_height_m: float,
        bottom: FloatArray,
        fixed: bool,
        dt_s: float = DT_S,
    ) -> None:
        """Make the rig; ``lay_to`` or ``start`` puts the rode down.

        Args:
            rode: its constants.
            length_m: rode out, more than from roller to bed.
            depth_m: of the water, > 0.
            roller_height_m: roller above the water, >= 0.
            bottom: ``float64[1, BOTTOM_COLS]``.
            fixed: whether the anchor cannot move.
            dt_s: the step; an exercise's own is 1/60 s.
        """
        self.rode, self.length_m, self.fixed, self.dt_s = rode, length_m, fixed, dt_s
        self.depth_m, self.height_m = depth_m, depth_m + roller_height_m
        self.nodes = np.zeros((lay.NODE_CAP, lay.NODE_COLS))
        self.line = np.zeros(lay.LINE_COLS)
        self.anchor = np.zeros(lay.ANCHOR_COLS)
        self.roller = np.array([0.0, 0.0, roller_height_m])
        self.bottoms = np.array(bottom)
        self.snags = np.zeros((0, lay.SNAG_COLS))
        self._smooth = np.array(bottom)
        self._smooth[:, lay.G_FRICTION] = 0.0
        self._raster, self._depths = np.array([-500.0, -500.0, 500.0]), np.full((3, 3), depth_m)
        self._bottom, self._noise = np.zeros((3, 3), np.int64), np.zeros((64, 64))
        draws = rng.uniforms(0, "veer draw", VEER_DRAWS)
        self._tackle = Tackle(rode.line, rode.anchor, rode.anchor_on_bottom, draws)
        self._scratch = Scratch(self.roller, np.zeros((0, 3)), np.zeros((lay.NODE_CAP, WORK_COLS)))

    @property
    def count(self) -> int:
        """Nodes in use, anchor and roller among them."""
        return int(self.line[lay.L_COUNT])

    @property
    def places_m(self) -> FloatArray:
        """Where every node is, anchor first: ``float64[count, 3]``, heights above the water."""
        places: FloatArray = self.nodes[: self.count, :3].copy()
        return places

    def step(self, x_m: float, y_m: float = 0.0) -> None:
        """Let one step pass in which the roller moves to (x, y)."""
        self.roller[0], self.roller[1] = x_m, y_m
        if self.fixed:
            self._step_chain(self._ground(self.bottoms), FIXED_N, FIXED_N)
            return
        stuck = self.nodes[0, lay.N_STICK_N], self.nodes[0, lay.N_STICK_E]
        lying = self.anchor[lay.A_ATTITUDE] > lay.HANGING
        ground = self._ground(self.bottoms)
        self._step_chain(ground, self.anchor[lay.A_CAP_H], self.anchor[lay.A_CAP_V])
        slid = math.dist(stuck, self.nodes[0, lay.N_STICK_N : lay.N_STICK_E + 1]) if lying else 0.0
        watch_anchor(Lying(self.nodes, self.line, self.anchor), self._tackle, ground, slid, self.dt_s)

    def _ground(self, bottoms: FloatArray) -> Ground:
        return Ground(self._raster, self._depths, self._bottom, bottoms, self.snags, self._noise)

    def _step_chain(self, ground: Ground, hold_n: float, down_n: float) -> None:
        mass, weight, drag = (float(self.rode.anchor[k]) for k in (lay.AP_MASS, lay.AP_WEIGHT, lay.AP_DRAG_AREA))
        end = End(mass, weight, drag, float(hold_n), float(down_n))
        step = Step(self.dt_s, PASSES)
        step_chain(self.nodes, self.line, self.rode.line, end, STILL, ground, step, self._scratch)

    def lay_to(self, x_m: float) -> None:
        """Lay the rode at rest with the roller ``x_m`` from the anchor; friction begins from there."""
        self.place(x_m)
        self.settle_at(x_m)

    def start_under(self, pull_n: float) -> float:
        """Lay the rode at rest where it pulls ``pull_n`` horizontally, and return the roller's place [m]."""
        low = max(self.length_m - self.height_m, 0.0)
        self.lay_to(low)
        if pull_n <= 0.0:
            return low
        give = give_m_per_n(self.rode.line, self.length_m)
        high = math.sqrt((self.length_m + 2.0 * pull_n * give) ** 2 - self.height_m**2) + 0.01
        x_m = high
        for _ in range(60):
            self.settle_at(x_m)
            found = self.read().horizontal_roller_n
            if abs(found - pull_n) <= START_SHARE * pull_n:
                break
            low, high = (low, x_m) if found > pull_n else (x_m, high)
            x_m = 0.5 * (low + high)
        return x_m

    def place(self, x_m: float, straight: bool = False) -> None:
        """Put the nodes down: straight where asked or where the rode is nearly taut, else along the bed and then up."""
        segment = float(self.rode.line[lay.LP_SEGMENT])
        count = max(round(self.length_m / segment), 1) + 1
        self.line[:] = 0.0
        self.line[lay.L_COUNT], self.line[lay.L_OUT], self.line[lay.L_HOOK] = count, self.length_m, -1.0
        self.line[lay.L_CROSSED] = -1.0
        self.line[lay.L_TOP] = self.length_m - (count - 2) * segment
        along = np.minimum(np.arange(count) * segment, self.length_m)
        along[-1] = self.length_m
        on_bed = self.length_m - self.height_m
        if straight or x_m > on_bed:
            x, up = along / self.length_m * x_m, along / self.length_m * self.height_m
        else:
            x = np.minimum(along / on_bed, 1.0) * x_m
            up = np.maximum(along - on_bed, 0.0)
        self.nodes[:] = 0.0
        heaped = x_m < 0.1 * on_bed
        aside = np.where((up == 0.0) & heaped, ASIDE_M, 0.0)  # no two nodes of a heap may coincide
        turn = GOLDEN * np.arange(count)
        self.nodes[:count, lay.N_NORTH] = x + aside * np.cos(turn)
        self.nodes[:count, lay.N_EAST] = aside * np.sin(turn)
        self.nodes[:count, lay.N_Z] = up - self.depth_m
        self.nodes[0, :2] = 0.0
        self.roller[0], self.roller[1] = x_m, 0.0
        self._come_to_rest()

    def settle_at(self, x_m: float) -> None:
        """Shift the roller to ``x_m`` and let the rode come to rest there, as if its bed were smooth."""
        slower = 1.0 - self.dt_s / SYRUP_S
        for _ in range(round(SETTLE_S / self.dt_s)):
            left = x_m - float(self.roller[0])
            self.roller[0] += math.copysign(min(abs(left), SHIFT_MPS * self.dt_s), left)
            self._step_chain(self._ground(self._smooth), FIXED_N, FIXED_N)
            speeds = self.nodes[: self.count - 1, lay.N_VN : lay.N_VZ + 1]
            speeds *= slower
            if left == 0.0 and np.abs(speeds).max() < STILL_MPS:
                break
        self._come_to_rest()

    def _come_to_rest(self) -> None:
        """Stop every node, and let friction and the anchor begin from here."""
        self.nodes[:, lay.N_VN : lay.N_VZ + 1] = 0.0
        self.nodes[:, lay.N_STICK_N : lay.N_STICK_E + 1] = self.nodes[:, :2]
        self.anchor[:] = 0.0
        self.anchor[lay.A_ATTITUDE] = lay.HANGING
        self.anchor[lay.A_CAP_H] = self.rode.anchor[lay.AP_SLIDE] * self.rode.anchor[lay.AP_WEIGHT]

    def read(self) -> Reading:
        """Return tension and lead at both ends; each end carries half of its segment's weight."""
        top = self.count - 1
        rope = float(self.rode.line[lay.LP_LEADER]) < self.length_m
        per_m = float(self.rode.line[lay.LP_ROPE_WEIGHT if rope else lay.LP_WEIGHT])
        h, up = self._end(top - 1)
        up += 0.5 * per_m * float(self.line[lay.L_TOP])
        low_h, low_up = self._end(0)
        chain = float(self.rode.line[lay.LP_WEIGHT]) * 0.5 * float(self.rode.line[lay.LP_SEGMENT])
        low_up = max(low_up - chain, 0.0)
        return Reading(
            tension_roller_n=math.hypot(h, up),
            horizontal_roller_n=h,
            tension_anchor_n=math.hypot(low_h, low_up),
            lead_rad=math.atan2(up, h),
            uplift_rad=math.atan2(low_up, low_h) if low_up > 0.0 else 0.0,
            pull_x_n=math.copysign(h, self.nodes[top, lay.N_NORTH] - self.nodes[top - 1, lay.N_NORTH]),
        )

    def _end(self, segment: int) -> tuple[float, float]:
        """Return (horizontal, vertical) of a segment's tension [N]."""
        (ax, ay, az), (bx, by, bz) = self.nodes[segment, :3].tolist(), self.nodes[segment + 1, :3].tolist()
        flat = math.hypot(bx - ax, by - ay)
        length = max(math.hypot(flat, bz - az), 1e-9)
        tension = float(self.nodes[segment, lay.N_TENSION])
        return tension * flat / length, tension * (bz - az) / length

    @property
    def grounded_m(self) -> float:
        """Length of rode that the bed carries [m]."""
        line, top = self.rode.line, self.count - 1
        apart = float(line[lay.LP_SEGMENT])
        lengths = np.full(top, apart)
        lengths[-1] = self.line[lay.L_TOP]
        per_m = np.array([line[lay.LP_ROPE_WEIGHT if is_rope(line, i, apart) else lay.LP_WEIGHT] for i in range(top)])
        own, weight = _halved(lengths), _halved(lengths * per_m)
        sunk = -self.depth_m - self.nodes[: self.count, lay.N_Z]
        return float((own * np.clip(BED_N_PER_M2 * own * sunk / weight, 0.0, 1.0)).sum())

    @property
    def burial(self) -> float:
        """How deep the anchor is, 0 to 1; a fixed one counts as buried."""
        return 1.0 if self.fixed else float(self.anchor[lay.A_BURIAL])


def _halved(of_segments: FloatArray) -> FloatArray:
    """Return what every node has of its segments, half of each."""
    return 0.5 * (np.append(of_segments, 0.0) + np.insert(of_segments, 0, 0.0))
