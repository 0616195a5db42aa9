"""How a mistake is made: the demonstrator's own steps, with one order left out, changed, or one step done wrongly."""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from sim.core.orders import commands as cmd
from sim.core.orders.commands import Command
from sim.demonstrator.choosing import Spot
from sim.demonstrator.demonstrator import Demonstrator
from sim.demonstrator.skipper import Said, Skipper, Steps
from sim.helm.view import View


class Mistaken(Demonstrator):
    """A demonstrator who makes one mistake and says so.

    Attributes:
        code: of the error, in the catalogue of typical errors.
    """

    code = ""
    calls_off = False

    def manoeuvre(self) -> Steps:
        """Anchor her once, as the mistake has it, wherever it was decided and however it holds."""
        yield from self._read_the_bay()
        yield from self._anchor()
        yield from self._take_the_load()
        yield from self._settle()

    def _past_m(self) -> float:
        """Return how far the bow is to windward of the anchor's mark, - to leeward."""
        bow_n, bow_e = self.pilot.bow()
        dn, de = bow_n - self.mark_m[0], bow_e - self.mark_m[1]
        return dn * math.cos(self.plan.lie_rad) + de * math.sin(self.plan.lie_rad)

    def own_up(self) -> None:
        """Say once what is being done wrongly."""
        key = f"mistakes.{self.code}"
        if all(line.key != key for line in self.said):
            self.said.append(Said(round(self.t_s, 1), key))

    def amend(self, command: Command) -> Command | None:
        """Return what is ordered instead of ``command``; None for nothing."""
        return command

    def decide(self, view: View) -> list[Command]:
        """Return the commands of this moment, amended."""
        return [c for ordered in super().decide(view) if (c := self.amend(ordered)) is not None]


@dataclass(frozen=True)
class Mistake:
    """A canned bad run: whose hands, and where it shows best.

    Attributes:
        code: of the error.
        kind: the skipper who makes it.
        lesson: a lesson in which it shows, by name, or by file within the library.
        any_boat: it shows in other boats than the lesson's own; a screw in rope wants rope.
    """

    code: str
    kind: type[Skipper]
    lesson: str
    any_boat: bool = True


def leaves_out(code: str, *kinds: type[Command], when: Callable[[Any], bool] = lambda _c: True) -> type[Mistaken]:
    """Return a demonstrator who leaves out orders of some kinds, where ``when`` says so."""

    def amend(self: Mistaken, command: Command) -> Command | None:
        if isinstance(command, kinds) and when(command):
            self.own_up()
            return None
        return command

    return type(f"LeavesOut{code}", (Mistaken,), {"code": code, "amend": amend})


def amends(code: str, kind: type[Command], change: Callable[[Mistaken, Any], Command]) -> type[Mistaken]:
    """Return a demonstrator who gives orders of one kind wrongly."""

    def amend(self: Mistaken, command: Command) -> Command | None:
        if isinstance(command, kind):
            self.own_up()
            return change(self, command)
        return command

    return type(f"Amends{code}", (Mistaken,), {"code": code, "amend": amend})


def plans(code: str, **wrong: float | str) -> type[Mistaken]:
    """Return a demonstrator whose plan has these entries instead of the right ones."""
    return amends(code, cmd.Plan, lambda _self, plan: replace(plan, **wrong))


def chooses(code: str, change: Callable[[Mistaken, Spot], Spot], base: type[Mistaken] = Mistaken) -> type[Mistaken]:
    """Return a demonstrator who chooses another spot than she should."""

    def choose(self: Mistaken, lie_rad: float, tide_m: float) -> Spot:
        self.own_up()
        return change(self, Demonstrator._choose(self, lie_rad, tide_m))

    return type(f"Chooses{code}", (base,), {"code": code, "_choose": choose})
