"""Setting and proving: load built in steps of force, each held and watched, no more of it than the night may bring."""

import math

from sim.base.frames import to_world
from sim.base.units import TICK_HZ, mps
from sim.core.orders import commands as cmd
from sim.demonstrator import choosing
from sim.demonstrator.anchor_watch import AnchorWatch
from sim.demonstrator.pilot import ACTOR, HEAD_ON_SHARE, IDLE
from sim.demonstrator.skipper import Steps
from sim.helm.chartwork import QUALITIES
from sim.model.tackle.catenary import reach_on_bed_m, wind_load_n

SHARES = (0.1, 0.33, 0.66, 1.0)  # of the load to prove
HOLD_S, LAST_HOLD_S = 32.0, 45.0
MARGIN, MOST_SHARE = 1.1, 0.8  # over the worst gust's load; of her pull, the most she is asked for
EASED = 2  # times she is eased and loaded again at one step
LEAST_SHARE, LEAST_WIND_MPS = 0.45, mps(25.0)  # of her own pull, or what this wind asks: less is no set
SOAK_S, AGAIN_S = (
    600.0,
    240.0,
)  # so long soft ground is left, at first and when it gave way (common practice, 5 to 30 min)
LIE_S = 60.0  # it is left so long where no more chain can be given
TICK_OVER_SHARE = 0.12
FOR_NYLON_M = 4.5  # kept in the locker for a snubber
REMARK_M = 20.0  # reckoned so far off, an anchor is marked anew; a few degrees of yaw alone make ten metres
GATHERS_MPS, GATHERS_S = -0.2, 8.0
STEP_EVERY_S, LONGEST_STRAIGHTEN_S = 0.6, 45.0
BURST, BURST_MPS, BURST_OVER_S = 1.7, mps(8.0), 12.0  # over the wind of late: it pulls harder than any step (judgement)
BURST_LONGEST_S = 90.0
BEDS_S = 20.0  # an anchor that shifts for less than this beds in; one that goes on drags
SOFT = ("M", "Si")
ENOUGH = 0.6  # of the load to prove: with less she is lifted and laid again


def lever_for(share: float, idle_share: float) -> float:
    """Return the lever, 0 to 1, that gives a share of her full astern pull; tick-over at least.

    Pull grows about as the square of the revolutions, and those run from tick-over, ``idle_share``, to all there are.

    >>> round(lever_for(1.0, 0.32), 2), round(lever_for(0.42, 0.32), 2)
    (1.0, 0.48)
    """
    return min(max((math.sqrt(max(share, 0.0)) - idle_share) / (1.0 - idle_share), IDLE), 1.0)


