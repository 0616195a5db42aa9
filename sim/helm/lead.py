"""How the chain leads at the bow: what eye, hand and foot tell the foredeck."""

import math
from dataclasses import dataclass
from typing import Literal

from sim.base.frames import to_body
from sim.core.state import State
from sim.core.world import World
from sim.model import layout as lay

Stay = Literal["none", "slack", "up_and_down", "short", "medium", "long"]
STAYS: tuple[Stay, ...] = ("none", "up_and_down", "slack", "short", "medium", "long")
LOOK_M = 2.5  # one sees about this much of the chain below the roller


@dataclass(frozen=True)
class Lead:
    """The lead of one rode.

    Attributes:
        bearing_rad: off the bow, + starboard, -pi..pi.
        slope_rad: below the horizontal at the roller.
        tension_n: of the whole rode at the bow; the foredeck feels it, nobody reads it.
        hanging_n: weight of rode (and of a hanging anchor) straight down to the bed.
        out_m: true length out.
        height_m: roller above the bed.
    """

    bearing_rad: float
    slope_rad: float
    tension_n: float
    hanging_n: float
    out_m: float
    height_m: float

    @property
    def stay(self) -> Stay:
        """Return how the rode stands, in the trade's words (limits in degrees are judgement)."""
        if self.out_m < 0.5:
            return "none"
        for stay in STAYS[1:]:
            if self.is_still(stay, 1.0):
                return stay
        return "medium" if self.tension_n > 1.3 * self.hanging_n else "slack"

    def is_still(self, stay: str, more: float) -> bool:
        """Return whether the rode stands so, every limit taken wider by a factor ``more`` >= 1."""
        ratio = self.out_m / max(self.height_m, 0.1)
        steep = math.degrees(self.slope_rad)
        weight = self.tension_n / max(self.hanging_n, 1.0)
        if stay == "up_and_down":
            return ratio <= 1.05 * more or (steep >= 80.0 / more and ratio < 1.5 * more)
        if stay == "slack":
            return weight < 1.1 * more and ratio > 1.5 / more
        if stay == "short":
            return ratio < 1.6 * more and steep < 80.0 * more
        if stay == "medium":
            return 1.6 / more <= ratio < 3.0 * more
        return stay == "long" and ratio >= 3.0 / more and steep < 60.0 * more and weight > 1.3 / more


def _seen_node(state: State, rode: int) -> int:
    count = int(state.lines[rode, lay.L_COUNT])
    top = count - 1
    node = top - 1
    while node > 0 and float(state.nodes[rode, top, lay.N_Z] - state.nodes[rode, node, lay.N_Z]) < LOOK_M:
        flat = math.hypot(
            float(state.nodes[rode, top, lay.N_NORTH] - state.nodes[rode, node, lay.N_NORTH]),
            float(state.nodes[rode, top, lay.N_EAST] - state.nodes[rode, node, lay.N_EAST]),
        )
        if flat > LOOK_M:
            break
        node -= 1
    return max(node, 0)


def look(world: World, rode: int = 0) -> Lead | None:
    """Return how the rode leads now, None while the anchor is at the roller."""
    s = world.state
    line = s.lines[rode]
    count = int(line[lay.L_COUNT])
    if count < 2:
        return None
    tackle = world.params.rodes[rode]
    node = _seen_node(s, rode)
    top = s.nodes[rode, count - 1]
    low = s.nodes[rode, node]
    dn, de, dz = (float(low[k] - top[k]) for k in (lay.N_NORTH, lay.N_EAST, lay.N_Z))
    ahead, starboard = to_body(dn, de, float(s.boats[0, lay.B_HEADING]))
    flat = math.hypot(dn, de)
    height = float(s.boats[0, lay.B_DEPTH]) + world.params.boat.particulars.roller_height_m
    out = float(line[lay.L_OUT])
    hanging = float(tackle.line[lay.LP_WEIGHT]) * min(height, out)
    if s.anchors[rode, lay.A_ATTITUDE] <= lay.HANGING:
        hanging += float(tackle.anchor[lay.AP_WEIGHT])
    pull = math.sqrt(float(line[lay.L_FN] ** 2 + line[lay.L_FE] ** 2 + line[lay.L_FZ] ** 2))
    return Lead(
        bearing_rad=math.atan2(starboard, ahead) if flat > 0.15 else 0.0,
        slope_rad=math.atan2(-dz, max(flat, 1e-6)),
        tension_n=pull,
        hanging_n=hanging,
        out_m=out,
        height_m=height,
    )
