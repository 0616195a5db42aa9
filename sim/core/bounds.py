"""Is it still a boat? What no longer can be stops the run and is named."""

from sim.base.arrays import FloatArray
from sim.base.kernel import kernel
from sim.core.state import State
from sim.model import layout as lay

FASTEST_MPS = 30.0  # nothing here moves faster: beyond it the numbers have come apart


@kernel
def first_bad(boats: FloatArray, nodes: FloatArray, lines: FloatArray) -> int:
    """Return where the state is no longer physical: -1 nowhere, 100 + boat, 1000 + rode."""
    for i in range(boats.shape[0]):
        speed = abs(boats[i, lay.B_SURGE]) + abs(boats[i, lay.B_SWAY]) + abs(boats[i, lay.B_YAW_RATE])
        if not speed < FASTEST_MPS or not abs(boats[i, lay.B_NORTH] + boats[i, lay.B_EAST]) < 1e7:
            return 100 + i
    for k in range(lines.shape[0]):
        for i in range(int(lines[k, lay.L_COUNT])):
            speed = abs(nodes[k, i, lay.N_VN]) + abs(nodes[k, i, lay.N_VE]) + abs(nodes[k, i, lay.N_VZ])
            if not speed < 4.0 * FASTEST_MPS or not abs(nodes[k, i, lay.N_Z]) < 1e5:
                return 1000 + k
    return -1


def name_of(where: int, state: State) -> tuple[str, float]:
    """Return what ``first_bad`` found, by name, and a figure of it that tells how bad it is."""
    if where >= 1000:
        return f"rode {where - 1000}", float(state.lines[where - 1000, lay.L_TENSION])
    return f"boat {where - 100}", float(state.boats[where - 100, lay.B_SURGE])
