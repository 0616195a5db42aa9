"""What a lesson grants beyond a view: places on the plan, chain on the ground, the truth about the anchor.

Everything here is truth. It is handed out aid by aid, as the lesson names them, and what is not granted is not there.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

from sim.base.arrays import FloatArray
from sim.base.frames import to_world
from sim.core.mesh import segment_m
from sim.core.world import World, tide_m
from sim.helm.exercise import Exercise
from sim.helm.lead import look
from sim.helm.sight import in_sight
from sim.model import layout as lay
from sim.model.params import Particulars
from sim.model.tackle.catenary import reach_on_bed_m
from sim.model.water.water import charted_depth_m
from sim.scenario.library import Lesson

TOUCHING_M = 0.05  # a node so near the bed lies on it
BED_STEP_M = 2.0


@dataclass(frozen=True)
class Shape:
    """What a boat looks like from afar: length, beam, one hull or two."""

    loa_m: float
    beam_m: float
    hulls: int

    @classmethod
    def of(cls, p: Particulars) -> "Shape":
        """Return the shape of a boat."""
        return cls(p.loa_m, p.beam_m, p.hulls)


@dataclass(frozen=True)
class Pose:
    """Where a boat is and how she heads."""

    north_m: float
    east_m: float
    heading_rad: float


@dataclass(frozen=True)
class Swing:
    """An anchor and the circle her stern can reach from it."""

    north_m: float
    east_m: float
    radius_m: float


@dataclass(frozen=True)
class Anchor:
    """The truth about the anchor.

    Attributes:
        north_m: its place, north; ``east_m`` likewise.
        shank_rad: the direction from it towards the pull.
        attitude: a key of the word list.
        burial: 0 to 1.
        drag_m: how far it was dragged since it touched.
        pull_n: horizontal pull at its shackle.
        lying_m: length of chain that lies between it and where the chain lifts.
        lying_nodes: how many nodes beyond the anchor lie there.
    """

    north_m: float
    east_m: float
    shank_rad: float
    attitude: str
    burial: float
    drag_m: float
    pull_n: float
    lying_m: float
    lying_nodes: int


@dataclass(frozen=True)
class Section:
    """The water cut along the chain: distances aft of the anchor, heights above chart datum [m]."""

    chain_m: tuple[tuple[float, float], ...]
    bed_m: tuple[tuple[float, float], ...]
    surface_m: float
    roller_m: tuple[float, float]


@dataclass(frozen=True)
class Aids:
    """What is granted at a moment; empty or None where it is not.

    Attributes:
        own: the own boat: whoever is aboard sees where she is.
        roller_m: the bow roller, north and east.
        others: the places of the other boats in sight, in the view's order, with ``ranges`` or ``circles``.
        ranges_m: distance to each of them, with ``ranges``.
        swings: their swing, with ``circles``; ``own_swing`` likewise.
        chain_m: the chain from the anchor up, with ``chain``.
        section: the side view, with ``side_view``.
        anchor: with ``chain``, ``side_view`` or ``truth``.
        truth: whether its figures may be told, with ``truth``.
    """

    own: Pose
    roller_m: tuple[float, float]
    others: tuple[Pose, ...] = ()
    ranges_m: tuple[float, ...] = ()
    swings: tuple[Swing, ...] = ()
    own_swing: Swing | None = None
    chain_m: tuple[tuple[float, float], ...] = ()
    section: Section | None = None
    anchor: Anchor | None = None
    truth: bool = False


def charted_depths(lesson: Lesson) -> tuple[FloatArray, FloatArray]:
    """Return raster and depths below datum as interpolated from the chart's figures; see ``params.Bay``."""
    bay = lesson.world(0).bay
    return bay.raster, bay.depth_m


class Granted:
    """Hands out the aids of one exercise."""

    def __init__(self, exercise: Exercise, aids: Iterable[str]) -> None:
        """Grant ``aids``, names of the lesson's list."""
        self.exercise = exercise
        self.aids = frozenset(aids)
        world = exercise.world
        boats = (world.params.boat, *(n.boat for n in world.params.neighbours))
        self.shapes = tuple(Shape.of(b.particulars) for b in boats)

    def moved(self, aids: Aids) -> Aids:
        """Return ``aids`` with the own boat where she is now, and nothing else looked at."""
        own = _pose(self.exercise.world, 0)
        rx, ry = to_world(self.exercise.world.params.boat.particulars.roller_x_m, 0.0, own.heading_rad)
        return replace(aids, own=own, roller_m=(own.north_m + rx, own.east_m + ry))

    def now(self) -> Aids:
        """Return what is granted now."""
        world, aids = self.exercise.world, self.aids
        own = _pose(world, 0)
        others = tuple(_pose(world, i) for i in in_sight(world)) if aids & {"ranges", "circles"} else ()
        anchor = _anchor(world) if aids & {"chain", "side_view", "truth"} else None
        rx, ry = to_world(world.params.boat.particulars.roller_x_m, 0.0, own.heading_rad)
        return Aids(
            own=own,
            roller_m=(own.north_m + rx, own.east_m + ry),
            others=others,
            ranges_m=tuple(math.hypot(o.north_m - own.north_m, o.east_m - own.east_m) for o in others)
            if "ranges" in aids
            else (),
            swings=_swings(world) if "circles" in aids else (),
            own_swing=_own_swing(world) if "circles" in aids else None,
            chain_m=_chain(world) if "chain" in aids else (),
            section=_section(world) if "side_view" in aids else None,
            anchor=anchor,
            truth="truth" in aids,
        )


