"""E. Mistakes of riding and watch."""

from dataclasses import replace

from sim.core.orders import commands as cmd
from sim.demonstrator.mistakes.manner import Mistake, Mistaken, amends, chooses, leaves_out
from sim.demonstrator.mistakes.planning import AsksNobody, close_to
from sim.demonstrator.pilot import ACTOR
from sim.demonstrator.skipper import Steps

SAND, COVE, PRACTICE = "lantern-pool-2", "hazel-cove", "practice/"


class NoSnubber(Mistaken):
    """Leaves her on the stopper."""

    code = "E1"

    def _take_the_load(self) -> Steps:
        self.own_up()
        yield from self.wait(8.0)


class OnTheWindlass(Mistaken):
    """Leaves her on the windlass."""

    code = "E2"

    def _take_the_load(self) -> Steps:
        self.own_up()
        yield from self.wait(20.0)
        yield [cmd.Stopper(actor=ACTOR, on=False)]


class HooksUnderLoad(Mistaken):
    """Hooks on with the engine still pulling."""

    code = "E12"

    def _set_by_steps(self) -> Steps:
        yield from super()._set_by_steps()
        self.own_up()
        yield from self._step_astern(0.6, 12.0)
        yield [cmd.Snubber(actor=ACTOR, on=True)]
        yield self.pilot.levers(0.0)

    def amend(self, command: cmd.Command) -> cmd.Command | None:
        """Order the snubber once."""
        hooked = self.see.handling.hooked
        return None if isinstance(command, cmd.Snubber) and command.on and hooked else command


class LeavesAtOnce(Mistaken):
    """Reports her secured as soon as the alarm is set."""

    code = "E8"
    watch_s = 8.0

    def _settle(self) -> Steps:
        self.own_up()
        yield from super()._settle()


class LooksAtNothing(Mistaken):
    """Stays aboard below, while it grows outside.

    Attributes:
        watch_s: long enough for what the lesson brings.
    """

    code = "E9"
    watch_s = 420.0

    def _settle(self) -> Steps:
        self.own_up()
        yield from super()._settle()


class LooksOnce(LooksAtNothing):
    """Ranges a boat to windward once, and never again."""

    code = "E11"
    looks = False


class NeverSpeaks(AsksNobody):
    """Anchors near another boat and never says a word to her."""

    code = "E10"
    hails_after = False


class SleepsOn(Mistaken):
    """Sets the alarm too tight, and does not stir when it rings."""

    code = "E13"

    def amend(self, command: cmd.Command) -> cmd.Command | None:
        """Set the alarm at a few metres."""
        if isinstance(command, cmd.SetAlarm):
            self.own_up()
            return replace(command, radius_m=15.0)
        return command


def _on_the_boat(self: Mistaken, alarm: cmd.SetAlarm) -> cmd.SetAlarm:
    r = self.see.readings
    return replace(alarm, north_m=round(r.north_m, 1), east_m=round(r.east_m, 1))


def _without_the_antenna(self: Mistaken, alarm: cmd.SetAlarm) -> cmd.SetAlarm:
    return replace(alarm, radius_m=alarm.radius_m - (self.brief.boat.roller_x_m - self.brief.boat.antenna_x_m))


MISTAKES = (
    Mistake("E1", NoSnubber, SAND),
    Mistake("E2", OnTheWindlass, SAND),
    Mistake("E3", amends("E3", cmd.Snubber, lambda _self, order: replace(order, length_m=1.5)), SAND),
    Mistake("E4", amends("E4", cmd.SetAlarm, _on_the_boat), SAND),
    Mistake("E5", amends("E5", cmd.SetAlarm, lambda _self, order: replace(order, radius_m=120.0)), SAND),
    Mistake("E6", amends("E6", cmd.SetAlarm, _without_the_antenna), SAND),
    Mistake("E7", leaves_out("E7", cmd.Lights), SAND),
    Mistake("E8", LeavesAtOnce, SAND),
    Mistake("E9", LooksAtNothing, PRACTICE + "rising-wind.yaml"),
    Mistake("E10", chooses("E10", close_to(1, 22.0), NeverSpeaks), COVE),
    Mistake("E11", LooksOnce, PRACTICE + "one-drags.yaml"),
    Mistake("E12", HooksUnderLoad, SAND),
    Mistake("E13", SleepsOn, SAND),
)