class Proving(AnchorWatch):
    """The part of the manoeuvre from brought up to proved.

    Attributes:
        steps: levers of rising force; worked out from forecast and engine where empty.
        hold_s: how long each is held; ``last_hold_s`` the last.
        step_every_s: from one small movement of the lever to the next.
        patient: whether she lets the chain stop her before more is asked.
        holds: whether the anchor has taken what was asked of it.
    """

    steps: tuple[float, ...] = ()
    hold_s, last_hold_s = HOLD_S, LAST_HOLD_S
    step_every_s = STEP_EVERY_S
    patient = holds = True

    def proof_share(self) -> float:
        """Return the share of her astern pull that makes up the worst gust's load and a little more.

        The wind that blows pulls on the anchor already.
        """
        b = self.brief
        pull_n, loa_m = b.boat.astern_pull_n, b.boat.loa_m
        gust_n = MARGIN * wind_load_n(loa_m, choosing.worst_gust_mps(b))
        blows_n = HEAD_ON_SHARE * wind_load_n(loa_m, self.wind_mps())
        least_n = min(LEAST_SHARE * pull_n, wind_load_n(loa_m, LEAST_WIND_MPS))
        return min(max((max(gust_n, least_n) - blows_n) / pull_n, TICK_OVER_SHARE), MOST_SHARE)

    def levers_to_prove(self) -> tuple[float, ...]:
        """Return the levers of the steps, tick-over first."""
        share, idle_share = self.proof_share(), self.brief.boat.idle_share
        return self.steps or (IDLE, *(lever_for(share * part, idle_share) for part in SHARES[1:]))

    def _soak(self) -> Steps:
        """Leave an anchor in soft ground alone for a while, before anything pulls on it."""
        if self._soft():
            self.say("soak", minutes=round(SOAK_S / 60.0))
            yield from self._watch(SOAK_S)

    def _soft(self) -> bool:
        return any(letters.strip(QUALITIES) in SOFT for letters in self.ground().split(".")[:1])

    def ground(self) -> str:
        """Return the letters of the ground at the drop, as charted."""
        return self.chart.letters(self.plan.drop_north_m, self.plan.drop_east_m)

    def _set_by_steps(self) -> Steps:
        """Build the load in steps, each proved before the next by a transit, the foredeck's foot and the trend."""
        abeam = (self.see.readings.heading_rad + 0.5 * math.pi) % (2.0 * math.pi)
        self.say("transit")
        yield [cmd.TakeTransit(actor=ACTOR, bearing_rad=round(abeam, 3))]
        levers = self.levers_to_prove()
        proved = -1
        for k, lever in enumerate(levers):
            self.say(f"step_{min(k, 2) + 1 if k < len(levers) - 1 else 4}")
            hold_s = self.last_hold_s if k == len(levers) - 1 else self.hold_s
            yield from self._mind()
            yield self._look_round()
            told = len(self.see.calls)
            yield from self._step_astern(lever, hold_s)
            for _ in range(EASED):
                if not self._dragging(told):
                    break
                yield from self._more_chain()
                told = len(self.see.calls)
                yield from self._step_astern(lever, hold_s)
            if self._dragging(told):
                break
            proved = k
        all_of_it = proved == len(levers) - 1
        self.holds = all_of_it or (proved >= 0 and SHARES[min(proved, len(SHARES) - 1)] >= ENOUGH)
        if self.holds:
            self._mark_anew()
        self.say("proved" if all_of_it else "proved_less" if self.holds else "comes_home")
        for lever in (0.5, IDLE, 0.0):
            if lever < abs(min(self.see.readings.levers)):
                yield self.pilot.levers(-lever)
                yield from self.wait(4.0)

    def _mark_anew(self) -> None:
        """Take the anchor's place from the way a straight chain leads, if it is not where it went down."""
        height_m = self.depth_m + self.brief.boat.roller_height_m
        reach_m = reach_on_bed_m(max(self.out_m, height_m), height_m)
        leads_rad = self.see.arm.bearing_rad if self.see.arm is not None else 0.0
        ahead_n, ahead_e = to_world(reach_m, 0.0, self.see.readings.heading_rad + leads_rad)
        bow_n, bow_e = self.pilot.bow()
        moved_m = math.hypot(bow_n + ahead_n - self.mark_m[0], bow_e + ahead_e - self.mark_m[1])
        if moved_m > REMARK_M:
            self.mark_m = (bow_n + ahead_n, bow_e + ahead_e)
            self.say("moved", moved_m=round(moved_m))

    def _dragging(self, since: int, for_s: float = 0.0) -> bool:
        """Return whether the foredeck's last word on it, since a call and so long ago, is that the anchor drags."""
        words = [call for call in self.see.calls[since:] if call.key in ("dragging", "holding")]
        return bool(words) and words[-1].key == "dragging" and self.t_s >= words[-1].tick / TICK_HZ + for_s

    def _more_chain(self) -> Steps:
        """Ease her, veer a depth and a half more, and let it straighten before the load goes on again."""
        spare = self.brief.boat.rode_m - FOR_NYLON_M - self.out_m
        if spare < 0.5 * self.depth_m:
            self.say("no_more_chain")
            yield self.pilot.levers(0.0)
            yield from self.wait(LIE_S if self._soft() else 20.0)
            return
        more = self.out_m + min(1.5 * self.depth_m, spare)
        self.say("more_chain", out_m=round(more))
        yield [*self.pilot.levers(0.0), cmd.Stopper(actor=ACTOR, on=False), cmd.Windlass(actor=ACTOR, motion=1)]
        began = self.t_s
        while self.out_m < more and self.t_s < began + 60.0:
            yield []
        yield [cmd.Windlass(actor=ACTOR, motion=0), cmd.Stopper(actor=ACTOR, on=True)]
        yield from self.wait(AGAIN_S if self._soft() else 20.0)

    def _bursts(self) -> bool:
        """Return whether it blows far harder now than of late, as off high ground."""
        now = sum(self._blown[-5:]) / max(len(self._blown[-5:]), 1)
        return now > max(BURST * self.wind_mps(), self.wind_mps() + BURST_MPS)

    def _ride_out(self, lever: float) -> Steps:
        """Take the engine off in a burst: the wind does the pulling, and both together prove nothing but a drag."""
        self.say("burst")
        yield self.pilot.levers(0.0)
        began = calm = self.t_s
        while self.t_s < calm + BURST_OVER_S and self.t_s < began + BURST_LONGEST_S:
            if self._bursts():
                calm = self.t_s
            yield []
        yield from self._straighten()
        yield from self._by_degrees(lever)

    def _by_degrees(self, lever: float) -> Steps:
        """Bring the lever back to ``lever`` astern, a little at a time."""
        now, told = max(abs(min(self.see.readings.levers)), IDLE), len(self.see.calls)
        while now < lever - 1e-6 and not (self.patient and self._dragging(told, BEDS_S)):
            now = min(now + 0.03, lever)
            yield self.pilot.levers(-now) + self.pilot.helm(0.0)
            yield from self.wait(self.step_every_s)
            began = self.t_s
            while (
                self.patient and self.pilot.way_mps < GATHERS_MPS and self.t_s < began + GATHERS_S
            ):  # let the chain stop her first
                yield []

    def _straighten(self) -> Steps:
        """Draw the chain straight at tick-over and let her stop on it: with way on, more would only be a jerk."""
        yield self.pilot.levers(-IDLE) + self.pilot.helm(0.0)
        began = still = self.t_s
        while self.t_s < still + 4.0 and self.t_s < began + LONGEST_STRAIGHTEN_S:
            if self.t_s < began + 8.0 or abs(self.pilot.way_mps) > 0.1:
                still = self.t_s
            yield []

    def _step_astern(self, lever: float, hold_s: float) -> Steps:
        """Bring the lever back by degrees to ``lever`` astern, wait for her to settle, and hold it there.

        A shift of a metre or two beds an anchor; one that goes on is dragging, and the power comes off.
        """
        told = len(self.see.calls)
        if abs(min(self.see.readings.levers)) < IDLE:
            yield from self._straighten()
        yield from self._by_degrees(lever)
        began = self.t_s
        asked = False
        while self.t_s < began + hold_s or abs(self.pilot.way_mps) > 0.12 or self._dragging(told):
            if self._dragging(told, BEDS_S):
                break
            if self.t_s > began + 3.0 * hold_s:
                break
            if self._bursts():
                yield from self._ride_out(lever)
                began, told, asked = self.t_s, len(self.see.calls), False
            if not asked and self.t_s > began + 0.6 * hold_s:
                asked = True
                yield [cmd.AskCrew(actor=ACTOR)]
            yield []
