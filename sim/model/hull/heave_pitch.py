"""Heave and pitch in small waves, in closed form: how far a place on a hull's middle line goes up and down.

Source: J. J. Jensen, A. E. Mansour and A. S. Olsen (2004), Ocean Engineering 31, 61-85, at zero speed: a box of the
hull's length and draught whose breadth is the hull's times her block coefficient.
"""

import math

from sim.base.kernel import kernel
from sim.base.units import G_MPS2


@kernel
def roller_response(
    freq_hz: float, off_bow_rad: float, length_m: float, breadth_m: float, draught_m: float, x_m: float
) -> tuple[float, float]:
    """Return (real, imaginary) of a place's rise over the amplitude of the wave under midships.

    The wave under midships is a cos(w t); the place rises by a (real cos(w t) - imaginary sin(w t)).

    Args:
        freq_hz: frequency of the wave, > 0.
        off_bow_rad: where it comes from, off the bow.
        length_m: waterline length.
        breadth_m: waterline breadth times the block coefficient.
        draught_m: draught of the canoe body.
        x_m: place, forward of midships.
    """
    k = (2.0 * math.pi * freq_hz) ** 2 / G_MPS2
    along = k * math.cos(off_bow_rad)
    effective = max(abs(along), 1e-6)
    sigma = 0.5 * effective * length_m
    kappa = math.exp(-effective * draught_m)
    damping = 2.0 * math.sin(min(0.5 * k * breadth_m, 0.5 * math.pi)) * math.exp(-k * draught_m)
    damping = damping * damping / (k * breadth_m)
    heave = kappa * math.sin(sigma) / sigma
    pitch = math.copysign(kappa * 6.0 / (length_m * sigma) * (math.sin(sigma) / sigma - math.cos(sigma)), along)
    stiff = 1.0 - 2.0 * k * draught_m
    # The force has a part with the wave's rise and a part with its speed, as the damping has: (1 - k T) + i damping.
    # Its size is that of the source; the source leaves out its lead, a panel code has it.
    rise = 1.0 - k * draught_m
    size = stiff * stiff + damping * damping
    in_phase = (rise * stiff + damping * damping) / size
    leads = damping * (stiff - rise) / size
    # (heave + i x pitch) (in_phase + i leads)
    return heave * in_phase - x_m * pitch * leads, heave * leads + x_m * pitch * in_phase


@kernel
def surge_response(freq_hz: float, off_bow_rad: float, length_m: float, draught_m: float) -> float:
    """Return her surge over that of the water at the surface: the mean of the undisturbed wave over her length.

    Source: Froude and Krylov's pressure over a box, exp(-k T) sin(s) / s with s = k L cos / 2.
    """
    k = (2.0 * math.pi * freq_hz) ** 2 / G_MPS2
    sigma = max(abs(0.5 * k * length_m * math.cos(off_bow_rad)), 1e-6)
    return math.exp(-k * draught_m) * math.sin(sigma) / sigma


@kernel
def drift_share(freq_hz: float, off_bow_rad: float, length_m: float, beam_m: float) -> float:
    """Return R^2 times the width that meets the waves [m]: the mean drift force is 1/2 rho g a^2 of it.

    Source: Maruo's form of the force, in Faltinsen, Sea Loads (1990), chapter 5. R^2 was fitted to a panel code's
    far field on two rounded hulls (0.30 of the beam from ahead, 0.80 of the length from abeam, growing about
    k B = 2.2, a wave of three beams): within 0.1 of it from 1.6 to 5 s. Waves that are long beside her pass her by.
    """
    k = (2.0 * math.pi * freq_hz) ** 2 / G_MPS2
    short = (k * beam_m / 2.2) ** 8
    c = math.cos(off_bow_rad)
    return (0.30 * beam_m * c * c + 0.80 * length_m * (1.0 - c * c)) * short / (1.0 + short)