def _pose(world: World, boat: int) -> Pose:
    row = world.state.boats[boat]
    return Pose(float(row[lay.B_NORTH]), float(row[lay.B_EAST]), float(row[lay.B_HEADING]))


def _nodes(world: World) -> list[list[float]]:
    count = int(world.state.lines[0, lay.L_COUNT])
    nodes: list[list[float]] = world.state.nodes[0, :count, : lay.N_Z + 1].tolist()
    return nodes


def _chain(world: World) -> tuple[tuple[float, float], ...]:
    return tuple((n, e) for n, e, _ in _nodes(world))


def _swings(world: World) -> tuple[Swing, ...]:
    """Return the swing of each boat in sight about where her anchor is; of one under way none, where she is."""
    out = []
    for i in in_sight(world):
        n, row, rode = world.params.neighbours[i - 1], world.state.boats[i], world.state.fleet[i]
        if rode[lay.Q_STATE] != lay.LIES:
            out.append(Swing(float(row[lay.B_NORTH]), float(row[lay.B_EAST]), 0.0))
            continue
        height = float(row[lay.B_DEPTH]) + n.roller_height_m
        reach = reach_on_bed_m(n.rode_m, height)
        place = float(rode[lay.Q_ANCHOR_N]), float(rode[lay.Q_ANCHOR_E])
        out.append(Swing(*place, reach + n.boat.particulars.loa_m))
    return tuple(out)


def _own_swing(world: World) -> Swing | None:
    anchor = world.state.anchors[0]
    lead = look(world)
    if lead is None or anchor[lay.A_ATTITUDE] <= lay.HANGING:
        return None
    node = world.state.nodes[0, 0]
    radius = reach_on_bed_m(max(lead.out_m, lead.height_m), lead.height_m) + world.params.boat.particulars.loa_m
    return Swing(float(node[lay.N_NORTH]), float(node[lay.N_EAST]), radius)


def _anchor(world: World) -> Anchor | None:
    nodes = _nodes(world)
    if len(nodes) < 2:
        return None
    a = world.state.anchors[0]
    lying = 0
    bay = world.params.bay
    for n, e, z in nodes[1:]:
        if z > TOUCHING_M - charted_depth_m(n, e, bay.raster, bay.depth_m):
            break
        lying += 1
    return Anchor(
        north_m=nodes[0][0],
        east_m=nodes[0][1],
        shank_rad=float(a[lay.A_SHANK]),
        attitude=lay.ATTITUDES[int(a[lay.A_ATTITUDE])],
        burial=float(a[lay.A_BURIAL]),
        drag_m=float(a[lay.A_DRAG]),
        pull_n=float(a[lay.A_LOAD]),
        lying_m=lying * segment_m(world, 0),
        lying_nodes=lying,
    )


def _section(world: World) -> Section | None:
    nodes = _nodes(world)
    own = _pose(world, 0)
    if len(nodes) < 2:
        return None
    (an, ae, _), (rn, re, rz) = nodes[0], nodes[-1]
    length = math.hypot(rn - an, re - ae)
    if length > 1.0:
        along = (rn - an) / length, (re - ae) / length
    else:  # straight up and down: cut along her heading
        along = -math.cos(own.heading_rad), -math.sin(own.heading_rad)
    bay = world.params.bay
    chain = tuple(((n - an) * along[0] + (e - ae) * along[1], z) for n, e, z in nodes)
    first = min(x for x, _ in chain) - 8.0
    steps = int((length + world.params.boat.particulars.loa_m + 24.0 - first) / BED_STEP_M)
    bed = []
    for k in range(steps + 1):
        x = first + k * BED_STEP_M
        bed.append((x, -charted_depth_m(an + x * along[0], ae + x * along[1], bay.raster, bay.depth_m)))
    return Section(chain, tuple(bed), tide_m(world), (chain[-1][0], rz))
