"""How the chain leads at the bow: what eye, hand and foot tell the foredeck."""

import math
from typing import Literal, NamedTuple

from sim.base.arrays import FloatArray
from sim.base.frames import to_body
from sim.base.kernel import kernel
from sim.core.world import World
from sim.model import layout as lay

Stay = Literal["none", "slack", "up_and_down", "short", "medium", "long"]
STAYS: tuple[Stay, ...] = ("none", "up_and_down", "slack", "short", "medium", "long")
LOOK_M = 2.5  # one sees about this much of the chain below the roller


class Lead(NamedTuple):
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


@kernel
def seen_node(nodes: FloatArray, count: int) -> int:
    """Return the lowest node that one sees from the roller: the chain in its first metres."""
    top = count - 1
    node = top - 1
    while node > 0 and nodes[top, lay.N_Z] - nodes[node, lay.N_Z] < LOOK_M:
        north = nodes[top, lay.N_NORTH] - nodes[node, lay.N_NORTH]
        east = nodes[top, lay.N_EAST] - nodes[node, lay.N_EAST]
        if math.hypot(north, east) > LOOK_M:
            break
        node -= 1
    return max(node, 0)


@kernel
def lead_at(nodes: FloatArray, count: int, heading_rad: float) -> tuple[float, float]:
    """Return (bearing off the bow, slope below the horizontal) of what one sees of a rode, ``count`` 2 or more."""
    node = seen_node(nodes, count)
    top = count - 1
    dn = nodes[node, lay.N_NORTH] - nodes[top, lay.N_NORTH]
    de = nodes[node, lay.N_EAST] - nodes[top, lay.N_EAST]
    dz = nodes[node, lay.N_Z] - nodes[top, lay.N_Z]
    ahead, starboard = to_body(dn, de, heading_rad)
    flat = math.hypot(dn, de)
    bearing = math.atan2(starboard, ahead) if flat > 0.15 else 0.0
    return bearing, math.atan2(-dz, max(flat, 1e-6))


def look(world: World, rode: int = 0) -> Lead | None:
    """Return how the rode leads now, None while the anchor is at the roller."""
    s = world.state
    line: list[float] = s.lines[rode].tolist()
    if line[lay.L_COUNT] < 2.0:
        return None
    bearing, slope = lead_at(s.nodes[rode], int(line[lay.L_COUNT]), s.boats.item(0, lay.B_HEADING))
    height = s.boats.item(0, lay.B_DEPTH) + world.params.boat.particulars.roller_height_m
    out = line[lay.L_OUT]
    hanging = world.constants.lines.item(rode, lay.LP_WEIGHT) * min(height, out)
    if s.anchors.item(rode, lay.A_ATTITUDE) <= lay.HANGING:
        hanging += world.constants.anchors.item(rode, lay.AP_WEIGHT)
    fn, fe, fz = line[lay.L_FN], line[lay.L_FE], line[lay.L_FZ]
    return Lead(
        bearing_rad=bearing,
        slope_rad=slope,
        tension_n=math.sqrt(fn * fn + fe * fe + fz * fz),
        hanging_n=hanging,
        out_m=out,
        height_m=height,
    )
