"""The exercise: world, timeline, instruments and foredeck, stepped together."""

from collections.abc import Sequence

from sim.base.units import TICK_HZ
from sim.core import state as st
from sim.core import step, watch
from sim.core import world as wd
from sim.core.events import Event
from sim.core.orders.commands import Command
from sim.helm.crew import Call, Crew
from sim.helm.instruments import Instruments, Readings
from sim.scenario.library import Lesson
from sim.scenario.read import script

_TIMELINE = "timeline:"


class Exercise:
    """One attempt at a lesson.

    Attributes:
        lesson: the lesson sailed.
        seed: the run's seed.
        world: the truth; trainee, demonstrator and crew never look into it.
        applied: the commands of the last tick, whoever gave them, in order.
        calls: everything the foredeck has said.
        events: everything that has happened.
    """

    def __init__(self, lesson: Lesson, seed: int, boat: str | None = None, *, timeline: bool = True) -> None:
        """Set up an attempt; a replay runs no timeline, for the recording holds its commands already."""
        lesson = lesson.on(seed)
        self.lesson = lesson
        self.seed = seed
        self.boat = boat or lesson.boat
        self.world = wd.build(lesson.world(seed, boat))
        self.instruments = Instruments(self.world)
        self.crew = Crew(self.world)
        self.applied: list[Command] = []
        self.calls: list[Call] = []
        self.events: list[Event] = []
        self._timeline = lesson.timeline if timeline else ()

    @property
    def tick(self) -> int:
        """Ticks since the start."""
        return self.world.state.tick

    @property
    def t_s(self) -> float:
        """Seconds since the start."""
        return self.tick / 60.0

    @property
    def over(self) -> bool:
        """Whether she has been reported secured, has left without anchoring, or the time is up."""
        return self.why != "closed"

    @property
    def stay_tick(self) -> int:
        """The tick at which the stay ends, on a whole step of the watch."""
        return round(self.lesson.brief.stay_s * TICK_HZ / watch.STEP_TICKS) * watch.STEP_TICKS

    @property
    def departing(self) -> bool:
        """Whether the stay is over and she is to weigh and leave."""
        return self.lesson.brief.departure_s is not None and self.tick >= self.stay_tick

    @property
    def departed(self) -> bool:
        """Whether she is gone, or the time to weigh and leave is up."""
        within_s = self.lesson.brief.departure_s or 0.0
        late = self.tick >= self.stay_tick + within_s * TICK_HZ
        return self.departing and (bool(self.world.state.clock[st.K_LEFT]) or late)

    @property
    def why(self) -> str:
        """Why it ends where it stands now: secured, left, limit (the time is up), or closed while it still runs."""
        clock = self.world.state.clock
        if clock[st.K_LEFT]:
            return "left"
        if clock[st.K_SECURED]:
            return "secured"
        return "limit" if self.t_s >= self.lesson.limit_s else "closed"

    def step(self, commands: Sequence[Command] = (), most: int = 1) -> list[Event]:
        """Let up to ``most`` ticks pass, or a step of the watch's clock, and return what happened.

        It ends early where something happens, where the foredeck or an instrument is to look, where the timeline is to
        be asked: what comes of a run does not depend on ``most``.
        """
        due = script.due(self._timeline, self.world.state) if self._timeline else []
        self.applied = [*(command for _, command in due), *commands]
        for command in self.applied:
            if command.actor.startswith(_TIMELINE):
                self.world.state.fired[int(command.actor.removeprefix(_TIMELINE))] = 1
        happened = step.advance(self.world, self.applied, self._most(most) if most > 1 else 1)
        self.instruments.step()
        if not watch.kept(self.world):  # nobody stands forward during the watch
            self.calls += self.crew.step(happened)
        self.events += happened
        return happened

    def _most(self, most: int) -> int:
        """Return how many ticks may pass, of so many, until somebody is to look."""
        tick = self.tick
        until = min(tick + most, self.crew.next_tick)
        if self._timeline:
            until = min(until, script.next_tick(self._timeline, self.world.state))
        return until - tick

    def rewind(self, saved: st.State) -> None:
        """Go back to where ``saved``, a snapshot of this run's state, was taken."""
        st.restore(self.world.state, saved)
        tick = saved.tick
        self.calls = [call for call in self.calls if call.tick <= tick]
        self.events = [event for event in self.events if event.tick < tick]
        self.applied = []

    def read(self) -> Readings:
        """Return what the displays show now."""
        return self.instruments.read()

    def state_hash(self) -> str:
        """Return 16 hex digits over every bit of the state."""
        return st.state_hash(self.world.state)
