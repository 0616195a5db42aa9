"""The chain of another boat where it lies on the bed: a few links, each held by its own friction.

A chain pulled aside at its end moves only where the pull round a bend is more than the bed holds: on rough ground its
curve has the radius H / (mu w) and no less. So in light wind a boat rides to the last metres of chain that lie, and the
rest stays where a stronger wind left it. Links are massless; a step moves each towards rest, so the law is the same at
any step.
"""

import math

from sim.base.arrays import FloatArray
from sim.base.kernel import kernel
from sim.model.layout import LINKS

LINK_TIME_S = 0.2  # in which a link comes to rest (judgement: quick beside a boat's swing)


@kernel
def lay_straight(links: FloatArray, anchor: tuple[float, float], toward: tuple[float, float], length_m: float) -> None:
    """Lay all links in a row from the anchor towards a place, in place; ``links`` is ``float64[2 LINKS]``, n and e."""
    anchor_n, anchor_e = anchor
    dn = toward[0] - anchor_n
    de = toward[1] - anchor_e
    far = max(math.sqrt(dn * dn + de * de), 1e-6)
    step = min(length_m, far) / LINKS / far
    for k in range(LINKS):
        links[2 * k] = anchor_n + (k + 1) * step * dn
        links[2 * k + 1] = anchor_e + (k + 1) * step * de


@kernel
def drag_links(
    links: FloatArray,
    anchor: tuple[float, float],
    bow: tuple[float, float],
    lying_m: float,
    length_m: float,
    pull_n: float,
    friction_n_per_m: float,
    dt_s: float,
) -> tuple[float, float, float]:
    """Move the links by the pull of the last step, in place.

    Return (north, east) of where the rode leaves the bed, and the length of rode up to there [m].

    Args:
        links: ``float64[2 LINKS]``, north and east of each link's outer end, from the anchor on.
        anchor: where it lies, north and east.
        bow: where the roller is.
        lying_m: length of rode on the bed.
        length_m: all of it.
        pull_n: horizontal pull.
        friction_n_per_m: friction coefficient times weight in water.
        dt_s: the step.
    """
    anchor_n, anchor_e = anchor
    bow_n, bow_e = bow
    if lying_m <= 0.0:
        lay_straight(links, anchor, bow, length_m)
        return anchor_n, anchor_e, 0.0
    link = length_m / LINKS
    last = min(int(lying_m / link), LINKS - 1)
    gain = 1.0 - math.exp(-dt_s / LINK_TIME_S)
    ahead_n = bow_n
    ahead_e = bow_e
    tension = pull_n
    for k in range(last, -1, -1):
        own_n = links[2 * k]
        own_e = links[2 * k + 1]
        back_n = links[2 * k - 2] if k > 0 else anchor_n
        back_e = links[2 * k - 1] if k > 0 else anchor_e
        on = ahead_n - own_n
        oe = ahead_e - own_e
        out = max(math.sqrt(on * on + oe * oe), 1e-6)
        on /= out
        oe /= out
        bn = own_n - back_n
        be = own_e - back_e
        inner = max(math.sqrt(bn * bn + be * be), 1e-6)
        bn /= inner
        be /= inner
        along = on * bn + oe * be
        # What the link behind takes of the pull; a slack one takes none.
        taken = tension * max(along, 0.0)
        pulls = tension
        if inner < 0.999 * link:  # to straighten it all that lies beyond has to slide along
            taken = 0.0
            pulls = max(tension - friction_n_per_m * max(lying_m - (k + 1) * link, 0.0), 0.0)
        fn = pulls * on - taken * bn
        fe = pulls * oe - taken * be
        force = math.sqrt(fn * fn + fe * fe)
        held = friction_n_per_m * link if k < last else friction_n_per_m * max(lying_m - k * link, 0.0)
        if force > held and force > 1e-9:
            share = (force - held) / max(tension, 1e-9)
            move = gain * share * min(link, out)
            own_n += move * fn / force
            own_e += move * fe / force
            # No further from the link behind than the chain between them is long.
            bn = own_n - back_n
            be = own_e - back_e
            inner = math.sqrt(bn * bn + be * be)
            if inner > link:
                own_n = back_n + bn * link / inner
                own_e = back_e + be * link / inner
            links[2 * k] = own_n
            links[2 * k + 1] = own_e
        ahead_n = own_n
        ahead_e = own_e
        tension = taken
    for k in range(last + 1, LINKS):  # what hangs is laid where it hangs
        on = bow_n - links[2 * k - 2]
        oe = bow_e - links[2 * k - 1]
        out = max(math.sqrt(on * on + oe * oe), 1e-6)
        step = min(link, out) / out
        links[2 * k] = links[2 * k - 2] + step * on
        links[2 * k + 1] = links[2 * k - 1] + step * oe
    return links[2 * last], links[2 * last + 1], (last + 1) * link
