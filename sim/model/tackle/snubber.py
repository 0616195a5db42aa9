"""A nylon snubber or one leg of a bridle."""

from sim.base.kernel import kernel


@kernel
def nylon(length_m: float, rest_m: float, ea_n: float) -> tuple[float, float]:
    """Return (tension [N], stiffness [N/m]) of a nylon line stretched to ``length_m``.

    Tension only. Stiffens with stretch: T = EA (0.5 e + 2.5 e^2), which meets the linear equivalent EA e at a fifth
    stretch (the working range of the linear stiffness in UFC 4-159-03, Table 6-8; the shape is judgement).

    Args:
        length_m: distance between its ends, >= 0.
        rest_m: unstretched length, > 0.
        ea_n: linear equivalent stiffness [N].
    """
    stretch = length_m / rest_m - 1.0
    if stretch <= 0.0:
        return 0.0, 0.0
    return ea_n * stretch * (0.5 + 2.5 * stretch), ea_n * (0.5 + 5.0 * stretch) / rest_m
