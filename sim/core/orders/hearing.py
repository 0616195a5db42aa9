"""Orders that the foredeck does not catch: asked back, or carried out as they were heard, once.

What is misheard is what sounds alike (common practice, no source): heave for veer, thirteen for thirty.
"""

import dataclasses

from sim.core import events as ev
from sim.core import state as st
from sim.core.orders import commands as cmd
from sim.core.world import World

ASKED_BACK, MISHEARD = 1.0, 2.0
SOUNDS_LIKE_M = {30.0: 13.0, 40.0: 14.0, 50.0: 15.0, 60.0: 16.0}
ELSE_M = 10.0  # forty-five for thirty-five: as much less is heard where nothing sounds alike


def as_heard(world: World, command: cmd.Command) -> tuple[cmd.Command | None, list[ev.Event]]:
    """Return the order that the foredeck carries out, None where it asks back, and what that makes happen.

    Only orders by word of mouth are misheard: the windlass, and the length to stop at.
    """
    s = world.state
    ears = float(s.faults[st.FAULT_EARS])
    if ears == 0.0 or not _is_spoken(command):
        return command, []
    s.faults[st.FAULT_EARS] = 0.0
    what = "windlass" if isinstance(command, cmd.Windlass) else "preset_length"
    if ears == ASKED_BACK:
        return None, [ev.OrderAskedBack(tick=s.tick, what=what)]
    if isinstance(command, cmd.Windlass):
        heard = dataclasses.replace(command, motion=-command.motion)
        return heard, [ev.OrderMisheard(tick=s.tick, what=what, heard=float(heard.motion))]
    assert isinstance(command, cmd.PresetLength)
    length_m = SOUNDS_LIKE_M.get(command.length_m, max(command.length_m - ELSE_M, 5.0))
    return dataclasses.replace(command, length_m=length_m), [ev.OrderMisheard(tick=s.tick, what=what, heard=length_m)]


def _is_spoken(command: cmd.Command) -> bool:
    if isinstance(command, cmd.Windlass):
        return command.motion != 0
    return isinstance(command, cmd.PresetLength) and command.length_m > 0.0
