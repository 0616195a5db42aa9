"""A nylon snubber or one leg of a bridle: stretch, and what lags behind it.

Nylon pulled quickly is stiffer than nylon pulled slowly, and gives back less than it took. A spring beside a spring
with a dashpot has both: between slow and quick the stiffness grows by ``QUICK``, and a cycle loses most near its own
time. Source of the form: a nonlinear spring and dashpot with static and dynamic stiffness, as for fibre mooring ropes
(the Syrope project, OMAE2019, V001T01A050; Nguyen and Thiagarajan 2022, Marine Structures 85, 103257; abstracts read).
Source of the figures: judgement, at the low end of what is reported of nylon, whose tables could not be read.
"""

from sim.base.kernel import kernel

QUICK = 1.5  # stiffness pulled quickly over that pulled slowly (judgement)
LAG_S = 1.2  # in which the difference dies away; most is lost in cycles of eight seconds (judgement)


@kernel
def nylon(length_m: float, rest_m: float, ea_n: float) -> tuple[float, float]:
    """Return (tension [N], stiffness [N/m]) of a nylon line held at ``length_m`` for some time.

    Tension only. Stiffens with stretch: T = EA (0.5 e + 2.5 e^2), which meets the linear equivalent EA e at a fifth
    stretch (the working range of the linear stiffness in UFC 4-159-03, Table 6-8; the shape is judgement).
    """
    stretch = length_m / rest_m - 1.0
    if stretch <= 0.0:
        return 0.0, 0.0
    return ea_n * stretch * (0.5 + 2.5 * stretch), ea_n * (0.5 + 5.0 * stretch) / rest_m


@kernel
def lag(was_n: float, was_m: float, length_m: float, rest_m: float, ea_n: float, dt_s: float) -> tuple[float, float]:
    """Return (tension that lags [N], its stiffness [N/m]) at the end of a step.

    d q / dt = (QUICK - 1) k dl / dt - q / LAG_S; implicit, so that no step is too long; a slack line has none.

    Args:
        was_n: the lagging tension before the step.
        was_m: length before the step.
        length_m: length after it.
        rest_m: unstretched length.
        ea_n: linear equivalent stiffness.
        dt_s: the step.
    """
    share = 1.0 / (1.0 + dt_s / LAG_S)
    stretch = max(0.5 * (length_m + was_m) / rest_m - 1.0, 0.0)
    if stretch <= 0.0:
        return was_n * share, 0.0
    stiff = (QUICK - 1.0) * ea_n * (0.5 + 5.0 * stretch) / rest_m * share
    return was_n * share + stiff * (max(length_m, rest_m) - max(was_m, rest_m)), stiff


@kernel
def line_pull(
    was_n: float, was_m: float, length_m: float, rest_m: float, ea_n: float, dt_s: float
) -> tuple[float, float]:
    """Return (tension [N], stiffness [N/m]) of a nylon line at the end of a step; never less than nothing."""
    held, stiff = nylon(length_m, rest_m, ea_n)
    behind, more = lag(was_n, was_m, length_m, rest_m, ea_n, dt_s)
    if held + behind <= 0.0:
        return 0.0, 0.0
    return held + behind, stiff + more
