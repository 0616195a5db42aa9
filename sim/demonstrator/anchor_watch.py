"""Looking after the others once the anchor is down: whoever lies to windward is ranged again and again.

One range is a number, two are a trend. A boat that comes down the wind drags, and she is given room first of all.
"""

import math
from dataclasses import dataclass

from sim.base.frames import to_body, to_world, wrap_pi
from sim.base.units import rad
from sim.core import events as ev
from sim.core.orders import commands as cmd
from sim.core.orders.commands import Command
from sim.demonstrator.pilot import ACTOR
from sim.demonstrator.skipper import Skipper, Steps

LOOK_S, LOOK_SOON_S = 75.0, 30.0  # between two looks (judgement; five minutes in the calm is common practice)
WINDWARD_RAD, FAR_LOA, LOOKED_AT = rad(60.0), 14.0, 2
COMES_M, GOES_ON_M = 12.0, 3.0  # down the wind, in all and between looks: one who holds swings less (judgement)
IN_THE_WAY_LOA, PAST_LOA = 3.0, 1.0  # to either side of her track; down the wind of her
SHEER_RAD, SHEER_LEVER, LONGEST_S = rad(35.0), 0.15, 420.0
CHAIN_LEFT = 0.6  # of the rode's length from the mark: nearer, the chain would lead under her


@dataclass(frozen=True, order=True)
class Coming:
    """A boat that drags this way: metres to windward of her now, to starboard, come down the wind; her number."""

    ahead_m: float
    side_m: float
    came_m: float
    number: int


class AnchorWatch(Skipper):
    """The part of a skipper that looks at the boats to windward.

    Attributes:
        looks: whether they are ranged again at all.
    """

    looks = True
    _looked_s, _cleared_s, _known = -999.0, -999.0, 0

    def placed(self, event: ev.RangeTaken) -> tuple[float, float]:
        """Return where a range and bearing put what was ranged, by her own fix."""
        r = self.see.readings
        dn, de = to_world(event.range_m, 0.0, event.bearing_rad)
        ahead, side = to_world(self.brief.boat.antenna_x_m, 0.0, r.heading_rad)
        return r.north_m - ahead + dn, r.east_m - side + de

    def _look_round(self, every_s: float = LOOK_S) -> list[Command]:
        """Note the ranges that have come; order the next, where they are due, of the nearest boats to windward."""
        news = self.see.seen[self._known :] if self._known else ()  # what was ranged before is no trend
        self._known = len(self.see.seen)
        for event in news:
            if isinstance(event, ev.RangeTaken):
                self.trends.setdefault(event.target, []).append(self.placed(event))
        if not self.looks or self.t_s < self._looked_s + every_s:
            return []
        self._looked_s = self.t_s
        wind = self.wind_from()
        near = [
            (o.judged_m, o.number)
            for o in self.see.others
            if abs(wrap_pi(o.bearing_rad - wind)) < WINDWARD_RAD and o.judged_m < FAR_LOA * o.loa_m
        ]
        return [cmd.TakeRange(actor=ACTOR, target=number) for _, number in sorted(near)[:LOOKED_AT]]

    def coming(self) -> Coming | None:
        """Return the nearest boat to windward that drags towards her, None where there is none."""
        r, wind = self.see.readings, self.wind_from()
        found = []
        for number, places in self.trends.items():
            if len(places) < 2:
                continue
            (n0, e0), (n1, e1), (n2, e2) = places[0], places[-2], places[-1]
            came, _ = to_body(n0 - n2, e0 - e2, wind)
            of_late, _ = to_body(n1 - n2, e1 - e2, wind)
            ahead, side = to_body(n2 - r.north_m, e2 - r.east_m, wind)
            if came > COMES_M and of_late > GOES_ON_M and ahead > -PAST_LOA * self.brief.boat.loa_m:
                found.append(Coming(ahead, side, came, number))
        return min(found, default=None)

    def _watch(self, seconds: float) -> Steps:
        """Let time pass with an eye on the others, all of it again after somebody has come down on her."""
        longest = self.t_s + seconds + 2.0 * LONGEST_S
        until = self.t_s + seconds
        while self.t_s < until - 1e-9:
            before = self.t_s
            yield from self._mind()
            yield self._look_round()
            if self.t_s < longest and (self.t_s > before + LOOK_SOON_S or self.coming() is not None):
                until = self.t_s + seconds
        if self.t_s < self._cleared_s + seconds:
            yield from self.wait(seconds)

    def _mind(self) -> Steps:
        """Stand clear where one who drags is coming straight at her."""
        boat = self.coming()
        if boat is not None and abs(boat.side_m) < IN_THE_WAY_LOA * self.brief.boat.loa_m:
            yield from self._stand_clear(boat)

    def _stand_clear(self, boat: Coming) -> Steps:
        """Engine first: sheer out of the way of one who drags, and stay there until she has stopped or is past."""
        name = next((o.name for o in self.see.others if o.number == boat.number), "")
        self.say("she_drags", name=name, came_m=round(boat.came_m), ahead_m=round(boat.ahead_m))
        away = -math.copysign(SHEER_RAD, boat.side_m)
        began = self.t_s
        yield [cmd.Hail(actor=ACTOR, target=boat.number)]
        while self.coming() is not None and self.t_s < began + LONGEST_S:
            lever = SHEER_LEVER if self.from_mark_m() > CHAIN_LEFT * self.out_m else 0.0
            yield self.pilot.twist(self.wind_from() + away, lever) + self._look_round(LOOK_SOON_S)
        self._cleared_s = self.t_s
        self.say("she_is_past")
        yield self.pilot.levers(0.0) + self.pilot.helm(0.0)
