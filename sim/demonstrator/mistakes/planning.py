"""A. Mistakes of planning and reading."""

import math
from collections.abc import Callable, Generator
from dataclasses import replace

from sim.base.frames import bearing_rad, to_world
from sim.base.units import rad
from sim.core import events as ev
from sim.core.orders import commands as cmd
from sim.core.orders.commands import Command
from sim.demonstrator.choosing import SCOPE, Other, Spot
from sim.demonstrator.mistakes.manner import Mistake, Mistaken, amends, chooses, leaves_out, plans
from sim.demonstrator.pilot import ACTOR
from sim.demonstrator.skipper import Steps

SAND, COVE, PRACTICE = "lantern-pool-2", "hazel-cove", "practice/"
WEED, SHALLOW, CABLE = (80.0, 6.0), (20.0, -132.0), (-112.0, -130.0)  # places in Hazel Cove, north and east


def _at(place: tuple[float, float], rode_m: float | None = None) -> "Change":
    def change(_self: Mistaken, spot: Spot) -> Spot:
        return replace(spot, drop_north_m=place[0], drop_east_m=place[1], rode_m=rode_m or spot.rode_m)

    return change


Change = Callable[[Mistaken, Spot], Spot]


def _below_the_keel(self: Mistaken, spot: Spot) -> Spot:
    boat, tide = self.brief.boat, self.brief.tide
    depth_m = spot.depth_m - boat.draught_m
    return replace(spot, depth_m=depth_m, rode_m=SCOPE * (depth_m + tide.rise_m + boat.roller_height_m))


def _from_the_water(self: Mistaken, spot: Spot) -> Spot:
    return replace(spot, rode_m=math.ceil(SCOPE * (spot.depth_m + self.brief.tide.rise_m)))


def _at_this_water(self: Mistaken, spot: Spot) -> Spot:
    return replace(spot, rode_m=math.ceil(SCOPE * (spot.depth_m + self.brief.boat.roller_height_m)))


def _by_habit(self: Mistaken, spot: Spot) -> Spot:
    height_m = spot.depth_m + self.brief.tide.rise_m + self.brief.boat.roller_height_m
    return replace(spot, rode_m=math.ceil(SCOPE * height_m))


def _in_the_seat(self: Mistaken, spot: Spot) -> Spot:
    seat = self.brief.anchorage.seat_m or (spot.drop_north_m, spot.drop_east_m)
    return replace(spot, drop_north_m=seat[0], drop_east_m=seat[1])


def _across_the_others(_self: Mistaken, plan: cmd.Plan) -> cmd.Plan:
    return replace(plan, lie_rad=plan.lie_rad - rad(45.0))


def close_to(number: int, away_m: float) -> "Change":
    """Return what drops a distance from another boat's bow, on the side where the spot was."""

    def change(self: Mistaken, spot: Spot) -> Spot:
        other = self.others[number - 1]
        dn, de = to_world(away_m, 0.0, bearing_rad(spot.drop_north_m - other.north_m, spot.drop_east_m - other.east_m))
        return replace(spot, drop_north_m=other.north_m + dn, drop_east_m=other.east_m + de)

    return change


def _beside(number: int, ahead_m: float, aside_m: float) -> "Change":
    """Return what drops ahead of another boat and to one side, as if she swung as one on chain does."""

    def change(self: Mistaken, spot: Spot) -> Spot:
        other = self.others[number - 1]
        dn, de = to_world(ahead_m, aside_m, spot.lie_rad)  # she sheers, but so she lies
        return replace(spot, drop_north_m=other.north_m + dn, drop_east_m=other.east_m + de)

    return change


class SoundsFirst(Mistaken):
    """Sounds round the spot before she drops in it all the same."""

    def _run_in(self) -> Steps:
        yield [cmd.SoundRound(actor=ACTOR, radius_m=25.0)]
        yield from super()._run_in()


class AsksNobody(Mistaken):
    """Ranges the others and supposes their rodes."""

    code = "A16"
    hails_after = True

    def _ask_about(self, number: int) -> Generator[list[Command], None, Other]:
        self.own_up()
        sighted = next(o for o in self.see.others if o.number == number)
        yield [cmd.TakeRange(actor=ACTOR, target=number)]
        found: ev.RangeTaken | None = None
        failed = 0
        while found is None:
            missed = sum(isinstance(e, ev.RangeFailed) and e.target == number for e in self.see.seen)
            again = [cmd.TakeRange(actor=ACTOR, target=number)] if missed > failed else []
            failed = missed
            for event in self.see.seen:
                if isinstance(event, ev.RangeTaken) and event.target == number:
                    found = event
            yield again + self._hold_off()
        dn, de = to_world(found.range_m, 0.0, found.bearing_rad)
        r = self.see.readings
        return Other(r.north_m + dn, r.east_m + de, sighted.heading_rad, sighted.loa_m, 35.0, sighted.rode_kind)

    def _settle(self) -> Steps:
        if self.hails_after:
            yield [cmd.Hail(actor=ACTOR, target=o.number) for o in self.see.others]
        yield from super()._settle()


class TriesNothing(Mistaken):
    """Comes in ahead all the way, without touching lever or windlass until she stops."""

    code = "A17"

    def amend(self, command: Command) -> Command | None:
        """Coast where a touch astern would slow her."""
        early = self.spot is None or self.from_drop()[0] > 25.0
        if isinstance(command, cmd.Engine) and command.lever < 0.0 and early:
            self.own_up()
            return replace(command, lever=0.0)
        return command


MISTAKES = (
    Mistake("A1", chooses("A1", _below_the_keel), SAND),
    Mistake("A2", chooses("A2", _from_the_water), SAND),
    Mistake("A3", chooses("A3", _at_this_water, plans("A3", high_water_m=0.0)), COVE),
    Mistake("A4", chooses("A4", _at(SHALLOW)), COVE),
    Mistake("A5", amends("A5", cmd.Plan, _across_the_others), COVE),
    Mistake("A6", chooses("A6", _at(WEED)), COVE),
    Mistake("A7", chooses("A7", _beside(1, 62.0, 30.0)), PRACTICE + "rope-and-mooring.yaml"),
    Mistake("A8", chooses("A8", _beside(2, 45.0, -22.0)), PRACTICE + "rope-and-mooring.yaml"),
    Mistake("A9", chooses("A9", _at(SHALLOW)), PRACTICE + "shift-and-seat.yaml"),
    Mistake("A10", plans("A10", escape_rad=0.0), SAND),
    Mistake("A11", chooses("A11", _at(WEED), SoundsFirst), COVE),
    Mistake("A12", chooses("A12", _at(CABLE)), COVE),
    Mistake("A13", chooses("A13", _in_the_seat), PRACTICE + "shift-and-seat.yaml"),
    Mistake("A14", leaves_out("A14", cmd.Plan), SAND),
    Mistake("A15", chooses("A15", _by_habit), PRACTICE + "squalls.yaml"),
    Mistake("A16", chooses("A16", close_to(1, 60.0), AsksNobody), COVE),
    Mistake("A17", TriesNothing, SAND),
)
